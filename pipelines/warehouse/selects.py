"""What a SELECT reads, and what no SELECT of the project may do."""

import json
from collections.abc import Iterator
from typing import Any

from pipelines.errors import StoppedError
from pipelines.warehouse.connection import Connection

_CLOCK_OR_CHANCE = {
    "now",
    "today",
    "current_date",
    "current_timestamp",
    "current_localtimestamp",
    "get_current_timestamp",
    "transaction_timestamp",
    "random",
    "uuid",
    "gen_random_uuid",
}
Node = dict[str, Any]


def read_select(connection: Connection, name: str, text: str) -> frozenset[str]:
    """
    Give the relations that a SELECT reads, as schema.name.

    Args:
        connection: any open database; the text is parsed, not run.
        name: what to call the SELECT in an error.
        text: the SELECT, comments and all.

    Raises:
        StoppedError: not exactly one SELECT; a star instead of columns; a table function or a
            file in FROM; a name without schema that the text does not define; a clock or chance.

    """
    nodes = list(_walk(_parse(connection, name, text)))
    defined = {entry["key"] for node in nodes for entry in node.get("cte_map", {}).get("map", [])}
    for node in nodes:
        _refuse(name, node)
    tables = [node for node in nodes if node.get("type") == "BASE_TABLE"]
    for table in tables:
        if not table["schema_name"] and table["table_name"] not in defined:
            raise StoppedError(f"{name}: {table['table_name']} needs its schema in front")
    return frozenset(
        f"{table['schema_name']}.{table['table_name']}" for table in tables if table["schema_name"]
    )


def _parse(connection: Connection, name: str, text: str) -> list[Node]:
    row = connection.execute("SELECT json_serialize_sql($1)", [text]).fetchone()
    parsed: dict[str, Any] = json.loads(row[0]) if row else {}
    if parsed.get("error", True):
        raise StoppedError(f"{name}: {parsed.get('error_message')}")
    statements: list[Node] = list(parsed["statements"])
    if len(statements) != 1:
        raise StoppedError(f"{name}: {len(statements)} statements; a relation is one SELECT")
    return statements


def _walk(node: Any) -> Iterator[Node]:  # noqa: ANN401 - whatever JSON holds
    if isinstance(node, dict):
        yield node
    children = node.values() if isinstance(node, dict) else node
    for child in children if isinstance(node, (dict, list)) else ():
        yield from _walk(child)


def _refuse(name: str, node: Node) -> None:
    if node.get("type") == "STAR":
        raise StoppedError(f"{name}: a star in place of columns; name the columns")
    if node.get("type") == "TABLE_FUNCTION":
        raise StoppedError(f"{name}: a function in FROM; a relation reads relations only")
    for called in (node.get("function_name"), *_bare_names(node)):
        if called in _CLOCK_OR_CHANCE:
            raise StoppedError(f"{name}: {called} makes a run unlike the next")


def _bare_names(node: Node) -> list[str]:
    names = node.get("column_names", [])
    return [str(names[0]).lower()] if len(names) == 1 else []
