"""The stages of a run that plan what is cut: every job's least material, and what to load."""

import polars as pl

from pipelines.cutting.booked_loads import plan_loads
from pipelines.cutting.past_plans import plan_jobs
from pipelines.cutting.sheet_plans import plan_sheets
from pipelines.month.graph import Frames, Stage


def list_cutting_stages() -> tuple[Stage, ...]:
    """Return the stages over edges and roofs."""
    return (
        Stage(
            "plans",
            "finding the least material of every job",
            ("feed.cut_run", "feed.sheet_roof", "feed.roof_edge"),
            ("result.cut_job", "result.cut_piece"),
            _plan,
        ),
        Stage(
            "loads",
            "planning what to load for the booked jobs",
            ("feed.booked_run", "stock.rack_piece"),
            ("result.cut_load",),
            lambda read: {
                "result.cut_load": plan_loads(read["feed.booked_run"], read["stock.rack_piece"])
            },
        ),
    )


def _plan(read: Frames) -> Frames:
    by_length = plan_jobs(read["feed.cut_run"])
    sheets = plan_sheets(read["feed.sheet_roof"], read["feed.roof_edge"])
    return {
        "result.cut_job": pl.concat([by_length.cut_job, sheets]),
        "result.cut_piece": by_length.cut_piece,
    }
