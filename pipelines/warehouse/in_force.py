"""What is in force: the SELECT of each ledger relation over its history."""

from pipelines.warehouse.tables import EMPTIED
from schemas.record import Record
from schemas.records import PROVENANCE, RECORDS

WITH_VIEW_OF_THEIR_OWN = ("jobs", "materials")
"""Records whose ledger relation is a file of sql/ledger, over `ledger.<record>_as_typed`."""

_NEWEST_FIRST = ("receipt_no", "sheet", "row_no", "part_no")
_STANDS_WITH = "coalesce(line.answers_receipt_no, line.receipt_no)"
_DOCUMENT = ("supplier", "document_type", "document_no", "year")


def ledger_views() -> dict[str, str]:
    """
    Give the SELECT of every generated ledger relation, by relation name.

    A relation holds one row per key in force: column by column the newest filled value, or none
    where a newer row empties it, with the origin of the key's newest row. A blank key column
    equals itself. Purchases of a document without line numbers stand as the lines of its newest
    receipt, with those that came back mended, and as those alone.
    """
    return {_relation(record): _in_force(record) for record in RECORDS.values()}


def _relation(record: Record) -> str:
    ending = "_as_typed" if record.name in WITH_VIEW_OF_THEIR_OWN else ""
    return f"ledger.{record.name}{ending}"


def _in_force(record: Record) -> str:
    typed = [name for name in record.schema.columns if name not in record.key]
    if record.name == "materials":
        typed.append("base_unit")
    key = [f"held.{name} AS {name}" for name in record.key]
    filled = [_newest_filled(name) for name in typed]
    origin = [f"max(({_version()})).{name} AS {name}" for name in _NEWEST_FIRST]
    shown = ",\n    ".join(key + filled + origin)
    grouped = ", ".join([f"held.{name}" for name in record.key] + _lines_without_number(record))
    source = f"{_source(record)} AS held\n{_not_withdrawn(record)}"
    return f"SELECT\n    {shown}\nFROM {source}\nGROUP BY {grouped}"


def _not_withdrawn(record: Record) -> str:
    """
    Leave out rows taken back, after a document's newest lines were found.

    So an older version of a document does not come back when its newest line is taken back.
    """
    same = " AND ".join(f"gone.{name} = held.{name}" for name in _NEWEST_FIRST)
    return (
        "WHERE NOT EXISTS (\n    SELECT 1 FROM receipt.withdrawn_row AS gone\n"  # noqa: S608 - schemas' names
        f"    WHERE gone.record = '{record.name}' AND {same}\n)"
    )


def _version() -> str:
    fields = ", ".join(f"{name} := held.{name}" for name in _NEWEST_FIRST)
    return f"struct_pack({fields})"


def _newest_filled(name: str) -> str:
    speaks = f"held.{name} IS NOT NULL OR list_contains(held.{EMPTIED}, '{name}')"
    return f"arg_max_null(held.{name}, {_version()}) FILTER (WHERE {speaks}) AS {name}"


def _lines_without_number(record: Record) -> list[str]:
    if record.name != "purchases":
        return []
    return [f"CASE WHEN held.line_no IS NULL THEN {_version()} END"]


def _source(record: Record) -> str:
    history = f"history.{record.name}"
    if record.name != "purchases":
        return history
    columns = [*record.schema.columns, *PROVENANCE, EMPTIED]
    shown = ", ".join(f"line.{name} AS {name}" for name in columns)
    document = ", ".join(f"line.{name}" for name in _DOCUMENT)
    return (
        f"(\n    SELECT {shown}\n    FROM {history} AS line\n    QUALIFY line.line_no IS NOT NULL"  # noqa: S608 - schemas' names
        f"\n        OR {_STANDS_WITH} = max({_STANDS_WITH}) FILTER (WHERE line.line_no IS NULL)"
        f" OVER (PARTITION BY {document})\n)"
    )
