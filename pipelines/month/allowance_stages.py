"""The stages that find how sure loads shall be, and try suggestions on past jobs."""

from decimal import Decimal

import polars as pl

from pipelines.allowances.cold_months import try_cold_months
from pipelines.allowances.scores import score_ways
from pipelines.allowances.tried import list_prices_before, try_on_past_jobs
from pipelines.calibration.drift import fade_before
from pipelines.calibration.load_setting import find_load_setting
from pipelines.calibration.readings import weigh_readings
from pipelines.month.graph import Frames, Stage
from pipelines.setting_load import Load
from schemas.frames import shape_of

_LOAD_READS = (
    "learn.use_line",
    "result.drift",
    "setting.firm",
    "setting.load",
    "setting.job_type",
    "stock.price_step",
)


def list_allowance_stages() -> tuple[Stage, ...]:
    """Return the stages of loads and of what was tried on past jobs."""
    return (
        Stage(
            "load setting",
            "finding how sure the loads shall be",
            _LOAD_READS,
            ("result.load_setting",),
            _set_load,
        ),
        Stage(
            "tried lines",
            "trying the suggestions on past jobs",
            (*_LOAD_READS, "learn.allowed_then"),
            ("result.tried_line",),
            _try,
        ),
        Stage(
            "cold months",
            "trying whether cold months take more",
            (
                "learn.use_line",
                "result.drift",
                "result.load_setting",
                "setting.cold_month",
                "setting.job_type",
            ),
            ("result.cold_month",),
            _try_cold_months,
        ),
        Stage(
            "scores",
            "summing up what was tried",
            ("result.tried_line", "setting.firm"),
            ("result.score",),
            _score,
        ),
    )


def _set_load(read: Frames) -> Frames:
    firm = read["setting.firm"].row(0, named=True)
    found = find_load_setting(
        fade_before(weigh_readings(read["learn.use_line"]), read["result.drift"]),
        _load(read),
        list_prices_before(read["stock.price_step"], firm["as_of"]),
        read["setting.job_type"]["job_type"].to_list(),
        firm["month_end_on"],
    )
    row = {
        "load_basis": found.basis,
        "load_share_ratio": found.load_share,
        "second_trip_share_ratio": found.second_trip_share,
        "covered_job_ratio": found.covered_job_ratio,
        "job_count": found.job_count,
        "mean_cost_gbp": found.mean_cost_gbp,
    }
    return {"result.load_setting": pl.DataFrame([row], schema=shape_of("result.load_setting"))}


def _load(read: Frames) -> Load:
    row = read["setting.load"].row(0, named=True)
    share, surplus = row["second_trip_share_ratio"], row["surplus_ratio"]
    return Load(
        load_share=read["setting.firm"].row(0, named=True)["load_share_ratio"],
        second_trip_share=None if share is None else Decimal(str(share)),
        trip_gbp=row["trip_gbp"],
        surplus_ratio=None if surplus is None else Decimal(str(surplus)),
    )


def _try(read: Frames) -> Frames:
    firm = read["setting.firm"].row(0, named=True)
    tried = try_on_past_jobs(
        weigh_readings(read["learn.use_line"]),
        read["learn.allowed_then"],
        read["stock.price_step"],
        firm["month_end_on"],
        load=_load(read),
        job_types=read["setting.job_type"]["job_type"].to_list(),
        drift=read["result.drift"],
    )
    return {"result.tried_line": tried}


def _try_cold_months(read: Frames) -> Frames:
    tried = try_cold_months(
        weigh_readings(read["learn.use_line"]),
        read["setting.cold_month"]["month_no"].to_list(),
        read["result.drift"],
        read["result.load_setting"]["load_share_ratio"][0],
        read["setting.job_type"]["job_type"].to_list(),
    )
    return {"result.cold_month": tried}


def _score(read: Frames) -> Frames:
    month_end_on = read["setting.firm"].row(0, named=True)["month_end_on"]
    return {"result.score": score_ways(read["result.tried_line"], month_end_on)}
