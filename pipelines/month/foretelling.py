"""What would become of files if they were handed in now; nothing is written."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import polars as pl

from pipelines.errors import FolderError
from pipelines.month.drafting import describe_file
from pipelines.month.folder import open_folder
from pipelines.month.receipts import judge_receipts, read_receipts
from pipelines.receiving.canonical import SOURCE
from pipelines.receiving.mapping_files import load_mappings
from pipelines.receiving.register import Receipt, list_receipts
from pipelines.settings import read_settings
from schemas.records import RECORDS

_SHOWN = 20


@dataclass(frozen=True)
class ForetoldFile:
    """
    One file: its counts in words, what is wrong with the file, and the rows to look at.

    `seen` describes a file that no mapping fits and that is not in our own columns.
    """

    file_name: str
    source: str
    says: str
    message: str | None
    rows: tuple[str, ...]
    seen: tuple[str, ...] = ()


def foretell(paths: Sequence[Path], root: Path) -> list[ForetoldFile]:
    """Return what would become of the files at `paths` in the firm's folder `root`."""
    folder = open_folder(root)
    settings = read_settings(folder.settings_file)
    mappings = load_mappings(folder.mappings, RECORDS)
    held = list_receipts(folder.received)
    asked = _as_receipts(paths, held)
    read = read_receipts([*held, *asked], mappings, lambda _done, _of: None)
    as_of = settings.as_of or datetime.now(tz=UTC).date()
    tables = judge_receipts(read, settings, as_of)
    return [_foretold(receipt, tables) for receipt in asked]


def _as_receipts(paths: Sequence[Path], held: Sequence[Receipt]) -> list[Receipt]:
    for path in paths:
        if not path.is_file():
            raise FolderError(f"{path}: there is no such file")
    first = held[-1].receipt_no + 1 if held else 1
    now = datetime.now(tz=UTC)
    return [Receipt(first + at, now, "", path.name, path) for at, path in enumerate(paths)]


def _foretold(receipt: Receipt, tables: dict[str, pl.DataFrame]) -> ForetoldFile:
    own = pl.col("receipt_no") == receipt.receipt_no
    file = tables["receipt.file"].row(by_predicate=own, named=True)
    rejects = tables["receipt.reject"].filter(own)
    repairs = tables["receipt.repair"].filter(own & (pl.col("rule") != "converted"))
    rows = [
        *(_rejected(row) for row in rejects.iter_rows(named=True)),
        *(_mended(row) for row in repairs.iter_rows(named=True)),
    ]
    if len(rows) > _SHOWN:
        rows = [*rows[:_SHOWN], f"and {len(rows) - _SHOWN} more"]
    unmapped = file["source"] == SOURCE and file["message"] is not None
    return ForetoldFile(
        receipt.name,
        file["source"],
        _counts(file),
        file["message"],
        tuple(rows),
        describe_file(receipt.path, receipt.name) if unmapped else (),
    )


def _counts(file: dict[str, int]) -> str:
    return (
        f"{file['rows_read_count']} rows: {file['accepted_count']} would be taken in "
        f"({file['repaired_count']} mended), {file['rejected_count']} could not be read, "
        f"{file['already_held_count']} are held already, {file['skipped_count']} skipped"
    )


def _place(row: dict[str, object]) -> str:
    sheet = f"sheet {row['sheet']}, " if row["sheet"] else ""
    return f"{sheet}row {row['row_no']}"


def _rejected(row: dict[str, object]) -> str:
    value = f" '{row['value']}'" if row["value"] is not None else ""
    column = f", {row['column_name']}" if row["column_name"] else ""
    return f"{_place(row)}{column}{value} {row['reason']}: {row['remedy']}"


def _mended(row: dict[str, object]) -> str:
    return (
        f"{_place(row)}, {row['column_name']} '{row['value_before']}' read as "
        f"'{row['value_after']}': {row['rule']}"
    )
