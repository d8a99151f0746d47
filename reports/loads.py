"""How sure the loads are set to be, and how often a van truly went twice."""

from typing import Any

from reports import words
from reports.page import Frames

READS = ("page.load_setting",)

_BY_JOB = "share of jobs with a second trip"
_BY_COST = "cost of a trip and of a surplus"


def list_notes(frames: Frames) -> tuple[str, ...]:
    """Return what the setting comes to on past jobs, and the trips that the cards tell of."""
    return tuple(
        said
        for row in frames["page.load_setting"].iter_rows(named=True)
        for said in (_say_setting(row), *_say_trips(row))
    )


def _say_setting(row: dict[str, Any]) -> str:
    loaded = f"every material is loaded to last on {_in_hundred(row['load_share_ratio'])} jobs"
    if row["load_basis"] == _BY_JOB:
        trips = _in_hundred(row["second_trip_share_ratio"])
        said = f"You set {trips} jobs for a second trip, so {loaded}"
    elif row["load_basis"] == _BY_COST:
        said = f"By what you say a trip and a surplus cost, {loaded}"
    else:
        said = f"As it is {row['load_basis']}, {loaded}"
    return f"{said}{_say_covered(row)}."


def _say_covered(row: dict[str, Any]) -> str:
    if row["covered_job_ratio"] is None:
        return ""
    jobs = words.counted(row["job_count"], "past job")
    return f"; of {jobs} everything would have lasted on {_in_hundred(row['covered_job_ratio'])}"


def _say_trips(row: dict[str, Any]) -> tuple[str, ...]:
    if not row["told_job_count"]:
        return ()
    told = words.counted(row["told_job_count"], "job")
    said = f"Of {told} in twelve months whose card tells it, the van went twice on "
    most = f", most often for {row['ran_short_of']}" if row["ran_short_of"] else ""
    return (f"{said}{row['trip_job_count']}{most}.",)


def _in_hundred(ratio: float) -> str:
    return f"{ratio * 100:.0f} in 100"
