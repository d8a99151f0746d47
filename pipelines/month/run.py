"""A run: receive, judge, work out, render, publish; the published files are only replaced."""

import shutil
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path

import polars as pl
from filelock import FileLock, Timeout

from pipelines.errors import BusyError
from pipelines.month.closings import close_months
from pipelines.month.fingerprint import fingerprint, program_version
from pipelines.month.folder import FirmFolder, open_folder
from pipelines.month.graph import Frames
from pipelines.month.progress import Progress, Silent
from pipelines.month.read_receipt import ReadReceipt
from pipelines.month.receipts import KEPT_AT_CLOSING, read_receipts
from pipelines.month.rejects import write_reject_workbooks
from pipelines.month.rows_gone import write_gone_workbooks
from pipelines.month.setting_tables import month_end_before
from pipelines.month.stages import list_stages
from pipelines.month.summary import (
    RunSummary,
    note_contradictions,
    note_files,
    note_gone,
    note_left,
    note_unusual,
    sum_files,
)
from pipelines.month.wordings import write_unknown_wordings
from pipelines.month.working_out import work_out
from pipelines.receiving.mapping_files import load_mappings
from pipelines.receiving.register import Batch, Receipt, clear_inbox, list_receipts, take_in
from pipelines.settings import Settings, read_settings
from pipelines.warehouse.checks import run_checks
from pipelines.warehouse.connection import Connection, open_for_reading, open_for_writing
from pipelines.warehouse.kept_workbooks import list_changed
from pipelines.warehouse.publish import (
    clear_next,
    close_next,
    publish_pages,
    publish_warehouse,
    stored_fingerprint,
)
from pipelines.warehouse.tables import append, fetch
from reports.closings import say_restated
from reports.pages import PAGE_READS, read_pages_fingerprint, write_pages
from schemas.frames import shape_of
from schemas.records import RECORDS

SILENT = Silent()


@dataclass(frozen=True)
class _Run:
    """One run's fixed points."""

    folder: FirmFolder
    settings: Settings
    as_of: date
    batch: Batch
    receipts: tuple[Receipt, ...]
    fingerprint: str
    progress: Progress


@dataclass(frozen=True)
class _Left:
    """Workbooks for a person: to mend, to name, to take back, and those changed by the pages."""

    rejects: Path | None
    wordings: Path | None
    gone: Path | None
    changed: tuple[Path, ...] = ()


def run_month(root: Path, as_of: date | None = None, progress: Progress = SILENT) -> RunSummary:
    """
    Do everything that is due in the firm's folder `root`, and return what there is to say.

    `as_of` is the day that the run stands for: the argument, else the settings' own, else today.
    A run that fails leaves the published warehouse and pages, and the inbox, as they were.
    """
    folder = open_folder(root)
    settings = read_settings(folder.settings_file)
    mappings = load_mappings(folder.mappings, RECORDS)
    with _held(folder):
        now = datetime.now(tz=UTC)
        day = as_of or settings.as_of or now.date()
        batch = take_in(folder.inbox, folder.received, now)
        receipts = list_receipts(folder.received)
        print_ = fingerprint(folder, receipts, day)
        run = _Run(folder, settings, day, batch, receipts, print_, progress)
        if stored_fingerprint(folder.warehouse) == print_:
            return _publish_again(run)
        read = read_receipts(receipts, mappings, progress.reading)
        return _make_anew(*_close_months(run, read))


@contextmanager
def _held(folder: FirmFolder) -> Iterator[None]:
    lock = FileLock(folder.lock, timeout=0)
    try:
        with lock:
            yield
    except Timeout:
        raise BusyError(
            f"{folder.root}: another run is at work here; wait until it has finished"
        ) from None


def _publish_again(run: _Run) -> RunSummary:
    """Publish the pages if they are not those of the warehouse; nothing else is due."""
    if read_pages_fingerprint(run.folder.pages) != run.fingerprint:
        _render(run, run.folder.warehouse)
        publish_pages(run.folder.pages_next, run.folder.pages)
    clear_inbox(run.batch)
    return RunSummary(
        is_new=False,
        pages=run.folder.pages,
        receipts_count=len(run.receipts),
        held_files_count=len(run.batch.held),
        left_in_inbox=note_left(run.batch),
        changed_workbooks=list_changed(run.folder.pages),
    )


def _close_months(run: _Run, read: Sequence[ReadReceipt]) -> tuple[_Run, list[ReadReceipt]]:
    """
    Return the run and what it reads with the figures of months that are closed now.

    They go into the register before anything is worked out, so that a run broken off after that
    finds them there, and one broken off before writes them at its next try.
    """
    closed = close_months(run.folder.received, read, partial(list_stages, run.settings, run.as_of))
    if not closed:
        return run, list(read)
    receipts = list_receipts(run.folder.received)
    print_ = fingerprint(run.folder, receipts, run.as_of)
    return replace(run, receipts=receipts, fingerprint=print_), [*read, *closed]


def _make_anew(run: _Run, read: Sequence[ReadReceipt]) -> RunSummary:
    known = _last_batch(run.folder.warehouse)
    path = clear_next(run.folder.warehouse)
    try:
        _work_out(path, run, read)
    except BaseException:
        clear_next(run.folder.warehouse)
        raise
    frames = _render(run, path)
    left = _write_rejects(run, path, known, frames)
    publish_warehouse(run.folder.warehouse)
    kept = publish_pages(run.folder.pages_next, run.folder.pages)
    with open_for_reading(run.folder.warehouse) as published:
        new = [one for one in read if one.batch_no > known]
        summary = _summarise(published, run, new, frames, replace(left, changed=kept))
    clear_inbox(run.batch)
    return summary


def _write_rejects(run: _Run, warehouse: Path, known: int, frames: Frames) -> _Left:
    """
    Write what a person has to mend, to name and perhaps to take back, out of the closed next file.

    Before anything is published: a run that is broken off later would find nothing new at its
    next try, and nobody would ever be told of these rows.
    """
    with open_for_reading(warehouse) as closed:
        rejects = write_reject_workbooks(closed, run.folder.rejects, known)
        files = fetch(closed, "receipt.file", ["batch_no", "batch_at"])
    gone = write_gone_workbooks(frames["page.row_gone"], files, run.folder.rejects, known)
    unknown = frames["page.unknown_description"]
    return _Left(rejects, write_unknown_wordings(unknown, run.folder.rejects, run.as_of), gone)


def _last_batch(warehouse: Path) -> int:
    if stored_fingerprint(warehouse) is None:
        return 0
    with open_for_reading(warehouse) as published:
        return int(fetch(published, "run.run", ["batch_no"])["batch_no"][0])


def _work_out(path: Path, run: _Run, read: Sequence[ReadReceipt]) -> None:
    """Fill the next file, check its figures, and close it."""
    connection = open_for_writing(path)
    try:
        work_out(connection, list_stages(run.settings, run.as_of, read), run.progress)
        run.progress.stage("checking the figures")
        append(connection, "run.run", _run_row(run, read))
        append(connection, "result.check_outcome", run_checks(connection))
        close_next(connection, path)
    finally:
        connection.close()


def _run_row(run: _Run, read: Sequence[ReadReceipt]) -> pl.DataFrame:
    row = {
        "as_of": run.as_of,
        "month_end_on": month_end_before(run.as_of),
        "batch_no": max((one.batch_no for one in read), default=0),
        "fingerprint": run.fingerprint,
        "version": program_version(),
    }
    return pl.DataFrame([row], schema=shape_of("run.run"))


def _render(run: _Run, warehouse: Path) -> Frames:
    """Write the pages of a closed warehouse beside the published ones; return their frames."""
    run.progress.stage("drawing the pages")
    with open_for_reading(warehouse) as closed:
        frames = {name: fetch(closed, name) for name in sorted(set().union(*PAGE_READS.values()))}
    shutil.rmtree(run.folder.pages_next, ignore_errors=True)
    run.folder.pages_next.mkdir()
    write_pages(frames, run.folder.pages_next, run.fingerprint)
    return frames


def _summarise(
    published: Connection,
    run: _Run,
    new: Sequence[ReadReceipt],
    frames: Frames,
    left: _Left,
) -> RunSummary:
    """Sum up the `new` receipts: those that no published run has told of yet."""
    kept = [one for one in new if one.file.source == KEPT_AT_CLOSING]
    new = [one for one in new if one not in kept]
    receipt_nos = [one.receipt.receipt_no for one in new]
    files = fetch(published, "receipt.file").filter(pl.col("receipt_no").is_in(receipt_nos))
    checks = fetch(published, "result.check_outcome").filter(pl.col("fault_count") > 0)
    proposals = fetch(published, "result.proposal", ["is_offered"])
    next_record = frames["page.next_record"]
    return RunSummary(
        is_new=True,
        pages=run.folder.pages,
        receipts_count=len(run.receipts),
        files_count=len(receipt_nos),
        held_files_count=len(run.batch.held),
        held_back_count=fetch(published, "learn.held_back", ["job_ref", "material"])
        .unique()
        .height,
        suggested_count=int(proposals["is_offered"].sum()),
        not_read=note_files(new),
        left_in_inbox=note_left(run.batch),
        file_notes=note_unusual(new),
        warnings=tuple(checks["fault"].drop_nulls()),
        rejects=left.rejects,
        wordings=left.wordings,
        changed_workbooks=left.changed,
        rows_gone=note_gone(frames["page.row_gone"], [one.batch_no for one in new]),
        rows_gone_workbook=left.gone,
        closed=tuple(one.receipt.name.removesuffix(".csv") for one in kept),
        restated=say_restated(frames["page.restatement"]),
        next_record=next_record["sentence"][0] if next_record.height else None,
        contradicted=note_contradictions(fetch(published, "receipt.reject"), receipt_nos),
        **sum_files(files),
    )
