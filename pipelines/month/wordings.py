"""The workbook of wordings to name in the firm's folder, never over one being filled in."""

import hashlib
from datetime import date
from functools import partial
from pathlib import Path

import polars as pl

from pipelines.month.whole_files import write_whole
from reports.wordings import write_wordings_workbook

_NAME = "descriptions to name"


def write_unknown_wordings(unknown: pl.DataFrame, folder: Path, as_of: date) -> Path | None:
    """
    Return the workbook of these wordings (page.unknown_description), None where there is none.

    Its name carries the run's day and a digest of the wordings: where a workbook of the same
    wordings stands in the folder it is left as it is, whatever has been written into it.
    """
    if unknown.is_empty():
        return None
    wordings = unknown.select("supplier", "description").sort("supplier", "description")
    digest = hashlib.sha256(wordings.write_csv().encode()).hexdigest()[:6]
    standing = sorted(folder.glob(f"{_NAME} * {digest}.xlsx"))
    if standing:
        return standing[-1]
    path = folder / f"{_NAME} {as_of} {digest}.xlsx"
    write_whole(path, partial(write_wordings_workbook, unknown))
    return path
