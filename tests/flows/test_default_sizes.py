"""A trim whose sizes nobody gave: an estimate says which ones stand in for them."""

import json

import pytest

from pipelines.cli import main
from pipelines.month.run import run_month
from tests.support.small_firm import make_firm

MATERIALS = """
material,kind,unit,pack_size,stock_length_mm,lap_mm,keep_from_mm
drip trim,trim,m,,,50,
face trim,trim,m,,,,
"""
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
def notes(tmp_path_factory):
    root = make_firm(tmp_path_factory.mktemp("sizes") / "firm", {"materials.csv": MATERIALS})
    run_month(root)
    path = root.parent / "porch.toml"
    path.write_text(ROOF, encoding="utf-8")

    def told(capsys):
        capsys.readouterr()
        assert main(["estimate", str(path), "--folder", str(root), "--json"]) == 0
        return json.loads(capsys.readouterr().out)["notes"]

    return told


def test_default_sizes_are_marked_and_the_firm_s_own_are_not(notes, capsys):
    (said,) = [note for note in notes(capsys) if "default, not yours" in note]

    assert said.startswith("drip trim: ")
    assert "length 3000 mm" in said
    assert "overlap" not in said
