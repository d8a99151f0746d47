"""One share at which all materials are loaded, found on whole past jobs."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import numpy as np
import polars as pl

from pipelines.calibration.job_misses import list_misses
from pipelines.calibration.misses import ROUNDING, miss_at_share, rank_of_share
from pipelines.calibration.mixed_model import Floats
from pipelines.setting_load import LEAST_SHARE, Load

BY_MATERIAL = "set for each material"
BY_JOB = "share of jobs with a second trip"
BY_COST = "cost of a trip and of a surplus"
NO_PRICE = "set for each material, as no price says what a surplus costs"
NO_JOB = "set for each material, as too few jobs speak"

STEPS = 10_000
"""A share found on jobs is given to this part of 1."""

SHARES: Floats = np.linspace(0.5, 0.98, 49)
"""The shares that are tried where costs decide."""


@dataclass(frozen=True)
class LoadSetting:
    """
    The share at which every material is loaded, and what it comes to on past jobs.

    `covered_job_ratio`: share of the past jobs on which every line stayed within its load; None
    without jobs. `mean_cost_gbp`: trips and surplus of a past job, where costs decide.
    """

    basis: str
    load_share: float
    second_trip_share: float | None
    covered_job_ratio: float | None
    job_count: int
    mean_cost_gbp: float | None = None


def find_load_setting(
    use_lines: pl.DataFrame,
    load: Load,
    prices: pl.DataFrame,
    job_types: Sequence[str] = (),
    as_of: date | None = None,
) -> LoadSetting:
    """
    Find the common share on the joint history of past jobs.

    A trip is made for a job, not for a line: loads that each last on 85 jobs in 100 may all last
    on half of them, and how the shortages of a job hang together is in the past jobs alone. So no
    shares are multiplied; each job's lines are held against the misses of the fit to the other
    jobs.

    Args:
        use_lines: as `fit_all` takes them.
        load: what the owner says.
        prices: material, price_gbp of a base unit; read where costs decide.
        job_types: job types that get a rate even without a job.
        as_of: the day on which the jobs are looked back on.

    """
    misses = list_misses(use_lines, job_types, as_of)
    needs = misses.group_by("job_ref").agg(pl.col("share_needed").max()).sort("job_ref")
    needed = needs["share_needed"].to_numpy()
    basis, share = _choose(misses, needed, load, prices)
    trips = None if load.second_trip_share is None else float(load.second_trip_share)
    return LoadSetting(
        basis=basis,
        load_share=share,
        second_trip_share=trips,
        covered_job_ratio=float((needed < share).mean()) if len(needed) else None,
        job_count=len(needed),
        mean_cost_gbp=_cost_of_job(misses, share, load, prices) if basis == BY_COST else None,
    )


def _choose(
    misses: pl.DataFrame, needed: Floats, load: Load, prices: pl.DataFrame
) -> tuple[str, float]:
    if load.is_by_material:
        return BY_MATERIAL, load.load_share
    if not len(needed):
        return NO_JOB, load.load_share
    if load.second_trip_share is not None:
        return BY_JOB, share_that_covers(needed, 1 - float(load.second_trip_share))
    if misses.join(prices.drop_nulls("price_gbp"), on="material", how="semi").is_empty():
        return NO_PRICE, load.load_share
    costs = [_cost_of_job(misses, float(share), load, prices) for share in SHARES]
    return BY_COST, round(float(SHARES[int(np.argmin(costs))]), 2)


def share_that_covers(needed: Floats, wanted: float) -> float:
    """
    Give the smallest share, to a ten thousandth, that covers `wanted` of jobs and one to come.

    `needed`: the share that each job must be exceeded by. The wanted share of one job more than
    there are, rounded up, is covered, or all of them where so few can't tell: never less than
    the share wanted.
    """
    rank = min(rank_of_share(len(needed), wanted), len(needed))
    least = float(np.sort(needed)[rank - 1])
    share = float((np.floor(least * STEPS + ROUNDING) + 1) / STEPS)
    return min(max(share, LEAST_SHARE), 1 - 1 / STEPS)


def _cost_of_job(misses: pl.DataFrame, share: float, load: Load, prices: pl.DataFrame) -> float:
    """
    Add up a trip where anything runs short and what is brought back, over the jobs.

    A line without a price can call for a trip, but its surplus costs nothing here.
    """
    trip, surplus = (float(part or Decimal(0)) for part in (load.trip_gbp, load.surplus_ratio))
    loads = [
        {"material": material, "load_ratio": _load_at(lines, share)}
        for (material,), lines in misses.group_by("material")
    ]
    left = pl.col("load_ratio") - pl.col("miss_ratio")
    price = pl.col("price_gbp").cast(pl.Float64).fill_null(0)
    jobs = (
        misses.join(pl.DataFrame(loads), on="material")
        .join(prices.select("material", "price_gbp"), on="material", how="left")
        .group_by("job_ref")
        .agg(
            is_short=(pl.col("share_needed") >= share).any(),
            surplus_gbp=(price * pl.col("base_quantity") * left.clip(lower_bound=0)).sum(),
        )
        .sort("job_ref")
    )
    short, left_gbp = jobs["is_short"].to_numpy(), jobs["surplus_gbp"].to_numpy()
    return trip * float(short.mean()) + surplus * float(left_gbp.mean())


def _load_at(lines: pl.DataFrame, share: float) -> float:
    ordered = lines.sort("job_ref")
    return miss_at_share(ordered["miss_ratio"].to_numpy(), ordered["weight"].to_numpy(), share)
