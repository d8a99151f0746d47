"""A roof estimated on the invented firm: a decision changes its own figures and nothing else."""

import json
import shutil
from decimal import ROUND_HALF_UP, Decimal

import pytest
from openpyxl import Workbook

from pipelines.cli import main
from pipelines.month.estimating_roof import estimate_roof
from pipelines.month.run import run_month

ROOF = """
reference = "roof behind the mill"
job_type = "garage"
work = "new deck"
length_mm = 6000
width_mm = 3500
materials = ["topcoat light grey"]

[[edge]]
no = 1
kind = "gutter"
trim = "drip trim"
start_end = "corner piece"
finish_end = "corner piece"
[[edge]]
no = 2
kind = "verge"
trim = "raised edge trim"
start_end = "corner piece"
[[edge]]
no = 3
kind = "wall"
trim = "wall fillet"
[[edge]]
no = 4
kind = "verge"
trim = "raised edge trim"
finish_end = "corner piece"
"""
DECISIONS = """
material,job_type,decided_on,decision,fixed_loss,price_ratio,load_ratio
resin,garage,2026-06-01,set,1.250,0.123456,0.234567
raised edge trim,garage,2026-06-01,set,0.300,0.050000,0.150000
wall fillet,porch,2026-06-01,set,9,9,9
"""
DECIDED = {
    "resin": ("1.250", "0.123456", "0.234567"),
    "raised edge trim": ("0.300", "0.050000", "0.150000"),
}
MOVED = {
    "how", "in_force_from", "fixed_loss", "price_ratio", "load_ratio", "charged_quantity",
    "loaded_quantity", "packs_count", "cost_gbp",
}  # fmt: skip


@pytest.fixture(scope="module")
def roof(tmp_path_factory):
    path = tmp_path_factory.mktemp("roof") / "mill.toml"
    path.write_text(ROOF, encoding="utf-8")
    return path


def ask_json(capsys, root, roof, *words):
    capsys.readouterr()
    assert main(["estimate", str(roof), "--folder", str(root), "--json", *words]) == 0
    return json.loads(capsys.readouterr().out)


def added(base, fixed, ratio):
    whole = Decimal(base) + Decimal(fixed) + Decimal(ratio) * Decimal(base)
    return str(whole.quantize(Decimal("0.001"), rounding=ROUND_HALF_UP))


def test_a_decision_changes_exactly_its_own_lines(demo, roof, tmp_path, capsys):
    root = shutil.copytree(demo.root, tmp_path / "firm")
    before = ask_json(capsys, root, roof)
    (root / "inbox" / "decisions june.csv").write_text(DECISIONS.lstrip(), encoding="utf-8")
    unread = ask_json(capsys, root, roof)
    summary = run_month(root)
    after = ask_json(capsys, root, roof)

    assert unread == before
    assert summary.accepted_count == 3
    assert {**after, "lines": [], "total_gbp": ""} == {**before, "lines": [], "total_gbp": ""}
    assert len(after["lines"]) == len(before["lines"]) > 10
    for old, new in zip(before["lines"], after["lines"], strict=True):
        figures = DECIDED.get(new["material"])
        if figures is None:
            assert new == old
            continue
        fixed, price, load = figures
        assert {key for key in new if new[key] != old[key]} <= MOVED
        assert (new["how"], new["in_force_from"]) == ("decided", "2026-06-01")
        assert (new["fixed_loss"], new["price_ratio"], new["load_ratio"]) == figures
        assert new["charged_quantity"] == added(old["base_quantity"], fixed, price)
        assert new["loaded_quantity"] == added(old["base_quantity"], fixed, load)
        assert new["charged_quantity"] != old["charged_quantity"]
    costs = [Decimal(line["cost_gbp"]) for line in after["lines"]]
    assert Decimal(after["total_gbp"]) == sum(costs)
    assert after["total_gbp"] != before["total_gbp"]


def write_rows(path, sheets):
    book = Workbook()
    book.remove(book.active)
    for name, (head, *rows) in sheets.items():
        sheet = book.create_sheet(name)
        sheet.append(head)
        for row in rows:
            sheet.append(row)
    book.save(path)
    return path


@pytest.mark.slow
def test_rows_of_jobs_and_edges_say_the_same_roof(demo, roof, tmp_path):
    rows = write_rows(
        tmp_path / "mill.xlsx",
        {
            "jobs": [
                ("job_ref", "job_type", "work", "quoted_area_m2", "quoted_on"),
                ("roof behind the mill", "gar", "new deck", 21, "2026-05-30"),
            ],
            "edges": [
                ("job_ref", "edge_no", "material", "quoted_mm", "start_end", "finish_end"),
                ("roof behind the mill", 1, "drip trim", 6000, "corner piece", "corner piece"),
                ("roof behind the mill", 2, "raised edge trim", 3500, "corner piece", None),
                ("roof behind the mill", 3, "wall fillet", 6000, None, None),
                ("roof behind the mill", 4, "raised edge trim", 3500, None, "corner piece"),
            ],
            "job_materials": [
                ("job_ref", "material", "estimated_quantity"),
                ("roof behind the mill", "topcoat light grey", 99),
            ],
        },
    )
    told, by_rows = (estimate_roof(demo.root, path, with_suggested=True) for path in (roof, rows))

    assert by_rows.lines == told.lines
    assert (by_rows.reference, by_rows.total_gbp) == (told.reference, told.total_gbp)
    assert any(line.suggested for line in told.lines)
    assert by_rows.notes == ("job_type 'gar' read as 'garage': " + by_rows.notes[0].split(": ")[1],)


JOB = """
    SELECT job.job_ref, job.job_type, job.work, job.quoted_area_m2, job.lay_up
    FROM ledger.jobs AS job
    WHERE job.quoted_area_m2 IS NOT NULL AND job.job_type = ?
    ORDER BY job.job_ref DESC
    LIMIT 1
"""
EDGES = """
    SELECT job_ref, edge_no, material, quoted_mm, kind, start_end, finish_end
    FROM ledger.edges
    WHERE job_ref = ?
"""
CARD = """
    SELECT DISTINCT net.job_ref, net.material, net.base_unit, card.quoted_net_quantity
    FROM usage.net_quantity AS net
    LEFT JOIN usage.job_quantity AS card
        ON net.job_ref = card.job_ref AND net.material = card.material
    WHERE net.job_ref = ? AND net.kind NOT IN ('trim', 'corner piece')
"""
BASES = """
    SELECT material, net_quantity, base_quantity
    FROM learn.base_quantity
    WHERE job_ref = ? AND stage = 'quoted'
"""


@pytest.mark.parametrize("job_type", ["garage", "balcony", "dormer"])
def test_the_base_is_that_of_the_same_roof_on_record(demo, ask, tmp_path, job_type):
    (job,) = ask(demo.root, JOB, job_type)
    rows = write_rows(
        tmp_path / "again.xlsx",
        {
            "jobs": [("job_ref", "job_type", "work", "quoted_area_m2", "lay_up"), job],
            "edges": [
                (
                    "job_ref", "edge_no", "material", "quoted_mm", "kind", "start_end",
                    "finish_end",
                ),
                *ask(demo.root, EDGES, job[0]),
            ],
            "job_materials": [
                ("job_ref", "material", "unit", "quoted_net_quantity"),
                *ask(demo.root, CARD, job[0]),
            ],
        },
    )  # fmt: skip
    found = {line.material: line for line in estimate_roof(demo.root, rows).lines}
    on_record = ask(demo.root, BASES, job[0])

    assert len(on_record) > 5
    for material, net, base in on_record:
        line = found[material]
        assert (material, line.net_quantity, line.base_quantity) == (material, net, base)


def test_the_command_says_what_to_mind_and_no_dose(demo, roof, capsys):
    assert main(["estimate", str(roof), "--folder", str(demo.root), "--with-suggested"]) == 0
    told = " ".join(capsys.readouterr().out.split())

    assert "roof behind the mill: garage, new deck, 450 single, 21 m2" in told
    assert "as your jobs suggest" in told
    assert "never a dose" in told
    assert "catalyst kg see tin see tin see tin see tin" in told
    assert "see the trim's and resin's data sheets" in told
    assert "Overlay" not in told
