"""Two warehouse files held against each other, relation by relation."""

from pathlib import Path

import duckdb


def find_differences(first: Path, second: Path) -> dict[str, int]:
    """
    Count the rows that one file has and the other lacks, both ways, repeats counted.

    Returns:
        The count by relation, for relations that differ or that only one file has (-1).

    """
    with duckdb.connect() as connection:
        connection.execute(f"ATTACH '{first}' AS one (READ_ONLY)")
        connection.execute(f"ATTACH '{second}' AS other (READ_ONLY)")
        names, others = (_relations(connection, name) for name in ("one", "other"))
        counted = {name: _count(connection, name) for name in sorted(names & others)}
    lone = dict.fromkeys(sorted(names ^ others), -1)
    return {name: count for name, count in counted.items() if count} | lone


def _relations(connection: duckdb.DuckDBPyConnection, database: str) -> set[str]:
    rows = connection.execute(
        "SELECT schema_name || '.' || table_name FROM duckdb_tables() WHERE database_name = $1",
        [database],
    ).fetchall()
    return {name for (name,) in rows}


def _count(connection: duckdb.DuckDBPyConnection, name: str) -> int:
    row = connection.execute(
        f"""
        SELECT
            (SELECT count(*) FROM (FROM one.{name} EXCEPT ALL FROM other.{name}))
            + (SELECT count(*) FROM (FROM other.{name} EXCEPT ALL FROM one.{name}))
        """  # noqa: S608 - names of the file's own relations
    ).fetchone()
    return int(row[0]) if row else 0
