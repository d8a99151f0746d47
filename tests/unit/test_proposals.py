"""Suggested allowances and their sentences."""

from datetime import date
from typing import Any

import polars as pl
import pytest

from pipelines.allowances.guard import Standing
from pipelines.allowances.proposals import suggest
from pipelines.calibration.fits import fit_all
from schemas.tables import TABLES

FORBIDDEN = ("quantile", "shrink", "residual", "interval", "variance", "waste")
NOTHING_HELD_BACK = pl.DataFrame(
    schema={"material": pl.String, "job_type": pl.String, "held_back_count": pl.Int64}
)


def lines(
    rows: list[tuple[str, float, float]], kind: str = "resin", material: str = "laminating resin"
) -> pl.DataFrame:
    """One row per job type, base, used."""
    return pl.DataFrame(
        rows, schema=["job_type", "base_quantity", "used_quantity"], orient="row"
    ).with_columns(
        material=pl.lit(material),
        kind=pl.lit(kind),
        base_unit=pl.lit("kg"),
        job_ref=pl.format("2025-{}", pl.int_range(pl.len())),
        completed_on=pl.lit(date(2025, 3, 1)),
    )


def garages(count: int, over: float = 1.1) -> list[tuple[str, float, float]]:
    bases = [30.0, 40.0, 50.0, 60.0]
    return [
        ("garage", bases[at % 4], over * bases[at % 4] + (at % 5 - 2) * 0.4) for at in range(count)
    ]


def propose(
    use_lines: pl.DataFrame,
    *,
    load_share: float = 0.85,
    job_types: tuple[str, ...] = (),
    held_back: pl.DataFrame = NOTHING_HELD_BACK,
    standing: Standing | None = None,
) -> list[dict[str, Any]]:
    proposed = suggest(fit_all(use_lines, load_share, job_types), use_lines, held_back, standing)
    TABLES["result.proposal"].validate(proposed)
    return proposed.to_dicts()


def decided(
    price_ratio: float,
    load_ratio: float,
    tried_count: int = 20,
    material: str = "laminating resin",
    blend_ratio: float | None = None,
) -> Standing:
    """Say what is in force for garages, and that suggestions came nearer on so many jobs."""
    in_force = {
        "material": [material],
        "job_type": ["garage"],
        "how": ["decided"],
        "in_force_from": [date(2025, 1, 2)],
        "fixed_loss": [0.0],
        "price_ratio": [price_ratio],
        "load_ratio": [load_ratio],
        "blend_ratio": pl.Series([blend_ratio], dtype=pl.Float64),
    }
    tried = [
        (material, f"2024-{at:03}", date(2024, 5, 1), method, miss)
        for at in range(tried_count)
        for method, miss in (("as suggested", 0.01), ("as allowed", 0.02))
    ]
    names = ["material", "job_ref", "completed_on", "method", "pinball_ratio"]
    lines_tried = pl.DataFrame(tried, schema=names, orient="row")
    return Standing(pl.DataFrame(in_force), lines_tried, date(2025, 3, 31))


def test_a_row_adds_up_from_its_own_figures() -> None:
    for row in propose(lines([*garages(14), *[("dormer", 8.0, 9.6 + at / 10) for at in range(6)]])):
        base, fixed = row["typical_base_quantity"], row["suggested_fixed_loss"]
        charged = base + fixed + row["suggested_price_ratio"] * base
        loaded = base + fixed + row["suggested_load_ratio"] * base
        assert row["charged_quantity"] == pytest.approx(charged, abs=5.1e-4)
        assert row["loaded_quantity"] == pytest.approx(loaded, abs=5.1e-4)
        assert row["suggested_load_ratio"] >= row["suggested_price_ratio"]
        assert row["low_ratio"] <= row["high_ratio"]


def test_the_load_is_never_below_the_charge() -> None:
    row = propose(lines(garages(20)), load_share=0.05)[0]

    assert row["suggested_load_ratio"] == row["suggested_price_ratio"]
    assert row["loaded_quantity"] == row["charged_quantity"]


def test_the_sentence_says_use_lean_spread_and_how_often_a_job_runs_short() -> None:
    even = [("garage", 20.0, 22.0), ("garage", 20.0, 23.0)] * 7
    held_back = pl.DataFrame(
        {"material": ["laminating resin"], "job_type": ["garage"], "held_back_count": [2]}
    )

    row = propose(lines([*even, *[("bay", 20.0, 24.0)] * 7]), held_back=held_back)[1]

    # garages scatter by .025 about .125 and bays stand .075 above: types so far apart are all but
    # kept apart, with the middle of the two, .16, for all jobs; misses by the others are near
    # -.027 and .027 (seven garages each) and nothing (bays): ranks 3, 19, 20
    assert row["sentence"] == (
        "14 garage jobs used 22.5 kg on a usual need of 20.0 kg; all your jobs would have used "
        "23.2 kg. We lean almost wholly on the garage jobs, so 22.5 kg is suggested to charge. "
        "Eight jobs in ten used between 22.0 kg and 23.0 kg. With 23.0 kg loaded "
        "about one job in seven runs short. 2 lines were set aside."
    )


def test_the_sentence_writes_square_metres_as_people_do() -> None:
    mat = lines(garages(20)).with_columns(base_unit=pl.lit("m2"))

    sentence = propose(mat)[0]["sentence"]

    assert "m2" not in sentence
    assert " m² is suggested to charge" in sentence


@pytest.mark.parametrize(
    ("load_share", "says"),
    [
        (0.5, "about five jobs in ten run short"),
        (0.7, "about three jobs in ten run short"),
        (0.8, "about one job in five runs short"),
        (0.9, "about one job in ten runs short"),
        (0.95, "about one job in twenty runs short"),
        (0.97, "about one job in 33 runs short"),
    ],
)
def test_the_share_is_said_in_jobs(load_share: float, says: str) -> None:
    assert says in propose(lines(garages(60)), load_share=load_share)[0]["sentence"]


def test_too_few_jobs_for_the_share_are_said_to_be() -> None:
    sentence = propose(lines(garages(12)), load_share=0.95)[0]["sentence"]

    assert "the worst of your 12 jobs" in sentence
    assert "Only 12 jobs with laminating resin so far" in sentence
    assert "runs short." not in sentence.split("too few to say how often a job runs short.")[1]


def test_a_type_without_jobs_gets_what_all_jobs_say_at_their_usual_size() -> None:
    porch = propose(lines(garages(24)), job_types=("porch",))[1]

    assert (porch["job_type"], porch["job_count"], porch["is_offered"]) == ("porch", 0, True)
    assert porch["typical_base_quantity"] == 45
    assert porch["sentence"].startswith("No porch jobs on record")


def test_fewer_than_eight_jobs_are_not_offered_and_have_no_figures() -> None:
    row = propose(lines(garages(7)))[0]

    assert (row["job_count"], row["is_offered"]) == (7, False)
    assert row["why_not"] == "fewer than 8 jobs"
    assert row["suggested_price_ratio"] is None


@pytest.mark.parametrize("kind", ["resin", "topcoat", "mat", "board"])
def test_below_what_a_sound_roof_holds_nothing_is_offered(kind: str) -> None:
    row = propose(lines(garages(24, over=0.95), kind=kind))[0]

    assert not row["is_offered"]
    assert row["why_not"].startswith("below what a sound roof holds")
    assert "Not suggested: below what a sound roof holds" in row["sentence"]
    assert "loaded" not in row["sentence"]


def test_a_loss_per_job_does_not_hide_a_large_roof_below_what_it_holds() -> None:
    thin_when_large = [
        ("garage", base, base + 3 - 0.1 * base) for base in (10.0, 15.0, 20.0, 60.0) * 5
    ]

    row = propose(lines(thin_when_large))[0]

    assert row["charged_quantity"] > row["typical_base_quantity"]
    assert "57.0 kg would be charged on a job that needs 60.0" in row["why_not"]


def test_the_laps_of_a_mat_are_part_of_what_a_sound_roof_holds() -> None:
    jobs = lines(garages(24, over=1.02), kind="mat")
    lapped = jobs.with_columns(least_quantity=1.04 * pl.col("base_quantity"))

    assert propose(jobs)[0]["is_offered"]
    (row,) = propose(lapped)
    assert not row["is_offered"]
    assert "on a job that needs 62.4" in row["why_not"]


def test_trim_may_use_less_than_new_lengths_as_the_rack_gives_some() -> None:
    assert propose(lines(garages(24, over=0.95), kind="trim"))[0]["is_offered"]


def test_small_consumables_are_not_proposed() -> None:
    assert propose(lines(garages(24), kind="solvent")) == []


def test_sentences_keep_to_the_words_of_the_trade() -> None:
    use_lines = lines([*garages(24), *[("dormer", 8.0, 9.6)] * 2])

    sentences = [row["sentence"] for row in propose(use_lines, job_types=("porch",))]

    assert len(sentences) == 3
    assert not [word for word in FORBIDDEN for said in sentences if word in said]


def test_copies_and_whole_packs_are_counted_and_said() -> None:
    jobs = lines(garages(24)).with_columns(
        whole_pack_quantity=pl.when(pl.int_range(pl.len()) < 5).then(20.0)
    )
    aside = pl.DataFrame(
        {
            "material": ["laminating resin"],
            "job_type": ["garage"],
            "held_back_count": [3],
            "copied_count": [2],
        }
    )

    (row,) = propose(jobs, held_back=aside)

    assert (row["held_back_count"], row["copied_count"], row["whole_pack_count"]) == (3, 2, 5)
    assert row["sentence"].endswith(
        "3 lines were set aside, 2 of them only what was allowed, written once more. "
        "5 lines are in whole packs and count less."
    )


def test_a_far_decision_is_left_in_steps_and_the_sentence_says_both() -> None:
    even = [("garage", 20.0, 22.0), ("garage", 20.0, 23.0)] * 7

    row = propose(lines(even), standing=decided(0.0, 0.0))[0]

    # used .125 over the need; loaded .125 + .025 x 14 / 13 = .152, of which a step of .03 is .197
    assert (row["is_offered"], row["is_step_limited"]) == (True, True)
    assert row["charged_quantity"] == pytest.approx(20 * (1 + 0.125 * 0.197), abs=0.01)
    assert row["loaded_quantity"] == pytest.approx(20.6)
    assert (
        "which comes to 22.5 kg. A decided allowance moves by three in a hundred a month, so "
        "20.5 kg is suggested to charge for now." in row["sentence"]
    )
    assert (
        "20.6 kg to load for now, 23.0 kg in the end; with the load for now each of the 14 garage "
        "jobs would have run short. Set your own figures to go there at once." in row["sentence"]
    )


def test_loads_in_whole_pieces_say_how_many_jobs_on_record_would_have_run_short() -> None:
    boards = lines([("garage", 20.0, 20.0)] * 19 + [("garage", 20.0, 25.0)], "board", "deck board")
    pieces = boards.with_columns(base_unit=pl.lit("m2"), piece_quantity=pl.lit(5.0))

    (row,) = propose(pieces)

    assert row["loaded_quantity"] == 20
    assert "With loads in whole ones, here 20.0 m²" in row["sentence"]
    assert ", 1 of the 20 garage jobs would have run short." in row["sentence"]
    assert "one job in seven" not in row["sentence"]


@pytest.mark.parametrize(
    ("standing", "says"),
    [
        (decided(0.125, 0.152), "less than half of one per cent away"),
        (decided(0.1, 0.13, tried_count=19), "could be tried on 19 past jobs only"),
    ],
)
def test_a_change_that_shows_nothing_is_kept_from_the_owner_with_its_reason(
    standing: Standing, says: str
) -> None:
    even = [("garage", 20.0, 22.0), ("garage", 20.0, 23.0)] * 7

    row = propose(lines(even), standing=standing)[0]

    assert not row["is_offered"]
    assert row["why_not"].startswith("keep what you allow, as ")
    assert says in row["why_not"]
    assert f"Not suggested: {row['why_not']}." in row["sentence"]


def test_odd_jobs_given_less_weight_are_counted_in_the_sentence() -> None:
    wild = propose(lines([*garages(24), ("garage", 50.0, 90.0)]))[0]

    assert "One odd job with laminating resin was given less weight." in wild["sentence"]


def test_what_is_in_force_on_another_base_is_put_onto_that_of_the_suggestion() -> None:
    even = [("garage", 20.0, 26.0), ("garage", 20.0, 27.0)] * 7
    trims = lines(even, "trim", "drip trim").with_columns(
        net_quantity=18.0,
        best_quantity=20.0,
        no_reuse_quantity=30.0,
        quoted_best_quantity=pl.lit(None, pl.Float64),
        quoted_no_reuse_quantity=pl.lit(None, pl.Float64),
        area_m2=12.0,
        quoted_area_m2=12.0,
        piece_quantity=3.0,
    )

    def put(blend_ratio: float | None) -> dict[str, Any]:
        standing = decided(0.0, 0.0, material="drip trim", blend_ratio=blend_ratio)
        return propose(trims, standing=standing)[0]

    on_best, on_no_reuse = put(None), put(1.0)

    # the jobs point to 20 x 1.325 charged; 20 m are in force on the best plan, .325 and .35 away,
    # or 30 m where all is thought to be cut anew, which is .5 on 20: a step of .03 comes down to it
    assert on_best["full_price_ratio"] == pytest.approx(0.325)
    assert on_best["change_ratio"] == pytest.approx(on_best["full_load_ratio"])
    assert on_best["charged_quantity"] == pytest.approx(
        20 + 20 * 0.325 * 0.03 / on_best["full_load_ratio"], abs=0.01
    )
    assert on_no_reuse["change_ratio"] == pytest.approx(0.175)
    assert on_no_reuse["charged_quantity"] == pytest.approx(29.4)
