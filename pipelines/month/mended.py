"""Rows that could not be read and came back mended in the workbook that listed them."""

import json
from collections.abc import Mapping

import polars as pl

from reports.rejects import RECEIPT_MARK, read_mark

_SOUND = ("clean", "repaired", "already held")
_PLACE = ("receipt_no", "sheet", "row_no", "part_no")
_SHAPE = {"row_text": pl.String(), "answers": pl.String(), "answers_receipt_no": pl.Int64()}


def mark_mended(rows: pl.DataFrame) -> pl.DataFrame:
    """
    Return rows as read with `answers` and `answers_receipt_no`, null where they answer none.

    A workbook of rows that could not be read carries beside each row the receipt, sheet and row
    that it came from.
    """
    texts = rows["row_text"].unique()
    marked = texts.filter(texts.str.contains(RECEIPT_MARK, literal=True))
    if marked.is_empty():
        return rows.with_columns(
            pl.lit(None, dtype).alias(name) for name, dtype in _SHAPE.items() if name != "row_text"
        )
    told = pl.DataFrame(
        [(text, *_answer(text)) for text in marked],
        schema=_SHAPE,
        orient="row",
    )
    return rows.join(told, on="row_text", how="left", maintain_order="left")


def find_mended(
    rejects: pl.DataFrame, received: Mapping[str, pl.DataFrame], outcomes: pl.DataFrame
) -> pl.DataFrame:
    """
    Return `rejects` with `mended_by_receipt_no`: the file that brought the row mended, or null.

    `received` holds all rows by record, marked; a marked row that was taken in answers for the
    place that it names.
    """
    answering = {name: rows.drop_nulls("answers") for name, rows in received.items()}
    if all(rows.is_empty() for rows in answering.values()):
        return rejects.with_columns(pl.lit(None, pl.Int64).alias("mended_by_receipt_no"))
    sound = outcomes.filter(pl.col("outcome").is_in(_SOUND)).select(*_PLACE, "record")
    answered = [
        rows.select(*_PLACE, "answers", pl.lit(record).alias("record"))
        .join(sound, on=[*_PLACE, "record"], how="semi")
        .select("answers", pl.col("receipt_no").alias("mended_by_receipt_no"))
        for record, rows in answering.items()
    ]
    newest = pl.concat(answered).group_by("answers").max()
    places = [_place(*place) for place in rejects.select(_PLACE).iter_rows()]
    placed = rejects.with_columns(pl.Series("answers", places, dtype=pl.String))
    return placed.join(newest, on="answers", how="left", maintain_order="left").drop("answers")


def _answer(text: str) -> tuple[str | None, int | None]:
    mark = read_mark(_cells(text))
    return (None, None) if mark is None else (_place(*mark), mark[0])


def _place(receipt_no: int, sheet: str, row_no: int, part_no: int) -> str:
    return f"{receipt_no}/{sheet}/{row_no}/{part_no}"


def _cells(text: str) -> Mapping[str, str | None]:
    held = json.loads(text)
    return held if isinstance(held, dict) else {}
