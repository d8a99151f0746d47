"""What is learnt of resin: by the normal equations, and beside what is true of the firm."""

from datetime import date

import pytest

from tests.agreement.by_hand import (
    areas,
    finished,
    laminate_kg_per_m2,
    resin_base,
    take_up,
)
from tests.agreement.normal_equations import Line, fit
from tests.agreement.papers import round_to

MONTH_END_ON = date(2026, 5, 31)
STEP_ON = date(2025, 9, 1)


@pytest.fixture(scope="module")
def lines(papers) -> dict[str, Line]:
    """Return job type, base, use of resin and day of the jobs that stay within reason."""
    moved = take_up(papers)
    found = {}
    for ref, job in finished(papers).items():
        used = moved[ref, "resin"]["used_quantity"]
        area = areas(job)[1]
        least = round_to(area * laminate_kg_per_m2(papers, job["lay_up"]), 3)
        if least <= used <= 6 * area:
            base = resin_base(papers, ref, as_fitted=True)
            found[ref] = (job["job_type"], float(base), float(used), job["completed_on"].date())
    return found


@pytest.fixture(scope="module")
def faded_before(ask) -> date:
    """Return the day before which jobs count a tenth: three months before the step was plain."""
    ((signal_on, _),) = ask("SELECT material, signal_on, since_month FROM result.drift").values()
    return signal_on.replace(month=signal_on.month - 3)


def test_the_lasting_step_is_found_in_its_month_and_nothing_else_is(ask):
    found = ask("SELECT material, state, direction, since_month, signal_on FROM result.drift")

    assert list(found) == ["resin"]
    state, direction, since_month, signal_on = found["resin"]
    assert (state, direction, since_month) == ("act", "up", STEP_ON)
    assert signal_on < date(2025, 11, 1)


def test_the_fit_of_resin_solves_its_normal_equations(ask, papers, lines, faded_before):
    fitted = ask(
        "SELECT material, line_count, fitted_fixed_loss, mean_ratio, error_ratio FROM result.fit"
    )["resin"]
    rates = ask("SELECT job_type, pooled_ratio FROM result.fit_rate WHERE material = 'resin'")
    by_hand = fit(list(lines.values()), papers.settings["load_share"], MONTH_END_ON, faded_before)

    # by hand the base is rounded once, so that it differs by up to a gram
    assert fitted[0] == by_hand["count"] == 218
    assert fitted[1] == pytest.approx(by_hand["fixed_loss"], abs=1e-3)
    assert fitted[2] == pytest.approx(by_hand["mean"], abs=1e-4)
    assert fitted[3] == pytest.approx(by_hand["at_share"], abs=1e-4)
    assert rates == pytest.approx(by_hand["rates"], abs=1e-4)


def test_a_suggestion_is_the_fit_with_its_miss_at_the_share_asked(ask, papers, lines, faded_before):
    suggested = ask(
        "SELECT job_type, full_fixed_loss, full_price_ratio, full_load_ratio "
        "FROM result.proposal WHERE material = 'resin'"
    )
    by_hand = fit(list(lines.values()), papers.settings["load_share"], MONTH_END_ON, faded_before)

    for job_type, (fixed_loss, price_ratio, load_ratio) in suggested.items():
        assert fixed_loss == pytest.approx(by_hand["fixed_loss"], abs=2e-3)
        assert price_ratio == pytest.approx(
            by_hand["rates"][job_type] + by_hand["mean_miss"], abs=2e-4
        )
        assert load_ratio == pytest.approx(
            by_hand["rates"][job_type] + by_hand["at_share"], abs=2e-4
        )


def test_recorded_use_is_true_use_within_the_reading(papers, true_use):
    """Counted things agree to the millimetre; weighed ones as far as a scale tells."""
    planted = {("2024-057", "resin"), ("2025-063", "resin")}
    weighed = {"mat 450": 0.3, "mat 600": 0.3, "primer": 0.15}
    how = {(card["job_ref"], card["material"]): card["how"] for card in papers.cards}
    for key, moved in take_up(papers).items():
        used = moved["used_quantity"]
        if used is None or key in planted or how.get(key) in {"whole packs", "judged"}:
            continue
        slack = weighed.get(key[1], 1.0 if key[1] == "resin" or "topcoat" in key[1] else 0.0005)
        assert abs(float(used) - true_use[key]) <= slack, key


def test_reading_errors_hardly_move_the_fit(papers, lines, true_use):
    share = papers.settings["load_share"]
    recorded = fit(list(lines.values()), share, MONTH_END_ON)
    true = fit(
        [(kind, base, true_use[ref, "resin"], on) for ref, (kind, base, _, on) in lines.items()],
        share,
        MONTH_END_ON,
    )

    assert recorded["fixed_loss"] == pytest.approx(true["fixed_loss"], abs=0.15)
    for job_type, rate in true["rates"].items():
        assert recorded["rates"][job_type] == pytest.approx(rate, abs=0.02)


def test_the_lasting_step_shows_in_what_the_fit_misses(papers, lines):
    """From September 2025 on seven in a hundred more went into every roof."""
    by_hand = fit(list(lines.values()), papers.settings["load_share"], MONTH_END_ON)
    misses: dict[bool, list[float]] = {False: [], True: []}
    for kind, base, used, completed_on in lines.values():
        expected = base + by_hand["fixed_loss"] + by_hand["rates"][kind] * base
        after = completed_on >= STEP_ON
        misses[after].append((used - expected) / base)
    before, after = (sum(some) / len(some) for some in (misses[False], misses[True]))

    assert after - before == pytest.approx(0.07, abs=0.025)
    assert len(misses[True]) > 50
