"""Geometry and arithmetic: fits whose answer can be worked out by hand."""

from datetime import date

import numpy as np
import polars as pl
import pytest

from pipelines.calibration.material_fit import MaterialFit, NoFit, fit_material
from pipelines.calibration.misses import miss_at_share, rank_of_share
from pipelines.calibration.mixed_model import Floats, find_likeliest, lay_out, solve
from pipelines.calibration.pooling import group_jobs, pool
from pipelines.errors import QuantityError


def lines(
    bases: list[float], used: list[float], kind: str = "resin", types: list[str] | None = None
) -> pl.DataFrame:
    return pl.DataFrame(
        {
            "material": "laminating resin",
            "kind": kind,
            "base_unit": "kg",
            "job_ref": [f"2025-{number:03}" for number in range(len(bases))],
            "job_type": types or ["garage"] * len(bases),
            "completed_on": date(2025, 3, 1),
            "base_quantity": bases,
            "used_quantity": used,
        }
    )


def fit(
    bases: list[float], used: list[float], kind: str = "resin", types: list[str] | None = None
) -> MaterialFit:
    found = fit_material(lines(bases, used, kind, types), 0.85)
    assert isinstance(found, MaterialFit)
    return found


def rates_at(ratios: list[float], groups: list[int], spread_ratio: float) -> tuple[float, Floats]:
    """Return the mean and the groups' rates at one spread between groups over the scatter."""
    level_count = max(groups) + 1
    ones = np.ones(len(ratios))
    design = lay_out(ones[None], [np.array(groups)], [level_count], ones, len(ratios))
    solved = solve(design, np.array(ratios), np.array([[spread_ratio]]))
    return solved.estimate[0, 0], solved.estimate[0, 0] + solved.estimate[0, 1:]


def test_two_types_of_one_job_with_equal_spread_and_scatter_meet_half_way() -> None:
    mean, rates = rates_at([0, 2, 1], [0, 1, 2], 1.0)

    assert mean == pytest.approx(1)
    assert rates == pytest.approx(np.array([0.5, 1.5, 1.0]))


def test_without_spread_between_types_every_type_has_the_mean_of_all_jobs() -> None:
    assert rates_at([0.0, 0.1, 0.5], [0, 0, 1], 0)[1] == pytest.approx(np.array([0.2, 0.2]))


def test_with_boundless_spread_every_type_has_its_own_mean() -> None:
    rates = rates_at([0.0, 0.1, 0.5], [0, 0, 1], 1e3)[1]

    assert rates == pytest.approx(np.array([0.05, 0.5]), abs=1e-6)


@pytest.mark.parametrize("spread_ratio", [0.01, 0.4, 3.0, 100.0])
def test_a_single_type_has_its_own_mean_whatever_the_spread(spread_ratio: float) -> None:
    assert rates_at([0.0, 0.1, 0.5], [0, 0, 0], spread_ratio)[1] == pytest.approx(np.array([0.2]))


def test_balanced_types_no_further_apart_than_jobs_are_likeliest_alike_yet_keep_their_order() -> (
    None
):
    # means 0, .02, .04 of three jobs each; mean square between .0012, within .01
    ratio = np.array([-0.1, 0, 0.1, -0.08, 0.02, 0.12, -0.06, 0.04, 0.14])
    jobs = group_jobs(np.ones(9), np.repeat(np.arange(3), 3), 3, np.ones(9), np.ones(9))

    assert find_likeliest(jobs.design, ratio)[0] == 0
    rates = pool(ratio, jobs).rate
    assert rates[1] == pytest.approx(0.02)
    assert 0 < rates[0] < rates[1] < rates[2] < 0.04


def test_a_job_two_years_old_counts_half_and_one_four_years_old_a_quarter() -> None:
    completed = [date(2025, 3, 1)] * 8 + [date(2023, 3, 20), date(2021, 3, 5)]
    aged = lines([10.0] * 10, [11.0] * 10).with_columns(completed_on=pl.Series(completed))

    found = fit_material(aged, 0.85, as_of=date(2025, 3, 31))

    assert isinstance(found, MaterialFit)
    assert found.effective_job_count == pytest.approx(8.75)


def test_jobs_whose_age_leaves_them_less_than_eight_give_no_fit() -> None:
    found = fit_material(lines([10.0] * 9, [11.0] * 9), 0.85, as_of=date(2027, 3, 31))

    assert isinstance(found, NoFit)
    assert found.reason == "fewer than 8 jobs, as old ones and whole packs count less"


def test_jobs_without_scatter_give_back_the_loss_per_job_and_the_rate() -> None:
    bases = [10.0, 20.0, 40.0] * 3

    found = fit(bases, [2 + 1.1 * base for base in bases])

    assert found.reference_quantity == 20
    assert found.fixed_loss == pytest.approx(2, abs=1e-9)
    assert found.rates[0].pooled_ratio == pytest.approx(0.1, abs=1e-9)
    assert found.error_ratio == pytest.approx(0, abs=1e-9)
    assert found.mean_error_ratio == pytest.approx(0, abs=1e-9)


def test_a_loss_per_job_below_nothing_is_refused_and_said() -> None:
    bases = [10.0, 20.0, 40.0] * 3

    found = fit(bases, [1.2 * base - 1 for base in bases])

    assert found.is_fixed_loss_refused
    assert found.fixed_loss == 0
    # with F = 0 and one type the rate is a mean of used / base - 1: .1, .15, .175, each job by
    # what the scatter of its size makes it worth
    share = found.size_spread_ratio
    worth = [1 / (1 - share + share * (20 / base) ** 2) for base in (10, 20, 40)]
    mean = sum(w * y for w, y in zip(worth, (0.1, 0.15, 0.175), strict=True)) / sum(worth)
    assert 0 < share < 1
    assert found.mean_ratio == pytest.approx(mean)
    assert found.note is not None
    assert "no loss per job could be told" in found.note


def test_jobs_of_one_size_tell_no_loss_per_job() -> None:
    found = fit([20.0] * 9, [22.0, 23.0, 24.0] * 3)

    assert found.fixed_loss == 0
    assert found.mean_ratio == pytest.approx(0.15)


def test_a_wild_poured_job_counts_in_part_and_a_wild_count_of_pieces_in_full() -> None:
    bases, used = [10.0] * 10, [*[11.0] * 9, 100.0]

    poured, pieces = fit(bases, used), fit(bases, used, kind="board")

    # nine at .1, and one at 9 drawn in to two scatters of them; it counts as .5 in the mean
    assert poured.mean_ratio == pytest.approx(0.1, abs=1e-3)
    assert poured.capped_count == 1
    assert poured.mean_error_ratio == pytest.approx(0.05, abs=1e-3)
    assert pieces.mean_ratio == pytest.approx(0.99)
    assert pieces.mean_error_ratio == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("count", "share", "value"), [(19, 0.9, 18), (19, 0.95, 19), (9, 0.9, 9), (6, 0.85, 6)]
)
def test_the_share_is_of_the_jobs_and_the_one_to_come(
    count: int, share: float, value: float
) -> None:
    assert miss_at_share(np.arange(count, 0.0, -1.0), np.ones(count), share) == value
    assert rank_of_share(count, share) <= count


@pytest.mark.parametrize(("enough", "share"), [(6, 0.85), (9, 0.9), (19, 0.95)])
def test_one_job_fewer_than_enough_can_not_tell_the_share(enough: int, share: float) -> None:
    assert rank_of_share(enough, share) == enough
    assert rank_of_share(enough - 1, share) == enough


def test_too_few_jobs_for_the_share_give_their_worst_and_say_so() -> None:
    bases = [10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0, 24.0]
    used = [11.0, 14.0, 15.0, 18.0, 19.0, 23.0, 23.0, 27.0]

    found = fit_material(lines(bases, used), 0.95)

    assert isinstance(found, MaterialFit)
    assert found.is_largest_miss
    assert (
        found.note == "thin: 8 jobs; too few jobs for the share asked: the worst of them is taken"
    )


def test_a_miss_by_the_others_is_that_of_a_fit_without_the_job() -> None:
    ratio = np.array([0.10, 0.13, 0.05, 0.22, 0.18, 0.09, 0.30, 0.12, 0.07])
    group = np.array([0, 0, 0, 1, 1, 1, 2, 2, 2])
    columns = np.array([np.ones(9), [1.0, 2.0, 0.5, 1.5, 1.2, 0.8, 2.5, 0.9, 1.1]])
    spread_ratios = np.array([[0.4]])
    rows = np.vstack([columns, np.eye(3)[:, group]])
    whole = solve(lay_out(columns, [group], [3], np.ones(9), 9), ratio, spread_ratios)
    leverage = np.einsum("ij,ik,kj->j", rows, whole.inverse[0], rows)
    misses = ratio - whole.estimate[0] @ rows

    by_others = misses / (1 - leverage)

    for job in range(9):
        rest = np.arange(9) != job
        design = lay_out(columns[:, rest], [group[rest]], [3], np.ones(8), 8)
        other = solve(design, ratio[rest], spread_ratios).estimate[0] @ rows[:, job]
        assert by_others[job] == pytest.approx(ratio[job] - other, abs=1e-12)


def test_fewer_than_eight_jobs_give_no_fit_and_the_reason() -> None:
    found = fit_material(lines([10.0] * 7, [11.0] * 7), 0.85)

    assert isinstance(found, NoFit)
    assert (found.line_count, found.reason) == (7, "fewer than 8 jobs")


@pytest.mark.parametrize(("count", "is_thin"), [(8, True), (20, True), (21, False)])
def test_eight_to_twenty_jobs_are_thin(count: int, is_thin: bool) -> None:  # noqa: FBT001
    assert fit([10.0] * count, [11.0] * count).is_thin is is_thin


def test_a_base_of_nothing_is_refused_with_job_and_material() -> None:
    with pytest.raises(QuantityError, match=r"laminating resin on job 2025-001: base 0\.0"):
        fit_material(lines([10.0, 0.0], [11.0, 1.0]), 0.85)


@pytest.mark.parametrize("load_share", [0.0, 1.0, 85.0])
def test_a_load_share_outside_nothing_and_all_is_refused(load_share: float) -> None:
    with pytest.raises(QuantityError, match="between 0 and 1"):
        fit_material(lines([10.0], [11.0]), load_share)
