"""Workbooks of rows that could not be read: one a batch, never over one that is being mended."""

import hashlib
from datetime import datetime
from functools import partial
from pathlib import Path

import polars as pl

from pipelines.month.whole_files import write_whole
from pipelines.warehouse.connection import Connection
from pipelines.warehouse.tables import fetch
from reports.rejects import write_reject_workbook


def write_reject_workbooks(published: Connection, folder: Path, known_batch_no: int) -> Path | None:
    """
    Write a workbook for each batch after `known_batch_no` that has rows that could not be read.

    A workbook's name carries the batch's time and a digest of the rows, so that the same rows
    give the same name, and a file that stands is never written again. Returns the newest batch's
    workbook, None where all its rows could be read.
    """
    files = fetch(published, "receipt.file", ["receipt_no", "batch_no", "batch_at", "file_name"])
    rejects = fetch(published, "receipt.reject").join(files, on="receipt_no")
    rejects = rejects.filter(pl.col("mended_by_receipt_no").is_null())
    newest = files["batch_no"].max()
    written = None
    for batch in rejects.filter(pl.col("batch_no") > known_batch_no).partition_by("batch_no"):
        path = folder / _name(batch)
        if not path.exists():
            write_whole(path, partial(write_reject_workbook, batch))
        if batch["batch_no"][0] == newest:
            written = path
    return written


def _name(batch: pl.DataFrame) -> str:
    at: datetime = batch["batch_at"][0]
    rows = batch.select("receipt_no", "sheet", "row_no", "part_no", "column_name", "reason")
    digest = hashlib.sha256(rows.write_csv().encode()).hexdigest()[:6]
    return f"could not be read {at:%Y-%m-%d %H%M%S} {digest}.xlsx"
