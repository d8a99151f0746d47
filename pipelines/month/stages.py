"""The stages of a run: each a plain function of frames, with what it reads and writes."""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal

import polars as pl

from pipelines.allowances.guard import Standing
from pipelines.allowances.proposals import suggest
from pipelines.allowances.scores import score_ways
from pipelines.allowances.tried import list_prices_before, try_on_past_jobs
from pipelines.calibration.fits import Fits, fit_all
from pipelines.calibration.load_setting import find_load_setting
from pipelines.month.cutting_stages import list_cutting_stages
from pipelines.month.graph import Frames, Stage
from pipelines.month.read_receipt import ReadReceipt
from pipelines.month.receipts import judge_receipts
from pipelines.month.setting_tables import tabulate_settings
from pipelines.month.stock_stages import list_stock_stages
from pipelines.setting_load import Load
from pipelines.settings import Settings
from schemas.frames import shape_of
from schemas.records import RECORDS
from schemas.tables import TABLES

_SETTING_TABLES = tuple(name for name in TABLES if name.startswith("setting."))
_JUDGED_TABLES = (
    *(name for name in TABLES if name.startswith("receipt.")),
    *(f"history.{record}" for record in RECORDS),
)


def list_stages(
    settings: Settings, as_of: date, receipts: Sequence[ReadReceipt]
) -> tuple[Stage, ...]:
    """Return every stage of a run over these settings and receipts."""
    return (
        Stage(
            "settings",
            "reading the settings",
            (),
            _SETTING_TABLES,
            lambda _: tabulate_settings(settings, as_of),
        ),
        Stage(
            "judging",
            "judging every row",
            (),
            _JUDGED_TABLES,
            lambda _: judge_receipts(receipts, settings, as_of),
        ),
        *list_cutting_stages(),
        *_learning_stages(),
        *list_stock_stages(),
    )


def _learning_stages() -> tuple[Stage, ...]:
    return (
        Stage(
            "load setting",
            "finding how sure the loads shall be",
            (
                "learn.use_line",
                "setting.firm",
                "setting.load",
                "setting.job_type",
                "stock.price_step",
            ),
            ("result.load_setting",),
            _set_load,
        ),
        Stage(
            "fits",
            "learning from finished jobs",
            ("learn.use_line", "result.load_setting", "setting.firm", "setting.job_type"),
            ("result.fit", "result.fit_rate"),
            _fit,
        ),
        Stage(
            "suggestions",
            "suggesting allowances",
            (
                "learn.use_line",
                "learn.held_back",
                "ledger.jobs",
                "result.fit",
                "result.fit_rate",
                "result.tried_line",
                "result.allowance_in_force",
                "setting.firm",
            ),
            ("result.proposal",),
            _suggest,
        ),
        Stage(
            "tried lines",
            "trying the suggestions on past jobs",
            (
                "learn.use_line",
                "learn.allowed_then",
                "setting.firm",
                "setting.load",
                "setting.job_type",
                "stock.price_step",
            ),
            ("result.tried_line",),
            _try,
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
        read["learn.use_line"],
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


def _fit(read: Frames) -> Frames:
    firm = read["setting.firm"].row(0, named=True)
    job_types = read["setting.job_type"]["job_type"].to_list()
    load_share = read["result.load_setting"].row(0, named=True)["load_share_ratio"]
    fits = fit_all(read["learn.use_line"], load_share, job_types, firm["month_end_on"])
    return {"result.fit": fits.fit, "result.fit_rate": fits.fit_rate}


def _suggest(read: Frames) -> Mapping[str, pl.DataFrame]:
    fits = Fits(read["result.fit"], read["result.fit_rate"])
    jobs = read["ledger.jobs"].select("job_ref", "job_type")
    held_back = (
        read["learn.held_back"]
        .select("job_ref", "material")
        .unique()
        .join(jobs, on="job_ref")
        .group_by("material", "job_type")
        .agg(pl.len().cast(pl.Int64).alias("held_back_count"))
    )
    standing = Standing(
        read["result.allowance_in_force"],
        read["result.tried_line"],
        read["setting.firm"].row(0, named=True)["as_of"],
    )
    return {"result.proposal": suggest(fits, read["learn.use_line"], held_back, standing)}


def _try(read: Frames) -> Frames:
    firm = read["setting.firm"].row(0, named=True)
    tried = try_on_past_jobs(
        read["learn.use_line"],
        read["learn.allowed_then"],
        read["stock.price_step"],
        firm["month_end_on"],
        load=_load(read),
        job_types=read["setting.job_type"]["job_type"].to_list(),
    )
    return {"result.tried_line": tried}


def _score(read: Frames) -> Frames:
    month_end_on = read["setting.firm"].row(0, named=True)["month_end_on"]
    return {"result.score": score_ways(read["result.tried_line"], month_end_on)}
