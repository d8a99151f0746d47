"""The stages of a run: each a plain function of frames, with what it reads and writes."""

from collections.abc import Mapping, Sequence
from datetime import date
from functools import partial

import polars as pl

from pipelines.allowances.guard import Standing
from pipelines.allowances.proposals import suggest
from pipelines.calibration.crews import compare_vans
from pipelines.calibration.drift import fade_before, watch_use
from pipelines.calibration.fits import Fits, fit_all
from pipelines.calibration.gates import find_slips
from pipelines.calibration.readings import weigh_readings
from pipelines.month.allowance_stages import list_allowance_stages
from pipelines.month.closings import list_closing_stages
from pipelines.month.cutting_stages import list_cutting_stages
from pipelines.month.graph import Frames, Stage
from pipelines.month.read_receipt import ReadReceipt
from pipelines.month.receipts import judge_receipts
from pipelines.month.setting_tables import tabulate_settings
from pipelines.month.stock_stages import list_stock_stages
from pipelines.settings import Settings
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
        *list_allowance_stages(),
        *_watching_stages(),
        *_learning_stages(),
        *list_stock_stages(),
        *list_closing_stages(receipts, partial(list_stages, settings, as_of)),
    )


def _watching_stages() -> tuple[Stage, ...]:
    return (
        Stage(
            "gates",
            "looking for slips",
            ("learn.gate_line", "setting.firm"),
            ("result.slip",),
            _find_slips,
        ),
        Stage(
            "drift",
            "looking for use that creeps",
            ("learn.use_line", "setting.firm"),
            ("result.drift",),
            _watch_use,
        ),
        Stage(
            "vans",
            "comparing the vans where that is asked for",
            (
                "learn.use_line",
                "ledger.jobs",
                "result.drift",
                "setting.compared_van",
                "setting.firm",
                "setting.job_type",
            ),
            ("result.crew_miss",),
            _compare_vans,
        ),
    )


def _learning_stages() -> tuple[Stage, ...]:
    return (
        Stage(
            "fits",
            "learning from finished jobs",
            (
                "learn.use_line",
                "result.load_setting",
                "result.drift",
                "setting.firm",
                "setting.job_type",
            ),
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
    )


def _find_slips(read: Frames) -> Frames:
    as_of = read["setting.firm"]["as_of"][0]
    return {"result.slip": find_slips(read["learn.gate_line"], as_of)}


def _watch_use(read: Frames) -> Frames:
    lines = weigh_readings(read["learn.use_line"])
    return {"result.drift": watch_use(lines, read["setting.firm"]["month_end_on"][0])}


def _compare_vans(read: Frames) -> Frames:
    vans = read["ledger.jobs"].join(read["setting.compared_van"], on="crew")
    found = compare_vans(
        fade_before(weigh_readings(read["learn.use_line"]), read["result.drift"]),
        vans.select("job_ref", "crew"),
        read["setting.job_type"]["job_type"].to_list(),
        read["setting.firm"]["month_end_on"][0],
    )
    return {"result.crew_miss": found}


def _fit(read: Frames) -> Frames:
    firm = read["setting.firm"].row(0, named=True)
    job_types = read["setting.job_type"]["job_type"].to_list()
    load_share = read["result.load_setting"].row(0, named=True)["load_share_ratio"]
    lines = fade_before(weigh_readings(read["learn.use_line"]), read["result.drift"])
    fits = fit_all(lines, load_share, job_types, firm["month_end_on"])
    return {"result.fit": fits.fit, "result.fit_rate": fits.fit_rate}


def _suggest(read: Frames) -> Mapping[str, pl.DataFrame]:
    fits = Fits(read["result.fit"], read["result.fit_rate"])
    jobs = read["ledger.jobs"].select("job_ref", "job_type")
    held_back = (
        read["learn.held_back"]
        .group_by("job_ref", "material")
        .agg(is_copied=(pl.col("gate") == "copied").any())
        .join(jobs, on="job_ref")
        .group_by("material", "job_type")
        .agg(
            held_back_count=pl.len().cast(pl.Int64),
            copied_count=pl.col("is_copied").sum().cast(pl.Int64),
        )
    )
    standing = Standing(
        read["result.allowance_in_force"],
        read["result.tried_line"],
        read["setting.firm"].row(0, named=True)["as_of"],
    )
    return {"result.proposal": suggest(fits, read["learn.use_line"], held_back, standing)}
