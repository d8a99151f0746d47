"""The store: last counts, what the booked jobs want, what whole packs come to."""

import csv

from tests.agreement.by_month import booked, booked_need, last_counts
from tests.agreement.papers import FIRM

BOOKED = ("resin", "primer", "topcoat light grey", "topcoat dark grey", "mat 450", "drip trim")


def test_last_counts_of_every_material_with_their_day(ask, papers):
    counts = ask("SELECT material, counted_on, quantity FROM stock.last_count")

    assert counts == last_counts(papers)


def test_counts_are_what_truly_stood_there_within_the_reading_of_open_packs(ask, papers):
    counts = ask("SELECT material, quantity FROM stock.last_count")
    with (FIRM.parent / "truth" / "balance.csv").open(encoding="utf-8", newline="") as file:
        true = {row["material"]: float(row["closing"]) for row in csv.DictReader(file)}

    for material, stood in true.items():
        quarter = float(papers.materials[material]["pack_size"]) / 4
        assert abs(float(counts[material]) - stood) < quarter, material


def test_what_the_booked_jobs_are_allowed(ask, papers):
    needs = ask("SELECT material, booked_quantity FROM stock.position")

    assert len(booked(papers)) == 12
    assert {material: needs[material] for material in BOOKED} == {
        material: booked_need(papers, material) for material in BOOKED
    }


def test_whole_packs_over_all_jobs_come_near_what_was_truly_used(ask, papers, true_use):
    taken = ask(
        "SELECT material, used_quantity, job_count FROM page.allowed_and_used "
        "WHERE material IN ('bandage', 'catalyst', 'solvent', 'nails')"
    )
    lately = ask(
        "SELECT job_ref, completed_on FROM ledger.jobs "
        "WHERE completed_on BETWEEN DATE '2026-03-01' AND DATE '2026-05-31'"
    )

    assert len(taken) == 4
    for material, (used, job_count) in taken.items():
        true = sum(true_use.get((ref, material), 0) for ref in lately)
        two_vans = 2 * float(papers.materials[material]["pack_size"])
        assert job_count == len(lately)
        assert abs(float(used) - true) <= two_vans, material
