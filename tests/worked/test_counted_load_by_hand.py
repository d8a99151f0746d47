"""Geometry and arithmetic: loads of what is cut or counted that can be worked out by hand."""

from datetime import date
from math import ceil

import numpy as np
import polars as pl
import pytest

from pipelines.allowances.proposals import suggest
from pipelines.calibration.blended_base import put_base, take_plans
from pipelines.calibration.counted_fit import CountedFit, fit_counted
from pipelines.calibration.fits import fit_all
from pipelines.calibration.load_quantile import LoadQuantile, QuantileJobs, fit_quantile

NOTHING_HELD_BACK = pl.DataFrame(
    schema={"material": pl.String, "job_type": pl.String, "held_back_count": pl.Int64}
)


def ask(bases: list[float], used: list[float], share: float, groups: int = 1) -> LoadQuantile:
    """Fit jobs of even weight, types in turn."""
    count = len(bases)
    turn = np.arange(count) % groups
    jobs = QuantileJobs(np.array(bases), np.array(used), turn, groups, np.ones(count))
    return fit_quantile(jobs, share)


def lines(rows: list[tuple[float, float, float, float]], kind: str, piece: float) -> pl.DataFrame:
    """One row per bare need, best plan, plan without re-use, used; all quoted as fitted."""
    names = ["net_quantity", "best_quantity", "no_reuse_quantity", "used_quantity"]
    return pl.DataFrame(rows, schema=names, orient="row").with_columns(
        base_quantity="best_quantity",
        quoted_best_quantity="best_quantity",
        quoted_no_reuse_quantity="no_reuse_quantity",
        material=pl.lit(f"a {kind}"),
        kind=pl.lit(kind),
        base_unit=pl.lit("m"),
        job_ref=pl.format("2025-{}", 100 + pl.int_range(pl.len())),
        job_type=pl.lit("garage"),
        completed_on=pl.lit(date(2025, 3, 1)),
        piece_quantity=pl.lit(piece),
        area_m2=pl.lit(20.0),
        quoted_area_m2=pl.lit(20.0),
    )


def counted(use_lines: pl.DataFrame, share: float = 0.85) -> CountedFit:
    found = fit_counted(use_lines, share, ["porch"])
    assert isinstance(found, CountedFit)
    return found


@pytest.mark.parametrize(("share", "load"), [(0.85, 15), (0.5, 12)])
def test_of_three_jobs_alike_the_worst_or_the_middle_one_sets_the_load(
    share: float, load: float
) -> None:
    # uses of 1, 1.2 and 1.5 times the base: the smallest that covers 0.85 of them is the third
    found = ask([10, 10, 10], [10, 12, 15], share)

    assert found.fixed_loss == 0
    assert 10 * (1 + found.ratio) == pytest.approx(load)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.85, 0.98])
def test_jobs_without_scatter_give_back_loss_and_rate_at_every_share(share: float) -> None:
    bases = [10.0, 20.0, 40.0, 10.0, 20.0, 40.0]

    found = ask(bases, [2 + 1.1 * base for base in bases], share, groups=2)

    assert found.fixed_loss == pytest.approx(2)
    assert found.ratio == pytest.approx(0.1)
    assert found.of_type == pytest.approx([0, 0])
    assert found.objective == pytest.approx(0, abs=1e-9)


def test_a_crew_that_leaves_three_tenths_of_the_savings_has_a_blend_of_three_tenths() -> None:
    plans = [(best, best + gap) for best in (6.0, 9.0, 12.0) for gap in (2.0, 4.0, 6.0)]
    rows = [(best, best, worst, best + 0.3 * (worst - best)) for best, worst in plans]

    found = counted(lines(rows, "trim", 3))

    assert found.blend_ratio == 0.3
    assert found.fit.fixed_loss == pytest.approx(0, abs=1e-6)
    assert found.ratios == pytest.approx([0, 0], abs=1e-6)
    assert found.piece_shift is None


def test_lengths_as_many_as_cover_the_need_are_loaded_again_without_a_loss() -> None:
    # five ways to need 1 to 4 cartridges of 310; each job used as many as cover its need
    needs = [310 * count - slack for count in (1, 2, 3, 4) for slack in (10, 60, 120, 200, 260)]
    used = [310.0 * ceil(need / 310) for need in needs]
    rows = [(need, need, need, use) for need, use in zip(needs, used, strict=True)]

    proposed = loads(lines(rows, "adhesive", 310))

    assert all(load / 310 == round(load / 310) for load in proposed)
    assert sum(load == use for load, use in zip(proposed, used, strict=True)) >= 18


def loads(use_lines: pl.DataFrame) -> list[float]:
    """Load every job of the lines by the suggestion that they come to."""
    fits = fit_all(use_lines, 0.85)
    row = suggest(fits, use_lines, NOTHING_HELD_BACK).row(0, named=True)
    base = put_base(use_lines, fits.fit)["base_quantity"].to_numpy()
    piece = use_lines["piece_quantity"][0]
    wanted = base * (1 + row["suggested_load_ratio"]) + row["suggested_fixed_loss"]
    found = piece * np.floor(wanted / piece + row["suggested_piece_shift"] + 1e-9)
    return [float(load) for load in found]


def test_corner_pieces_none_of_which_broke_are_loaded_as_drawn() -> None:
    rows = [(count,) * 4 for count in (1.0, 2.0, 3.0, 4.0) * 4]

    found = counted(lines(rows, "corner piece", 1))

    assert found.ratios == pytest.approx([0, 0], abs=1e-9)
    assert found.fit.error_ratio == pytest.approx(0, abs=1e-9)
    assert loads(lines(rows, "corner piece", 1)) == [row[0] for row in rows]


def test_a_board_over_on_most_jobs_is_loaded_and_charged_on_none_as_a_share() -> None:
    # best plans of 4, 8 and 12 boards of 1.44 m2; nine jobs in ten take one board more
    rows = [
        (1.44 * count, 1.44 * count, 1.44 * count, 1.44 * (count + (at % 10 > 0)))
        for at, count in enumerate([4, 8, 12] * 10)
    ]

    found = loads(lines(rows, "board", 1.44))

    assert found == pytest.approx([1.44 * (count + 1) for count in [4, 8, 12] * 10])


def test_plans_are_those_of_the_quote_unless_the_roof_was_changed() -> None:
    use_lines = lines([(6, 6, 8, 7)] * 3, "trim", 3).with_columns(
        quoted_best_quantity=pl.lit(5.0),
        quoted_no_reuse_quantity=pl.lit(7.0),
        quoted_area_m2=pl.Series([20.9, 21.2, None]),
    )

    # 20 m2 fitted is 4.3 % off 20.9 m2 and 5.7 % off 21.2 m2; of the third no size was quoted
    assert take_plans(use_lines)["best_quantity"].to_list() == [5, 6, 6]
    assert take_plans(use_lines)["no_reuse_quantity"].to_list() == [7, 8, 8]


def test_a_blend_of_nothing_is_the_best_plan_and_no_blend_the_base_as_it_was() -> None:
    use_lines = lines([(6, 6.5, 9, 7)], "trim", 3).with_columns(base_quantity=pl.lit(6.2))

    def base_at(ratio: float | None) -> float:
        blends = pl.DataFrame(
            {"material": ["a trim"], "blend_ratio": [ratio]},
            schema_overrides={"blend_ratio": pl.Float64},
        )
        return float(put_base(use_lines, blends)["base_quantity"][0])

    assert base_at(0) == 6.5
    assert base_at(0.3) == pytest.approx(6.5 + 0.3 * 2.5)
    assert base_at(None) == 6.2


def test_mat_of_which_a_job_has_no_plan_keeps_its_bare_need_as_base() -> None:
    rows = [(10.0 + at, 11.0 + at, 11.5 + at, 11.2 + 1.1 * at) for at in range(10)]
    planned = lines(rows, "mat", 0)
    first = pl.col("job_ref") == "2025-100"
    names = ("best_quantity", "no_reuse_quantity")
    broken = planned.with_columns(
        *(pl.when(first).then(None).otherwise(name).alias(name) for name in names),
        *(
            pl.when(first).then(None).otherwise(f"quoted_{name}").alias(f"quoted_{name}")
            for name in names
        ),
        base_quantity="net_quantity",
    )

    assert counted(planned).blend_ratio is not None
    assert counted(broken).blend_ratio is None
