"""What is in force out of several versions of a row."""

from collections.abc import Iterator

import pytest

from pipelines.warehouse.connection import Connection, open_in_memory
from pipelines.warehouse.in_force import ledger_views
from pipelines.warehouse.tables import append, create_tables
from tests.support.drawn import assert_drawn, table


@pytest.fixture
def connection() -> Iterator[Connection]:
    with open_in_memory() as opened:
        create_tables(opened)
        yield opened


def in_force(connection, record, drawing, emptied=()):
    """Append drawn versions to a history and read what is in force of them."""
    append(connection, f"history.{record}", table(drawing))
    for receipt_no, columns in emptied:
        connection.execute(
            f"UPDATE history.{record} SET emptied = $1 WHERE receipt_no = $2",  # noqa: S608 - a record's name
            [columns, receipt_no],
        )
    name = next(name for name in ledger_views() if name.startswith(f"ledger.{record}"))
    return connection.sql(ledger_views()[name]).pl()


def test_column_by_column_the_newest_filled_value_stands(connection):
    jobs = in_force(
        connection,
        "jobs",
        """
        job_ref  | job_type | crew       | quoted_area_m2 | notes | receipt_no | batch_no | sheet | row_no | part_no
        ---------+----------+------------+----------------+-------+------------+----------+-------+--------+--------
        2025-001 | garage   | first van  | 20             | wet   | 1          | 1        | Jobs  | 2      | 1
        2025-001 | garage   |            | 22.5           |       | 2          | 2        | Jobs  | 9      | 1
        2025-001 | dormer   | second van |                |       | 10         | 3        | Jobs  | 4      | 1
        """,
    )

    assert_drawn(
        jobs,
        """
        job_ref  | job_type | crew       | quoted_area_m2 | notes | receipt_no | row_no
        ---------+----------+------------+----------------+-------+------------+-------
        2025-001 | dormer   | second van | 22.5           | wet   | 10         | 4
        """,
    )


def test_none_empties_what_is_older_and_gives_way_to_what_is_newer(connection):
    versions = """
        job_ref  | job_type | crew      | notes | receipt_no | batch_no | sheet | row_no | part_no
        ---------+----------+-----------+-------+------------+----------+-------+--------+--------
        2025-001 | garage   | first van | wet   | 1          | 1        | Jobs  | 2      | 1
        2025-001 | garage   |           |       | 2          | 2        | Jobs  | 2      | 1
        2025-001 | garage   | other van |       | 3          | 3        | Jobs  | 2      | 1
        """
    jobs = in_force(connection, "jobs", versions, emptied=[(2, ["crew", "notes"])])

    assert_drawn(
        jobs,
        """
        job_ref  | crew      | notes
        ---------+-----------+------
        2025-001 | other van |
        """,
    )


def test_within_a_receipt_the_later_row_is_the_newer(connection):
    jobs = in_force(
        connection,
        "jobs",
        """
        job_ref  | job_type | crew       | receipt_no | batch_no | sheet | row_no | part_no
        ---------+----------+------------+------------+----------+-------+--------+--------
        2025-001 | garage   | second van | 1          | 1        | Jobs  | 10     | 1
        2025-001 | garage   | first van  | 1          | 1        | Jobs  | 9      | 1
        """,
    )

    assert jobs["crew"].to_list() == ["second van"]


def test_a_blank_key_column_equals_itself_and_entries_stay_apart(connection):
    counts = in_force(
        connection,
        "stock_counts",
        """
        counted_on | material | place | entry | quantity | receipt_no | batch_no | sheet | row_no | part_no
        -----------+----------+-------+-------+----------+------------+----------+-------+--------+--------
        2026-05-31 | resin    | yard  | one   | 20       | 1          | 1        | csv| 2      | 1
        2026-05-31 | resin    | yard  | two   | 5        | 1          | 1        | csv| 3      | 1
        2026-05-31 | resin    | yard  | one   | 21       | 2          | 2        | csv| 2      | 1
        """,
    )

    assert_drawn(
        counts,
        """
        entry | lot | quantity
        ------+-----+---------
        one   |     | 21
        two   |     | 5
        """,
    )


PURCHASE = """
    supplier | document_type | document_no | year | line_no | document_on | description | line_net_gbp | line_kind | receipt_no | batch_no | sheet | row_no | part_no
    ---------+---------------+-------------+------+---------+-------------+-------------+--------------+-----------+------------+----------+-------+--------+--------
"""


def test_a_document_without_line_numbers_stands_whole_as_last_received(connection):
    lines = in_force(
        connection,
        "purchases",
        f"""{PURCHASE}
        Quayside | invoice | 1001 | 2026 |   | 2026-05-01 | resin | 100.00 | goods | 1 | 1 | csv | 2 | 1
        Quayside | invoice | 1001 | 2026 |   | 2026-05-01 | mat   | 50.00  | goods | 1 | 1 | csv | 3 | 1
        Quayside | invoice | 1001 | 2026 |   | 2026-05-01 | resin | 95.00  | goods | 2 | 2 | csv | 2 | 1
        Quayside | invoice | 1001 | 2026 |   | 2026-05-01 | resin | 95.00  | goods | 2 | 2 | csv | 3 | 1
        Quayside | invoice | 1002 | 2026 |   | 2026-05-01 | nails | 9.00   | goods | 1 | 1 | csv | 4 | 1
        """.replace("\n\n", "\n"),
    )

    # the mat is gone; two equal lines are two lines
    assert_drawn(
        lines,
        """
        document_no | description | line_net_gbp | receipt_no | row_no
        ------------+-------------+--------------+------------+-------
        1001        | resin       | 95.00        | 2          | 2
        1001        | resin       | 95.00        | 2          | 3
        1002        | nails       | 9.00         | 1          | 4
        """,
    )


def test_with_line_numbers_a_line_that_is_not_repeated_stays(connection):
    lines = in_force(
        connection,
        "purchases",
        f"""{PURCHASE}
        Quayside | invoice | 1001 | 2026 | 1 | 2026-05-01 | resin | 100.00 | goods | 1 | 1 | csv | 2 | 1
        Quayside | invoice | 1001 | 2026 | 2 | 2026-05-01 | mat   | 50.00  | goods | 1 | 1 | csv | 3 | 1
        Quayside | invoice | 1001 | 2026 | 1 | 2026-05-01 | resin | 95.00  | goods | 2 | 2 | csv | 2 | 1
        """.replace("\n\n", "\n"),
    )

    assert_drawn(
        lines,
        """
        line_no | description | line_net_gbp | receipt_no
        --------+-------------+--------------+-----------
        1       | resin       | 95.00        | 2
        2       | mat         | 50.00        | 1
        """,
    )


def test_a_numbered_line_received_later_leaves_the_unnumbered_lines(connection):
    lines = in_force(
        connection,
        "purchases",
        f"""{PURCHASE}
        Quayside | invoice | 1001 | 2026 |   | 2026-05-01 | resin | 100.00 | goods | 1 | 1 | csv | 2 | 1
        Quayside | invoice | 1001 | 2026 | 9 | 2026-05-01 | mat   | 50.00  | goods | 2 | 2 | csv | 2 | 1
        """.replace("\n\n", "\n"),
    )

    assert sorted(lines["description"]) == ["mat", "resin"]
