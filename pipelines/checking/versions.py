"""
Which rows say something new: versions of a document, contradictions, what is held already.

Rows come in the order in which they were received. Nothing is dropped: every row ends as kept,
already held, or rejected with the row that it stands against.
"""

from collections.abc import Hashable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from typing import Any

import polars as pl

from pipelines.checking.alone import find_alone, name_entries
from pipelines.checking.entries import resolve_entries
from pipelines.checking.keys import resolve_key
from pipelines.checking.places import put_in_order
from pipelines.checking.verdicts import Resolved, Row, rows_by_columns
from pipelines.checking.whole_documents import resolve_whole
from pipelines.receiving.row_texts import tell_rows
from schemas.record import Record


def resolve(
    record: Record,
    rows: pl.DataFrame,
    twins: Mapping[int, int],
    anew: AbstractSet[int] = frozenset(),
) -> Resolved:
    """
    Return what becomes of `rows`.

    They are typed and free of faults, with provenance, `document`, `file_name` and `emptied`.
    `twins` are the rows of sheets that are equal to one that came before. Rows `anew` came after
    all of their key was taken back: they are held against each other alone.
    """
    alone = find_alone(record, rows, twins) & ~pl.col("row_id").is_in(list(anew))
    resolved = Resolved(alone=name_entries(rows.filter(alone)))
    told = _read_rows(record, rows.filter(~alone), twins)
    _resolve(record, [row for row in told if row.row_id not in anew], resolved)
    _resolve(record, [row._replace(twin=None) for row in told if row.row_id in anew], resolved)
    return resolved


def _resolve(record: Record, fresh: list[Row], resolved: Resolved) -> None:
    if record.adds_up:
        keyless = tuple(name for name in record.key if name != "entry")
        for group in rows_by_columns(fresh, keyless):
            resolve_entries(group, resolved)
        return
    if record.whole_documents:
        fresh = resolve_whole(fresh, record.key, resolved)
    for group in rows_by_columns(fresh, record.key):
        resolve_key(group, resolved)


def find_twins(record: Record, rows: pl.DataFrame) -> dict[int, int]:
    """
    Return, by row, the row of an equal sheet that came before and is its document's newest.

    `rows` are all rows as received, faulty ones too: a sheet is equal only where all of it is.
    """
    newest: dict[tuple[str, str], Hashable] = {}
    told: dict[Hashable, tuple[tuple[str, str], Sequence[int]]] = {}
    twins: dict[int, int] = {}
    for receipt_no, document, sheet, row_ids, texts in _list_sheets(record, rows).iter_rows():
        text = (receipt_no, sheet) if texts is None else tuple(texts)
        name, before = told.get(text, ((document, sheet), ()))
        if before and newest[name] == text and None not in text:
            twins |= dict(zip(row_ids, before, strict=True))
        newest[document, sheet] = text
        told[text] = ((document, sheet), row_ids or ())
    return twins


_OF_SHEET = ("receipt_no", "document", "sheet")


def _list_sheets(record: Record, rows: pl.DataFrame) -> pl.DataFrame:
    """Return the sheets in order, with rows and texts of those that may equal another."""
    sheets = rows.group_by(_OF_SHEET).len().sort("receipt_no", "sheet")
    alike = sheets.filter(pl.col("len").is_duplicated())
    rows = rows.join(alike, on=_OF_SHEET, how="semi") if alike.height else rows.clear()
    rows = _drop_unequal(record, rows)
    texts = (
        put_in_order(rows.with_columns(tell_rows(rows)))
        .group_by(_OF_SHEET, maintain_order=True)
        .agg("row_id", "row_text")
    )
    return sheets.drop("len").join(texts, on=_OF_SHEET, how="left", maintain_order="left")


def _drop_unequal(record: Record, rows: pl.DataFrame) -> pl.DataFrame:
    """
    Return `rows` without the sheets whose cells no other sheet of their size has.

    Told by a digest of the cells, and only where all texts are yet to be made from these cells.
    """
    if rows["row_text"].count():
        return rows
    cells = [name for name in record.columns if name in rows.columns]
    digests = rows.select(*_OF_SHEET, rows.select(cells).hash_rows().alias("digest"))
    sheets = digests.group_by(_OF_SHEET).agg(pl.len(), pl.col("digest").sum())
    equal = sheets.filter(pl.struct("len", "digest").is_duplicated())
    return rows.join(equal, on=_OF_SHEET, how="semi")


ANSWERS = "answers_receipt_no"
_ORIGIN = ("row_id", "receipt_no", "batch_no", "document", "file_name", "sheet", "row_no")


def _read_rows(record: Record, rows: pl.DataFrame, twins: Mapping[int, int]) -> list[Row]:
    names = [name for name in rows.columns if name in {*record.columns, *record.added} - {ANSWERS}]
    ordered = put_in_order(rows)
    emptied = [_emptied(record, said) for said in ordered["emptied"]]
    values = [_filled(names, row) for row in ordered.select(names).iter_rows()]
    return [
        Row._make((*origin, filled | said, twins.get(origin[0]), answers))
        for origin, filled, said, answers in zip(
            ordered.select(_ORIGIN).iter_rows(), values, emptied, ordered["answers"], strict=True
        )
    ]


def _filled(names: Sequence[str], row: Sequence[Any]) -> dict[str, Any]:
    return {name: value for name, value in zip(names, row, strict=True) if value is not None}


def _emptied(record: Record, said: Sequence[str]) -> dict[str, None]:
    return {name: None for name in said if name not in record.key}
