"""What a person reads in the terminal."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import polars as pl
from rich.console import Console
from rich.padding import Padding
from rich.progress import BarColumn, Progress, TaskID, TextColumn
from rich.table import Table

from pipelines.cli.told_estimate import (
    estimate_lines_below,
    estimate_table,
    estimate_title,
    suggested_table,
)
from pipelines.cli.told_trace import trace_lines
from pipelines.month.deciding import Decided
from pipelines.month.estimated import Estimate
from pipelines.month.foretelling import ForetoldFile
from pipelines.month.new_firm import NewFolder
from pipelines.month.summary import FileNote, RunSummary
from pipelines.month.traced import TracedJob

_READING = "reading what came in"


class _Bar:
    """A bar that the run moves."""

    def __init__(self, progress: Progress, task: TaskID) -> None:
        self._progress = progress
        self._task = task

    def reading(self, done: int, of: int) -> None:
        """Move the bar to `done` of `of` files."""
        self._progress.update(self._task, description=_READING, completed=done, total=of)

    def stage(self, says: str) -> None:
        """Say what is being done."""
        self._progress.update(self._task, description=says, total=None)


class Terminal:
    """Prints answers; `quiet` where the answer goes to another program."""

    def __init__(self, *, quiet: bool = False) -> None:
        """Print to standard output, or nothing where quiet."""
        self._console = Console(quiet=quiet, highlight=False, soft_wrap=False)

    @contextmanager
    def working(self) -> Iterator[_Bar]:
        """Show a bar while the work goes on."""
        columns = (TextColumn("{task.description}"), BarColumn(bar_width=30))
        with Progress(*columns, console=self._console, transient=True) as progress:
            yield _Bar(progress, progress.add_task("starting", total=None))

    def tell_run(self, summary: RunSummary, folder: Path) -> None:
        """Print what a run came to."""
        say = self._console.print
        if summary.is_empty:
            say(f"The inbox is empty: drop files into {folder / 'inbox'} and run again.")
        elif not summary.is_new:
            say("Nothing is new.")
        else:
            self._tell_counts(summary)
        if summary.held_files_count:
            say(f"{_files(summary.held_files_count)} held already, word for word: nothing to do.")
        self._tell_notes("Could not be read:", summary.not_read)
        self._tell_notes("Read, but mind:", summary.file_notes)
        self._tell_notes("Left in the inbox:", summary.left_in_inbox)
        self._tell_lines("Contradicting each other, so neither was taken in:", summary.contradicted)
        self._tell_lines("No longer there, still counted:", summary.rows_gone)
        self._tell_lines("Worth a look:", summary.warnings)
        self._tell_lines("Kept as printed:", summary.closed)
        self._tell_lines("Closed, and changed since:", summary.restated)
        self._tell_lines(
            "Changed by hand beside the pages; copy into the inbox what shall count:",
            [str(path) for path in summary.changed_workbooks],
        )
        self._tell_where(summary)

    def _tell_counts(self, summary: RunSummary) -> None:
        table = Table(box=None, show_header=False, padding=(0, 2, 0, 0))
        table.add_column(justify="right")
        table.add_column()
        for count, says in (
            (summary.files_count, "files came in"),
            (summary.rows_read_count, "rows in them"),
            (summary.accepted_count, "taken in"),
            (summary.repaired_count, "of these mended, each on record"),
            (summary.rejected_count, "could not be read"),
            (summary.already_held_count, "held already"),
            (summary.skipped_count, "skipped: titles, headings, totals, blank rows"),
            (summary.held_back_count, "in the books, set aside from learning"),
            (summary.suggested_count, "allowances suggested"),
        ):
            table.add_row(f"{count:,}", says)
        self._console.print(table)

    def _tell_where(self, summary: RunSummary) -> None:
        if summary.rejects is not None:
            self._console.print(f"Rows to mend: {summary.rejects}", soft_wrap=True)
        if summary.rows_gone_workbook is not None:
            self._console.print(
                f"Rows perhaps to take back: {summary.rows_gone_workbook}", soft_wrap=True
            )
        if summary.wordings is not None:
            self._console.print(f"Descriptions to name: {summary.wordings}", soft_wrap=True)
        if not summary.is_empty:
            self._console.print(f"Pages: {summary.pages / 'start.html'}", soft_wrap=True)
        if summary.next_record:
            self._console.print(summary.next_record)

    def _tell_notes(self, title: str, notes: Sequence[FileNote]) -> None:
        self._tell_lines(title, [f"{note.file_name}: {note.message}" for note in notes])

    def _tell_lines(self, title: str, lines: Sequence[str]) -> None:
        if lines:
            self._console.print(title)
        for line in lines:
            self._console.print(Padding(line, (0, 0, 0, 2)), markup=False)

    def tell_new(self, made: NewFolder) -> None:
        """Print what was made and what to do next."""
        self._console.print(f"Made {made.root}.", soft_wrap=True)
        self._tell_lines("Next:", made.next_steps)

    def tell_check(self, files: Sequence[ForetoldFile]) -> None:
        """Print what would become of each file."""
        for file in files:
            self._console.print(f"{file.file_name}: {file.says}", markup=False)
            self._tell_lines("", [file.message] if file.message else [])
            for row in file.rows:
                self._console.print(Padding(row, (0, 0, 0, 2)), markup=False)
            self._tell_lines("", file.seen)

    def tell_draft(self, draft: Path) -> None:
        """Print where a draft of a mapping stands, and what to do with it."""
        self._console.print(f"Draft: {draft}", soft_wrap=True, markup=False)
        self._console.print("Finish what it marks TO FINISH, then check the file again.")

    def tell_allowances(self, rows: pl.DataFrame) -> None:
        """Print suggested allowances beside what is allowed, with the reason of each."""
        if rows.is_empty():
            self._console.print(
                "No allowance can be suggested yet: finished jobs with what was taken out and "
                "brought back are needed, eight or more for a material."
            )
        for row in rows.iter_rows(named=True):
            self._console.print(f"[bold]{row['material']}, {row['job_type']}[/bold]: {row['says']}")
            self._console.print(Padding(row["reason"], (0, 0, 0, 2)), markup=False)
            if row["is_offered"] and row["by_size"]:
                self._console.print(Padding(row["by_size"], (0, 0, 0, 2)), markup=False)

    def tell_decided(self, decided: Decided) -> None:
        """Print what was decided, where it was written, and when it counts."""
        self._console.print(
            f"{decided.material}, {decided.job_type}: {decided.decision}, "
            f"{decided.fixed_loss} {decided.base_unit} on every job, and over what the roof needs "
            f"{decided.price_ratio:+.2%} to charge, {decided.load_ratio:+.2%} to load, from "
            f"{decided.decided_on}.",
            markup=False,
        )
        self._console.print(f"Written to {decided.path}.", soft_wrap=True, markup=False)
        self._console.print("The next run brings it into force: roofyield run")

    def tell_estimate(self, told: Estimate) -> None:
        """Print an estimate: its lines, the sum, what is not known, and what to mind."""
        self._console.print(estimate_title(told), markup=False)
        self._console.print(estimate_table(told))
        if any(line.suggested for line in told.lines):
            self._console.print(suggested_table(told))
        for line in estimate_lines_below(told):
            self._console.print(line, markup=False)

    def tell_trace(self, traced: TracedJob) -> None:
        """Print every figure of a job with the rows that it rests on."""
        for depth, line in trace_lines(traced):
            self._console.print(Padding(line, (0, 0, 0, 2 * depth)), markup=False)


def _files(count: int) -> str:
    return "1 file is" if count == 1 else f"{count} files are"
