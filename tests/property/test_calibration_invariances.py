"""What a change of the lines may and may not change in a fit."""

from datetime import date, timedelta

import numpy as np
import polars as pl
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from polars.testing import assert_frame_equal

from pipelines.allowances.proposals import suggest
from pipelines.calibration.fits import fit_all
from pipelines.calibration.material_fit import MaterialFit, fit_material
from pipelines.calibration.misses import miss_at_share, share_needed
from pipelines.calibration.mixed_model import lay_out, solve
from pipelines.calibration.pooling import SPREAD_RATIOS, group_jobs, lever, pool

TYPES = ("bay", "dormer", "garage")

jobs = st.lists(
    st.tuples(st.floats(2, 80), st.floats(-0.1, 0.6), st.sampled_from(TYPES)),
    min_size=8,
    max_size=25,
)
few = settings(max_examples=30, deadline=None)


def lines(given_jobs: list[tuple[float, float, str]], scale: float = 1.0) -> pl.DataFrame:
    return pl.DataFrame(
        [
            {
                "material": "laminating resin",
                "kind": "resin",
                "base_unit": "kg",
                "job_ref": f"2025-{number:03}",
                "job_type": job_type,
                "completed_on": date(2025, 1, 1) + timedelta(days=number // 2),
                "base_quantity": base * scale,
                "used_quantity": (base + 0.8 + ratio * base) * scale,
            }
            for number, (base, ratio, job_type) in enumerate(given_jobs)
        ]
    )


def fit(use_lines: pl.DataFrame, load_share: float = 0.85) -> MaterialFit:
    found = fit_material(use_lines, load_share, ["porch"])
    assert isinstance(found, MaterialFit)
    return found


def pooled(found: MaterialFit) -> dict[str, float]:
    return {rate.job_type: rate.pooled_ratio for rate in found.rates}


@given(given_jobs=jobs, seed=st.integers(0, 99))
@few
def test_the_order_of_rows_changes_nothing_to_the_last_digit(
    given_jobs: list[tuple[float, float, str]], seed: int
) -> None:
    use_lines = lines(given_jobs)
    shuffled = use_lines.sample(fraction=1, shuffle=True, seed=seed)

    before, after = fit_all(use_lines, 0.85), fit_all(shuffled, 0.85)

    assert_frame_equal(before.fit, after.fit, check_exact=True)
    assert_frame_equal(before.fit_rate, after.fit_rate, check_exact=True)


@given(given_jobs=jobs)
@few
def test_in_grams_instead_of_kilograms_rates_stay_and_the_loss_per_job_is_a_thousandfold(
    given_jobs: list[tuple[float, float, str]],
) -> None:
    in_kg, in_g = fit(lines(given_jobs)), fit(lines(given_jobs, scale=1000))

    assume(in_kg.is_fixed_loss_refused == in_g.is_fixed_loss_refused)
    assert in_g.fixed_loss == pytest.approx(1000 * in_kg.fixed_loss, rel=1e-6, abs=1e-6)
    assert pooled(in_g) == pytest.approx(pooled(in_kg), abs=1e-9)
    assert in_g.error_ratio == pytest.approx(in_kg.error_ratio, abs=1e-9)


@given(given_jobs=jobs)
@few
def test_a_type_without_jobs_has_the_rate_of_all(
    given_jobs: list[tuple[float, float, str]],
) -> None:
    found = fit(lines(given_jobs))

    porch = next(rate for rate in found.rates if rate.job_type == "porch")
    assert porch.pooled_ratio == found.mean_ratio
    assert (porch.job_count, porch.own_ratio, porch.trust_ratio) == (0, None, 0)


@given(given_jobs=jobs)
@few
def test_a_rate_lies_between_the_types_own_and_that_of_all_by_its_trust(
    given_jobs: list[tuple[float, float, str]],
) -> None:
    found = fit(lines(given_jobs))

    for rate in found.rates:
        if rate.own_ratio is not None:
            leaned = rate.trust_ratio * rate.own_ratio + (1 - rate.trust_ratio) * rate.others_ratio
            assert rate.pooled_ratio == pytest.approx(leaned, abs=1e-12)


@given(given_jobs=jobs, more=st.floats(0, 0.5))
@few
def test_more_use_by_a_share_of_every_base_moves_rates_by_that_share(
    given_jobs: list[tuple[float, float, str]], more: float
) -> None:
    use_lines = lines(given_jobs)
    grown = pl.col("used_quantity") + more * pl.col("base_quantity")

    before, after = fit(use_lines), fit(use_lines.with_columns(used_quantity=grown))

    assume(before.is_fixed_loss_refused == after.is_fixed_loss_refused)
    moved = {job_type: rate + more for job_type, rate in pooled(before).items()}
    assert pooled(after) == pytest.approx(moved, abs=1e-9)
    assert after.fixed_loss == pytest.approx(before.fixed_loss, abs=1e-6)


@given(given_jobs=jobs, shares=st.tuples(st.floats(0.05, 0.99), st.floats(0.05, 0.99)))
@few
def test_a_larger_share_never_loads_less(
    given_jobs: list[tuple[float, float, str]], shares: tuple[float, float]
) -> None:
    use_lines = lines(given_jobs)

    low, high = (fit(use_lines, share).error_ratio for share in sorted(shares))

    assert low <= high


@given(given_jobs=jobs)
@few
def test_other_names_for_the_types_only_rename_the_rates(
    given_jobs: list[tuple[float, float, str]],
) -> None:
    names = {"bay": "shed", "dormer": "annexe", "garage": "walkway"}
    use_lines = lines(given_jobs)
    renamed = use_lines.with_columns(pl.col("job_type").replace(names))

    before, after = fit(use_lines), fit(renamed)

    assume(before.is_fixed_loss_refused == after.is_fixed_loss_refused)
    expected = {names.get(job_type, job_type): rate for job_type, rate in pooled(before).items()}
    assert pooled(after) == pytest.approx(expected, abs=1e-9)


@given(given_jobs=jobs, months=st.integers(1, 30))
@few
def test_all_dates_some_months_later_change_nothing(
    given_jobs: list[tuple[float, float, str]], months: int
) -> None:
    use_lines = lines(given_jobs)
    later = use_lines.with_columns(pl.col("completed_on").dt.offset_by(f"{months}mo"))

    assert fit(use_lines) == fit(later)


@given(given_jobs=jobs)
@few
def test_every_job_twice_at_half_the_weight_gives_the_same_pooling(
    given_jobs: list[tuple[float, float, str]],
) -> None:
    size = np.array([20 / base for base, _, _ in given_jobs])
    ratio = np.array([ratio for _, ratio, _ in given_jobs])
    group = np.array([TYPES.index(kind) for _, _, kind in given_jobs])
    ones = np.ones(len(size))

    once = pool(ratio, group_jobs(size, group, 3, ones, ones))
    twice = pool(
        np.tile(ratio, 2),
        group_jobs(np.tile(size, 2), np.tile(group, 2), 3, np.tile(ones / 2, 2), np.tile(ones, 2)),
    )

    assert twice.rate == pytest.approx(once.rate, abs=1e-7)
    assert twice.trust == pytest.approx(once.trust, abs=1e-7)


@given(given_jobs=jobs)
@few
def test_a_type_whose_jobs_count_more_is_never_trusted_less(
    given_jobs: list[tuple[float, float, str]],
) -> None:
    rates = sorted(fit(lines(given_jobs)).rates, key=lambda rate: rate.effective_job_count)

    trusts = [rate.trust_ratio for rate in rates]
    assert trusts == sorted(trusts)


def columns(given_jobs: list[tuple[float, float, str]]) -> tuple[np.ndarray, ...]:
    """Lay out sizes, ratios and positions of the job types."""
    size = np.array([20 / base for base, _, _ in given_jobs])
    ratio = np.array([ratio for _, ratio, _ in given_jobs])
    return size, ratio, np.array([TYPES.index(kind) for _, _, kind in given_jobs])


@given(given_jobs=jobs, spread_ratio=st.sampled_from(SPREAD_RATIOS.tolist()))
@few
def test_every_job_twice_leaves_own_means_and_trusts_no_type_less(
    given_jobs: list[tuple[float, float, str]], spread_ratio: float
) -> None:
    _, ratio, group = columns(given_jobs)

    def split(times: int) -> tuple[np.ndarray, np.ndarray]:
        count = np.bincount(np.tile(group, times), minlength=3)
        design = lay_out(
            np.ones((1, times * len(ratio))),
            [np.tile(group, times)],
            [3],
            np.ones(times * len(ratio)),
            times * len(ratio),
        )
        found = solve(design, np.tile(ratio, times), np.array([[spread_ratio]])).estimate[0]
        trust = count / (count + spread_ratio**-2)
        with_jobs = count > 0
        return trust, (found[0] + found[1:][with_jobs] / trust[with_jobs])

    (once_trust, once_own), (twice_trust, twice_own) = split(1), split(2)

    assert (twice_trust >= once_trust).all()
    assert twice_own == pytest.approx(once_own, abs=1e-9)


@given(given_jobs=jobs, at=st.integers(0, 7), more=st.floats(0, 2))
@few
def test_more_used_on_a_job_never_lowers_a_rate_where_all_jobs_are_of_one_size(
    given_jobs: list[tuple[float, float, str]], at: int, more: float
) -> None:
    _, ratio, group = columns(given_jobs)
    ones = np.ones_like(ratio)
    design = group_jobs(ones, group, 3, ones, ones).design
    raised = ratio + more * (np.arange(len(ratio)) == at)

    before, after = (
        solve(design, measure, SPREAD_RATIOS[:, None]).estimate for measure in (ratio, raised)
    )

    rates_before, rates_after = (found[:, :1] + found[:, 1:] for found in (before, after))
    assert (rates_after >= rates_before - 1e-9).all()


@given(given_jobs=jobs)
@few
def test_more_used_on_a_job_never_lowers_what_is_fitted_to_it_nor_by_more(
    given_jobs: list[tuple[float, float, str]],
) -> None:
    size, ratio, group = columns(given_jobs)
    ones = np.ones_like(ratio)
    grouped = group_jobs(size, group, 3, ones, ones)

    own_change = lever(grouped, pool(ratio, grouped))

    assert (own_change >= -1e-9).all()
    assert (own_change <= 1 + 1e-9).all()


weighted = st.lists(st.tuples(st.floats(-1, 3), st.floats(0.05, 1)), min_size=1, max_size=40)


@given(pairs=weighted, at=st.integers(0, 39), more=st.floats(0, 5), share=st.floats(0.05, 0.98))
@few
def test_a_larger_miss_never_lowers_the_load(
    pairs: list[tuple[float, float]], at: int, more: float, share: float
) -> None:
    misses, weights = np.array(pairs).T
    raised = misses + more * (np.arange(len(misses)) == at % len(misses))

    assert miss_at_share(raised, weights, share) >= miss_at_share(misses, weights, share)


@given(pairs=weighted, share=st.floats(0.05, 0.98))
@few
def test_a_load_holds_just_the_misses_that_need_a_smaller_share(
    pairs: list[tuple[float, float]], share: float
) -> None:
    misses, weights = np.array(pairs).T
    needed = share_needed(misses, weights)
    assume(np.abs(needed - share).min() > 1e-6)

    held = misses <= miss_at_share(misses, weights, share)

    assert (held == (needed < share)).all()


wide = st.lists(
    st.tuples(st.floats(2, 80), st.floats(-1, 3), st.sampled_from(TYPES)), min_size=8, max_size=25
)


@given(given_jobs=wide, share=st.floats(0.5, 0.98))
@few
def test_no_job_on_record_would_be_loaded_less_than_nothing(
    given_jobs: list[tuple[float, float, str]], share: float
) -> None:
    found = fit(lines(given_jobs), share)
    rates = pooled(found)

    loads = [
        base + found.fixed_loss + (rates[kind] + found.error_ratio) * base
        for base, _, kind in given_jobs
    ]
    assert min(loads) >= -1e-9


@given(given_jobs=jobs, held_count=st.integers(1, 9))
@few
def test_a_line_set_aside_changes_a_count_and_nothing_else(
    given_jobs: list[tuple[float, float, str]], held_count: int
) -> None:
    use_lines = lines(given_jobs)
    fits = fit_all(use_lines, 0.85)
    rows = [("laminating resin", kind, held_count) for kind in TYPES]
    held_back = pl.DataFrame(rows, ["material", "job_type", "held_back_count"], orient="row")

    without, beside = (suggest(fits, use_lines, held) for held in (held_back.clear(), held_back))

    figures = pl.exclude("held_back_count", "sentence")
    assert_frame_equal(without.select(figures), beside.select(figures))
    assert set(beside["held_back_count"]) == {held_count}
    assert set(without["held_back_count"]) == {0}
