"""What a run has to say at its end."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import polars as pl

from pipelines.month.read_receipt import ReadReceipt
from pipelines.month.receipts import say_fault
from pipelines.receiving.register import Batch
from reports.rows_gone import ask_gone


@dataclass(frozen=True)
class FileNote:
    """A file that could not be read, or was left where it is: why, and what to do."""

    file_name: str
    message: str
    sort: str = ""


@dataclass(frozen=True)
class RunSummary:
    """
    The end of a run, in figures and names.

    Counts are of rows that came in since the last published run. `is_new` is false where nothing
    was due; then counts are 0.
    """

    is_new: bool
    pages: Path
    receipts_count: int = 0
    files_count: int = 0
    held_files_count: int = 0
    rows_read_count: int = 0
    accepted_count: int = 0
    repaired_count: int = 0
    held_back_count: int = 0
    rejected_count: int = 0
    already_held_count: int = 0
    skipped_count: int = 0
    suggested_count: int = 0
    not_read: tuple[FileNote, ...] = ()
    left_in_inbox: tuple[FileNote, ...] = ()
    warnings: tuple[str, ...] = ()
    rejects: Path | None = None
    wordings: Path | None = None
    next_record: str | None = None
    contradicted: tuple[str, ...] = ()
    changed_workbooks: tuple[Path, ...] = ()
    file_notes: tuple[FileNote, ...] = ()
    rows_gone: tuple[str, ...] = ()
    rows_gone_workbook: Path | None = None
    closed: tuple[str, ...] = ()
    restated: tuple[str, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Return whether nothing has ever come in."""
        return self.receipts_count == 0


def sum_files(files: pl.DataFrame) -> dict[str, int]:
    """Return the row counts of the given receipt.file rows, added up."""
    counts = [name for name in files.columns if name.endswith("_count")]
    return {name: int(files[name].sum()) for name in counts}


def note_files(read: Iterable[ReadReceipt]) -> tuple[FileNote, ...]:
    """Return the files, or sheets of them, that could not be read."""
    return tuple(
        FileNote(one.file.name, say_fault(fault), fault.sort)
        for one in read
        for fault in one.file.faults
    )


def note_unusual(read: Iterable[ReadReceipt]) -> tuple[FileNote, ...]:
    """Return what to know of the files that were read, each note once with the files it is of."""
    files: dict[str, list[str]] = {}
    for one in read:
        for note in one.file.notes:
            files.setdefault(note, []).append(one.file.name)
    return tuple(FileNote(_name_files(names), note) for note, names in files.items())


def _name_files(names: Sequence[str]) -> str:
    more = len(names) - 1
    return names[0] + (f" and {more} more" if more else "")


def note_gone(gone: pl.DataFrame, batch_nos: Sequence[int]) -> tuple[str, ...]:
    """Return what to ask of rows that files of these batches left out; `gone`: page.row_gone."""
    asked = gone.filter(pl.col("batch_no").is_in(list(batch_nos)))
    return tuple(ask_gone(asked))


def note_left(batch: Batch) -> tuple[FileNote, ...]:
    """Return what stays in the inbox."""
    return tuple(FileNote(left.name, f"{left.why}: {left.mend}") for left in batch.left)


def note_contradictions(rejects: pl.DataFrame, receipt_nos: Sequence[int]) -> tuple[str, ...]:
    """Return what contradicts something else among the rejects of these receipts."""
    concerned = rejects.filter(
        pl.col("receipt_no").is_in(list(receipt_nos))
        & pl.col("reason").str.contains("^contradicts |^this document stands with")
    )
    return tuple(concerned["reason"].unique(maintain_order=True))
