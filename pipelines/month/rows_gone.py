"""Workbooks of rows that a newer version left out: one a batch, never over one being filled in."""

import hashlib
from datetime import datetime
from functools import partial
from pathlib import Path

import polars as pl

from pipelines.month.whole_files import write_whole
from reports.rows_gone import write_gone_workbook


def write_gone_workbooks(
    gone: pl.DataFrame, files: pl.DataFrame, folder: Path, known_batch_no: int
) -> Path | None:
    """
    Write a workbook for each batch after `known_batch_no` whose files left rows out.

    `gone` is page.row_gone, `files` receipt.file. Returns the newest batch's workbook, None where
    it left out none. A workbook that stands is never written again.
    """
    times = dict(files.select("batch_no", "batch_at").iter_rows())
    written = None
    asked = gone.filter(pl.col("batch_no") > known_batch_no)
    for batch in asked.partition_by("batch_no", maintain_order=True):
        batch_no = batch["batch_no"][0]
        path = folder / _name(batch, times[batch_no])
        if not path.exists():
            write_whole(path, partial(write_gone_workbook, batch))
        if batch_no == max(times):
            written = path
    return written


def _name(batch: pl.DataFrame, at: datetime) -> str:
    digest = hashlib.sha256(batch.select("record", "key").write_csv().encode()).hexdigest()[:6]
    return f"rows no longer there {at:%Y-%m-%d %H%M%S} {digest}.xlsx"
