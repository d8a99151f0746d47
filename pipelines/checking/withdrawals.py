"""Rows taken back: which rows of the history a withdrawal names."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import polars as pl

from pipelines.checking.findings import Fault
from schemas.frames import shape_of
from schemas.records import RECORDS

_PLACE = ("receipt_no", "sheet", "row_no", "part_no")
_BY_PLACE = {"file", "sheet", "row"}
_NOT_NEEDED = "entry"
_HOW = "name the key, as job_ref=...; material=..., or the row, as file=...; sheet=...; row=..."


class NotFoundError(Exception):
    """What a withdrawal names is not there, or not one thing; says why."""


@dataclass
class Held:
    """The histories judged so far, by record, and the name of each received file by number."""

    histories: dict[str, pl.DataFrame] = field(default_factory=dict)
    files: dict[int, str] = field(default_factory=dict)

    def remember(self, record: str, history: pl.DataFrame, received: pl.DataFrame) -> None:
        """Add the kept rows of `record`, and the files that its received rows came in."""
        self.histories[record] = history
        self.files |= dict(received.select("receipt_no", "file_name").unique().iter_rows())


def refuse_unknown(rows: pl.DataFrame, held: Held) -> Iterator[Fault]:
    """Give a fault for each withdrawal in `rows` (typed) that names no row, or not one."""
    filled = rows.drop_nulls(["record", "key"])
    for row in filled.iter_rows(named=True):
        try:
            _named_rows(row, held)
        except NotFoundError as fault:
            yield Fault(row["row_id"], "key", row["key"], str(fault), _HOW)


def find_withdrawn(withdrawals: pl.DataFrame, held: Held) -> pl.DataFrame:
    """
    Return receipt.withdrawn_row: the places of the rows taken back, each with who, why and when.

    A withdrawal takes what came in its own batch or before, and nothing that comes later. A row
    that several withdrawals name is told with the first of them.
    """
    found = [
        {name: row[name] for name in _PLACE}
        | {
            "record": gone["record"],
            "withdrawn_on": gone["withdrawn_on"],
            "by": gone["by"],
            "why": gone["why"],
            "withdrawn_receipt_no": gone["receipt_no"],
            "withdrawn_sheet": gone["sheet"],
            "withdrawn_row_no": gone["row_no"],
        }
        for gone in withdrawals.sort(_PLACE).iter_rows(named=True)
        for row in _named_rows(gone, held)
    ]
    shape = shape_of("receipt.withdrawn_row")
    return pl.DataFrame(found, schema=shape).unique(
        ["record", *_PLACE], keep="first", maintain_order=True
    )


def _named_rows(gone: Mapping[str, Any], held: Held) -> Sequence[Mapping[str, Any]]:
    record = gone["record"]
    if record not in RECORDS or record == "withdrawn":
        message = f"{record} is no record that a row can be taken back from"
        raise NotFoundError(message)
    said = _read_key(gone["key"])
    history = held.histories.get(record)
    if history is None:
        message = f"no row of {record} is held"
        raise NotFoundError(message)
    history = history.filter(pl.col("batch_no") <= gone["batch_no"])
    if "file" in said:
        return _at_place(history, said, gone, held)
    return _with_key(history, record, said)


def _read_key(key: str) -> dict[str, str]:
    parts = [part.partition("=") for part in key.split(";") if part.strip()]
    said = {name.strip().lower(): value.strip() for name, _, value in parts}
    if not said or len(said) < len(parts) or not all(sign for _, sign, _ in parts):
        message = f"{key} can't be read as a key"
        raise NotFoundError(message)
    return said


def _with_key(
    history: pl.DataFrame, record: str, said: Mapping[str, str]
) -> Sequence[Mapping[str, Any]]:
    strange = said.keys() - {*RECORDS[record].key}
    if strange:
        message = f"{', '.join(sorted(strange))} is in no key of {record}"
        raise NotFoundError(message)
    rows = history
    for name in RECORDS[record].key:
        if name in said:
            rows = rows.filter(pl.col(name).cast(pl.String) == said[name])
    whole = [name for name in RECORDS[record].key if name not in {*said, _NOT_NEEDED}]
    if rows.is_empty():
        message = f"no row of {record} with this key had come in by then"
        raise NotFoundError(message)
    open_columns = [name for name in whole if rows[name].is_not_null().any()]
    if open_columns:
        message = f"the key leaves out {', '.join(open_columns)}: more rows may be meant"
        raise NotFoundError(message)
    return rows.to_dicts()


def _at_place(
    history: pl.DataFrame, said: Mapping[str, str], gone: Mapping[str, Any], held: Held
) -> Sequence[Mapping[str, Any]]:
    if not said.keys() <= _BY_PLACE or not said.get("row", "").isdecimal():
        message = "a row is named by its file, its sheet and its row, and nothing else"
        raise NotFoundError(message)
    named = [
        no for no, name in held.files.items() if name == said["file"] and no <= gone["receipt_no"]
    ]
    rows = history.filter(
        pl.col("receipt_no") == max(named, default=-1), pl.col("row_no") == int(said["row"])
    )
    if "sheet" in said:
        rows = rows.filter(pl.col("sheet") == said["sheet"])
    if rows.is_empty():
        message = f"row {said['row']} of the newest {said['file']} holds no row of its own"
        raise NotFoundError(message)
    if rows["sheet"].n_unique() > 1:
        message = f"row {said['row']} stands in several sheets of {said['file']}"
        raise NotFoundError(message)
    return rows.to_dicts()
