"""A roof that cannot be estimated as written is refused with what can; a risky one says so."""

import pytest

from pipelines.cli import main
from pipelines.errors import RoofError
from pipelines.month.estimating_roof import estimate_roof
from pipelines.month.run import run_month
from tests.support.small_firm import MATERIALS, make_firm

ROOF = """
reference = "porch in the lane"
job_type = "porch"
work = "new deck"
length_mm = 2000
width_mm = 1000
edge = [
    { no = 1, trim = "drip trim" },
    { no = 2, trim = "drip trim" },
    { no = 3, trim = "none" },
    { no = 4, trim = "drip trim" },
]
"""


@pytest.fixture(scope="module")
def firm(tmp_path_factory):
    root = make_firm(tmp_path_factory.mktemp("refused") / "firm", {})
    run_month(root)
    return root


@pytest.fixture
def estimate(firm, tmp_path):
    def estimated(*changes, more=""):
        text = ROOF
        for before, after in changes:
            assert before in text
            text = text.replace(before, after)
        path = tmp_path / "roof.toml"
        path.write_text(more + text, encoding="utf-8")
        return estimate_roof(firm, path)

    return estimated


EDGE_2 = '{ no = 2, trim = "drip trim" },'


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ("length_mm = 2000", "length_mm = 0", "key 'length_mm' is '0'; it must be a whole number"),
        ("width_mm = 1000", "", "key 'width_mm' is missing"),
        ("width_mm = 1000", "width_mm = 1.5", "key 'width_mm' is '1.5'"),
        ("work =", "wastage = 5\nwork =", "key 'wastage' is not known; known here are: reference,"),
        (EDGE_2, "", "edge 2 is missing; a rectangle has four"),
        (EDGE_2, EDGE_2 * 2, "edge 2 names the trim 'drip trim' twice"),
        (
            EDGE_2,
            '{ no = 5, trim = "drip trim" },',
            "key 'edge.no' is '5'; it must be 1, 2, 3 or 4",
        ),
        (EDGE_2, "{ no = 2 },", "key 'edge 2: trim' is missing"),
        (EDGE_2, '{ no = 2, trim = "none", colour = "grey" },', "known here are: no, kind, trim"),
        (EDGE_2, '{ no = 2, trim = "drop edge trim" },', "did you mean drip trim"),
        (EDGE_2, '{ no = 2, trim = "drip trim", kind = "eave" },', "is none of: gutter, verge"),
        ('"porch"\n', '"pooch roof"\n', "is no job type that is known; did you mean porch"),
        ("work =", 'lay_up = "300 double"\nwork =', "is no lay-up that is known"),
        ("work =", "needs = { resin = 5 }\nwork =", "a quantity and its unit"),
        ("work =", 'needs = { resin = "5 tonne" }\nwork =', "unit 'tonne'"),
        ("job_type", "job_type", None),
    ],
)
def test_refused_with_what_can(estimate, before, after, says):
    if says is None:
        assert estimate((before, after)).lines
        return
    with pytest.raises(RoofError) as refused:
        estimate((before, after))

    assert says in str(refused.value)
    assert "roof.toml" in str(refused.value)


def test_a_coverage_with_losses_inside_takes_no_allowance(tmp_path):
    head, *rows = MATERIALS.strip().splitlines()
    gross = [f"{row},{'0.6,gross' if 'topcoat' in row else ','}" for row in rows]
    materials = "\n".join([f"{head},coverage_per_m2,coverage_basis", *gross])
    root = make_firm(tmp_path / "firm", {"materials.csv": materials})
    run_month(root)
    (tmp_path / "roof.toml").write_text(ROOF, encoding="utf-8")

    with pytest.raises(RoofError, match="give a net rate, or say that the rate is net") as refused:
        estimate_roof(root, tmp_path / "roof.toml")

    assert "topcoat grey: its coverage of 0.6 kg per m2" in str(refused.value)


def test_a_typed_need_is_taken_in_its_unit(estimate):
    told = estimate(("work =", 'needs = { "topcoat grey" = "1200 g" }\nwork ='))

    (topcoat,) = [line for line in told.lines if line.material == "topcoat grey"]
    assert str(topcoat.net_quantity) == "1.200"
    assert told.unknown == ()


def test_roofs_that_are_no_routine_say_whom_to_ask(estimate):
    usual = estimate().cautions
    large = estimate(("2000", "9000"), ("1000", "6000"), ("new deck", "overlay")).cautions

    assert len(usual) == 2
    assert large[-2:] == usual
    assert large[0].startswith("54 m2 is above 50 m2")
    assert "structural engineer" in large[0]
    assert large[1].startswith("Overlay: price it only after a survey")
    assert "one is 9000 mm" in large[2]


def test_rows_of_another_record_are_no_part_of_a_roof(firm, tmp_path, capsys):
    path = tmp_path / "purchases.csv"
    path.write_text(
        "supplier,document_no,document_on,description,line_net_gbp\nQuay,1,2026-05-01,x,5\n",
        encoding="utf-8",
    )

    assert main(["estimate", str(path), "--folder", str(firm)]) == 18
    assert "rows of purchases are no part of a roof" in capsys.readouterr().err


def test_two_jobs_are_not_one_roof(firm, tmp_path):
    path = tmp_path / "jobs.csv"
    path.write_text("job_ref,job_type\none,porch\ntwo,porch\n", encoding="utf-8")

    with pytest.raises(RoofError, match="an estimate is of one roof"):
        estimate_roof(firm, path)
