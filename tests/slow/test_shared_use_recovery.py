"""Invented firms with their issue records left aside: what counts alone say, and what was used."""

import polars as pl
import pytest

from pipelines.stock.shared_use import share_use
from sample_data.generate import generate
from tests.slow.worked_out import work_out

pytestmark = pytest.mark.slow

SEEDS = range(201, 205)
MATERIALS = ("resin", "mat 450", "mat 600", "primer", "topcoat light grey", "topcoat dark grey")
WANTED = ("stock.count_interval", "learn.base_quantity", "ledger.jobs")
JOB_FLOWS = pl.col("issued_quantity") - pl.col("returned_quantity")


def _unrecorded(spans):
    """Turn spans into what they would be had no job said what it took."""
    return spans.filter(pl.col("material").is_in(MATERIALS)).with_columns(
        (pl.col("difference_quantity") + JOB_FLOWS).alias("difference_quantity"),
        pl.lit(value=False).alias("has_issue_records"),
    )


def _needs(firm):
    jobs = firm["ledger.jobs"].filter(pl.col("status") == "completed")
    base = firm["learn.base_quantity"].filter(pl.col("stage") == "fitted")
    quoted = firm["learn.base_quantity"].filter(pl.col("stage") == "quoted")
    key = ["job_ref", "material"]
    return (
        base.join(quoted.select(*key, quoted_quantity="base_quantity"), on=key)
        .with_columns(pl.coalesce("base_quantity", "quoted_quantity").cast(pl.Float64))
        .join(jobs.select("job_ref", "completed_on"), on="job_ref")
        .select("material", "job_ref", "completed_on", "base_quantity")
    )


def _misses(folder, seed):
    generate(folder, seed, months=24)
    firm = work_out(folder / "firm", WANTED)
    needs = _needs(firm)
    shared = share_use(_unrecorded(firm["stock.count_interval"]), needs).material
    balance = pl.read_csv(folder / "truth" / "balance.csv")
    base = needs.group_by("material").agg(pl.col("base_quantity").sum())
    true = balance.join(base, on="material").select(
        "material",
        true_ratio=(pl.col("used") + pl.col("lost_unwritten")) / pl.col("base_quantity") - 1,
    )
    joined = shared.join(true, on="material").filter(pl.col("use_ratio").is_not_null())
    miss = (pl.col("use_ratio") - pl.col("true_ratio")) / pl.col("standard_error_ratio")
    return joined.select("material", "use_ratio", "true_ratio", "standard_error_ratio", miss=miss)


def test_nine_ratios_in_ten_and_more_lie_within_two_standard_errors_of_what_was_used(tmp_path):
    misses = pl.concat([_misses(tmp_path / str(seed), seed) for seed in SEEDS])

    assert len(misses) >= 20
    assert (misses["miss"].abs() <= 2).mean() >= 0.9, misses
