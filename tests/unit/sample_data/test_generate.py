"""The invented firm's files: the same every time, free of the product, and true to their truth."""

import ast
import csv
from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

import sample_data
from sample_data.firm import MATERIALS
from sample_data.generate import generate
from sample_data.truth import balance_material
from sample_data.work import History

PRODUCT = {"pipelines", "schemas", "sql", "reports"}
SOURCES = sorted(Path(sample_data.__file__).parent.glob("*.py"))


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, History]:
    folder = tmp_path_factory.mktemp("made")
    return folder, generate(folder, seed=5, months=6)


def read_bytes(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def read_rows(path: Path) -> Iterator[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        yield from csv.DictReader(file)


@pytest.mark.parametrize("source", SOURCES, ids=lambda path: path.stem)
def test_generator_imports_nothing_of_the_product(source: Path) -> None:
    names = set()
    for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add((node.module or "").split(".")[0])
    assert names.isdisjoint(PRODUCT)


def test_same_seed_gives_the_same_bytes(made: tuple[Path, History], tmp_path: Path) -> None:
    generate(tmp_path, seed=5, months=6)
    assert read_bytes(tmp_path) == read_bytes(made[0])


def test_another_seed_gives_other_jobs(made: tuple[Path, History], tmp_path: Path) -> None:
    generate(tmp_path, seed=6, months=1)
    other = read_bytes(tmp_path)["firm/inbox/jobs 2024-06.xlsx"]
    assert other != read_bytes(made[0])["firm/inbox/jobs 2024-06.xlsx"]


@pytest.mark.parametrize("material", [each.name for each in MATERIALS])
def test_material_balances_to_the_thousandth(made: tuple[Path, History], material: str) -> None:
    opening, bought, used, written, unwritten, closing = balance_material(made[1], material)
    assert used > 0
    assert opening + bought - used - written - unwritten == closing


def test_written_truth_balances(made: tuple[Path, History]) -> None:
    for row in read_rows(made[0] / "truth" / "balance.csv"):
        lost = Decimal(row["lost_written"]) + Decimal(row["lost_unwritten"])
        left = Decimal(row["opening"]) + Decimal(row["bought"]) - Decimal(row["used"]) - lost
        assert left == Decimal(row["closing"]), row["material"]


def test_every_cut_length_adds_up(made: tuple[Path, History]) -> None:
    rows = list(read_rows(made[0] / "truth" / "cuts.csv"))
    parts = ("fitted_mm", "kerf_mm", "racked_mm", "binned_mm")
    assert all(sum(int(row[part]) for part in parts) == int(row["length_mm"]) for row in rows)
    assert all(int(row[part]) >= 0 for row in rows for part in parts)
    assert {int(row["length_mm"]) for row in rows if row["source"] == "new"} == {3000}


def test_lengths_cut_are_the_lengths_drawn(made: tuple[Path, History]) -> None:
    """Whole lengths out less back on the card are the new lengths in the truth."""
    drawn: dict[tuple[str, str], int] = defaultdict(int)
    for row in read_rows(made[0] / "truth" / "cuts.csv"):
        drawn[row["job_ref"], row["material"]] += row["source"] == "new"
    trims = {each.name for each in MATERIALS if each.kind == "trim"}
    moved = {
        (card.job.job_ref, name): reading.out - reading.back
        for card in made[1].cards
        for name, reading in card.moved.items()
        if name in trims
    }
    assert moved == dict(drawn)


def test_fitted_pieces_cover_every_run_and_its_laps(made: tuple[Path, History]) -> None:
    lap_mm = {each.name: int(each.columns.get("lap_mm", "0")) for each in MATERIALS}
    for card in made[1].cards:
        fitted: dict[str, int] = defaultdict(int)
        for bar in card.bars:
            fitted[bar.trim] += bar.fitted_mm
        for edge in card.job.roof.edges:
            fitted[edge.trim] -= edge.run_mm(edge.fitted_mm)
        laps = {trim: divmod(left, lap_mm[trim]) for trim, left in fitted.items()}
        assert all(rest == 0 and count >= 0 for count, rest in laps.values()), card.job.job_ref


def test_a_rack_piece_was_racked_before_it_is_taken(made: tuple[Path, History]) -> None:
    rack: list[tuple[str, int]] = []
    for card in made[1].cards:
        for trim, pieces in card.from_rack.items():
            for length_mm in pieces:
                rack.remove((trim, length_mm))
        rack += [(trim, mm) for trim, pieces in card.racked.items() for mm in pieces]
    assert rack


def test_used_trim_is_drawn_less_racked(made: tuple[Path, History]) -> None:
    for card in made[1].cards:
        for trim, pieces in card.racked.items():
            reading = card.moved.get(trim)
            new_mm = 3000 * (reading.out - reading.back) if reading else 0
            assert card.used[trim] == new_mm + sum(card.from_rack[trim]) - sum(pieces)


def test_neighbouring_ends_agree_and_the_ring_closes(made: tuple[Path, History]) -> None:
    for job in made[1].jobs:
        edges = job.roof.edges
        for edge, following in zip(edges, (*edges[1:], edges[0]), strict=True):
            ends = (edge.finish_end, following.start_end)
            assert "corner piece" not in ends or ends == ("corner piece", "corner piece")
        along = [edge.quoted_mm for edge in edges]
        if len(edges) == 4:
            assert along[0] == along[2]
            assert along[1] == along[3]
        else:
            assert along[0] == along[2] + along[4]
            assert along[1] == along[3] + along[5]


def test_an_invoice_of_its_own_is_in_no_list_of_lines(made: tuple[Path, History]) -> None:
    inbox = made[0] / "firm" / "inbox"
    lists = {
        "thornwick": ("thornwick invoices*.csv", ",{},Invoice,"),
        "saltbarrow": ("saltbarrow history*.csv", ",{},"),
        "mossgate": ("mossgate lines*.csv", "{};INV;"),
    }
    own = [*inbox.glob("*.xml"), *inbox.glob("*.pdf")]
    assert len(own) == 4
    for paper in own:
        supplier, number = paper.stem.split(" ")
        pattern, line = lists[supplier]
        listed = [path.read_bytes() for path in inbox.glob(pattern)]
        assert listed
        assert not any(line.format(number).encode() in text for text in listed), paper.name
