"""Months closed: what was printed for them, kept in received/ where no later change reaches it."""

from collections.abc import Callable, Collection, Iterator, Sequence
from datetime import date
from pathlib import Path

import polars as pl

from pipelines.month.graph import Frames, Stage
from pipelines.month.progress import Silent
from pipelines.month.read_receipt import ReadReceipt
from pipelines.month.receipts import CLOSED_FILE, read_own
from pipelines.month.working_out import work_out
from pipelines.receiving.register import keep_own
from pipelines.warehouse.connection import open_in_memory
from pipelines.warehouse.tables import fetch

_HELD = ("receipt.file", "history.closed_figures", "ledger.closings", "ledger.closed_figures")
_FIGURES = "comparison.month_figure"
_AGAIN = "result.closed_again"
_MOST_BATCHES_AGAIN = 3
"""How many closings, newest first, are worked out again to tell records from method."""

StagesOver = Callable[[Sequence[ReadReceipt]], Collection[Stage]]
"""Gives the stages of a run over some of its receipts."""


def close_months(
    received: Path, read: Sequence[ReadReceipt], stages_over: StagesOver
) -> list[ReadReceipt]:
    """
    Write the figures of months that `read` closes into the register; return these files read.

    The figures are those of the receipts up to and with the batch of the closing, whatever came
    later, under the time of that batch. Where all closings have theirs nothing is done; a run
    broken off between two of them leaves the rest to the next.
    """
    written = []
    for batch_no in _batches_to_look_at(read):
        so_far = [one for one in read if one.batch_no <= batch_no]
        frames = _work_out(stages_over(so_far), (*_HELD, _FIGURES))
        at = next(one.receipt.batch_at for one in read if one.batch_no == batch_no)
        for month_on in _months_to_close(frames, so_far, batch_no):
            content = _lay_out(frames, month_on).write_csv().encode()
            receipt = keep_own(received, _name(month_on), content, at)
            written.append(read_own(receipt, batch_no))
    return written


def list_closing_stages(read: Sequence[ReadReceipt], stages_over: StagesOver) -> tuple[Stage, ...]:
    """Return the stage that works closed months out again from what had come in by then."""
    return (
        Stage(
            "closed months",
            "holding closed months against what was printed",
            ("receipt.file", "ledger.closings", "ledger.closed_figures", _FIGURES),
            (_AGAIN,),
            lambda frames: {_AGAIN: _work_out_again(frames, read, stages_over)},
        ),
    )


def _batches_to_look_at(read: Sequence[ReadReceipt]) -> list[int]:
    """Return the batches that bring more new rows of closings than figures written for them."""
    told: set[tuple[object, ...]] = set()
    found = []
    for batch_no in sorted({one.batch_no for one in read}):
        batch = [one for one in read if one.batch_no == batch_no]
        new = {row for one in batch for row in _closing_rows(one)} - told
        told |= new
        if len(new) > sum(CLOSED_FILE.fullmatch(one.receipt.name) is not None for one in batch):
            found.append(batch_no)
    return found


def _closing_rows(one: ReadReceipt) -> Iterator[tuple[object, ...]]:
    for sheet in one.file.sheets:
        rows = sheet.rows.get("closings")
        if rows is not None:
            yield from rows.select("month_on", "closed_on").iter_rows()


def _work_out(stages: Collection[Stage], wanted: Sequence[str]) -> dict[str, pl.DataFrame]:
    with open_in_memory() as connection:
        work_out(connection, stages, Silent(), wanted)
        return {name: fetch(connection, name) for name in wanted}


def _with_batch(frame: pl.DataFrame, files: pl.DataFrame) -> pl.DataFrame:
    return frame.join(files.select("receipt_no", "batch_no"), on="receipt_no", how="left")


def _months_to_close(frames: Frames, so_far: Sequence[ReadReceipt], batch_no: int) -> list[date]:
    """Return the months closed by this batch of which no figures came with it or were kept."""
    closed = _with_batch(frames["ledger.closings"], frames["receipt.file"])
    months = closed.filter(batch_no=batch_no)["month_on"].sort().to_list()
    handed_in = frames["history.closed_figures"].filter(batch_no=batch_no)["month_on"].to_list()
    names = {one.receipt.name for one in so_far if one.batch_no == batch_no}
    return [month for month in months if month not in handed_in and _name(month) not in names]


def _name(month_on: date) -> str:
    return f"closed figures {month_on:%Y-%m}.csv"


def _lay_out(frames: Frames, month_on: date) -> pl.DataFrame:
    """Return the month's figures; 0 for what an earlier closing kept and is no more."""
    columns = ["month_on", "job_ref", "figure", "gbp"]
    now = frames[_FIGURES].filter(month_on=month_on).select(columns)
    before = frames["ledger.closed_figures"].filter(month_on=month_on).select(columns)
    gone = before.join(now, on=columns[:3], how="anti", nulls_equal=True)
    nothing = pl.lit(0, before.schema["gbp"]).alias("gbp")
    return pl.concat([now, gone.with_columns(nothing)]).sort(columns[1:3], nulls_last=True)


def _work_out_again(
    frames: Frames, read: Sequence[ReadReceipt], stages_over: StagesOver
) -> pl.DataFrame:
    """Return result.closed_again for the newest closings of which a figure differs."""
    closed = _with_batch(
        frames["ledger.closings"].select("month_on", "receipt_no"), frames["receipt.file"]
    )
    months = closed.filter(pl.col("month_on").is_in(_changed_months(frames).implode()))
    found = [pl.DataFrame(schema=frames[_FIGURES].schema)]
    batches = months["batch_no"].unique().sort(descending=True).head(_MOST_BATCHES_AGAIN)
    for batch_no in batches:
        so_far = [one for one in read if one.batch_no <= batch_no]
        again = _work_out(stages_over(so_far), (_FIGURES,))[_FIGURES]
        found.append(again.join(months.filter(batch_no=batch_no), on="month_on", how="semi"))
    return pl.concat(found).rename({"gbp": "again_gbp"})


def _changed_months(frames: Frames) -> pl.Series:
    key = ["month_on", "job_ref", "figure", "gbp"]
    printed, now = frames["ledger.closed_figures"].select(key), frames[_FIGURES].select(key)
    differing = pl.concat(
        [
            printed.join(now, on=key, how="anti", nulls_equal=True),
            now.join(printed, on=key, how="anti", nulls_equal=True),
        ]
    )
    return differing["month_on"].unique()
