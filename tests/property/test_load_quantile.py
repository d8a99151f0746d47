"""What holds for the fitted quantile of any jobs, and for the two plans of any drawing."""

from datetime import date
from itertools import pairwise

import numpy as np
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.calibration.blended_base import put_base
from pipelines.calibration.load_quantile import LoadQuantile, QuantileJobs, fit_quantile
from pipelines.cutting.least_lengths import plan_least
from pipelines.cutting.mat_strips import MatRules, plan_mat, plan_mat_without_reuse
from pipelines.cutting.no_reuse import plan_without_reuse
from pipelines.cutting.outlines import Outline, Rectangle
from pipelines.cutting.plans import LengthRules, Run

TYPES = 4
BLANK = ("quoted_best_quantity", "quoted_no_reuse_quantity", "area_m2", "quoted_area_m2")
jobs = st.lists(
    st.tuples(st.integers(2, 80), st.integers(-10, 60), st.integers(0, TYPES - 2)),
    min_size=8,
    max_size=25,
)
few = settings(max_examples=25, deadline=None)


def lay(drawn: list[tuple[int, int, int]], scale: float = 1.0) -> QuantileJobs:
    """Jobs of base, loss in hundredths of it and type; the last of the types has none."""
    base, loss, group = (np.array(column) for column in zip(*drawn, strict=True))
    used = base * (1 + loss / 100) + 0.8
    return QuantileJobs(base * scale, used * scale, group, TYPES, np.ones(len(base)))


def load(found: LoadQuantile, of: QuantileJobs) -> np.ndarray:
    return found.fixed_loss + (1 + found.ratio + found.of_type[of.group]) * of.base


@given(drawn=jobs, share=st.sampled_from([0.5, 0.7, 0.85, 0.95]))
@few
def test_no_more_jobs_run_short_or_have_some_over_than_the_share_says(
    drawn: list[tuple[int, int, int]], share: float
) -> None:
    asked = lay(drawn)
    found = fit_quantile(asked, share)
    beyond = asked.used - load(found, asked)
    short, over = (beyond > 1e-6).mean(), (beyond < -1e-6).mean()

    assert short <= 1 - share + 1e-9
    assert over <= share + 1e-9 or found.ratio == pytest.approx(-1)


@given(drawn=jobs, seed=st.integers(0, 99))
@few
def test_scale_order_and_names_of_types_change_nothing(
    drawn: list[tuple[int, int, int]], seed: int
) -> None:
    found = fit_quantile(lay(drawn), 0.85)
    larger = fit_quantile(lay(drawn, 1000), 0.85)
    order = np.random.default_rng(seed).permutation(len(drawn))
    shuffled = fit_quantile(lay([drawn[at] for at in order]), 0.85)
    renamed = fit_quantile(lay([(*each, (group + 1) % 3) for *each, group in drawn]), 0.85)  # type: ignore[misc]

    assert larger.objective == pytest.approx(found.objective, abs=1e-9)
    assert shuffled.objective == pytest.approx(found.objective, abs=1e-9)
    assert renamed.objective == pytest.approx(found.objective, abs=1e-9)
    assert found.of_type[TYPES - 1] == 0
    assert fit_quantile(lay(drawn), 0.85).ratio == found.ratio


@given(drawn=jobs)
@few
def test_the_more_parting_costs_the_less_types_part(drawn: list[tuple[int, int, int]]) -> None:
    parted = [
        float(np.abs(fit_quantile(lay(drawn), 0.85, penalty).of_type).sum())
        for penalty in (0.1, 1, 8, 1000)
    ]

    assert all(more >= less - 1e-9 for more, less in pairwise(parted))
    assert parted[-1] == pytest.approx(0, abs=1e-9)


runs = st.lists(st.integers(400, 9000), min_size=1, max_size=5)


@given(runs_mm=runs)
@few
def test_no_trim_takes_less_without_reuse_and_one_run_only_for_what_is_kept(
    runs_mm: list[int],
) -> None:
    rules = LengthRules(
        stock_length_mm=3000,
        lap_mm=50,
        kerf_mm=2,
        keep_from_mm=600,
        least_piece_mm=0,
        joint_rule="forced_only",
        joint_price_mm=0,
    )
    drawn = [Run(number, length) for number, length in enumerate(runs_mm, start=1)]
    best, alone = plan_least(drawn, rules), plan_without_reuse(drawn, rules)

    assert best.used_up_mm <= alone.used_up_mm
    if len(drawn) == 1:
        assert alone.used_up_mm - best.used_up_mm == best.kept_mm


@given(width=st.integers(500, 9000), depth=st.integers(500, 6000), upstand=st.integers(0, 300))
@few
def test_mat_takes_no_less_where_no_ripped_strip_is_used(
    width: int, depth: int, upstand: int
) -> None:
    outline = Outline((Rectangle(width, depth),))
    rules = MatRules(roll_width_mm=950, lap_mm=50, layer_count=1)
    upstand_mm2 = upstand * width

    best = plan_mat(outline, upstand_mm2, rules)
    alone = plan_mat_without_reuse(outline, upstand_mm2, rules)

    assert best.used_up_mm2 <= alone.used_up_mm2


@given(best=st.floats(1, 50), gap=st.floats(0, 20), ratio=st.floats(0, 1))
@few
def test_the_base_lies_between_its_plans(best: float, gap: float, ratio: float) -> None:
    lines = pl.DataFrame(
        {
            "material": "drip trim",
            "kind": "trim",
            "completed_on": date(2025, 3, 1),
            "base_quantity": [best],
            "best_quantity": [best],
            "no_reuse_quantity": [best + gap],
            **{name: [None] for name in BLANK},
        },
        schema_overrides=dict.fromkeys(BLANK, pl.Float64),
    )
    blends = pl.DataFrame({"material": ["drip trim"], "blend_ratio": [ratio]})
    base = put_base(lines, blends)["base_quantity"][0]

    assert best - 1e-9 <= base <= best + gap + 1e-9
