"""A firm's folder of a few files, written out in the test that needs it."""

from collections.abc import Mapping
from pathlib import Path
from textwrap import dedent

SETTINGS = """
firm = "Two Ladders Roofing"
as_of = 2026-06-01
day_first = true
labour_day_gbp = "200.00"

[job_types.garage]
lay_up = "450 single"
words = ["gar"]
[job_types.porch]
lay_up = "450 single"

[lay_ups."450 single"]
mats_g_per_m2 = [450]

[[allow]]
material = "resin"
from = 2024-01-01
per_m2 = 1.50
"""

MATERIALS = """
material,kind,unit,pack_size,stock_length_mm,lap_mm,keep_from_mm,g_per_m2,width_mm,shelf_life_days
resin,resin,kg,20,,,,,,180
drip trim,trim,m,,3000,50,600,,,
mat 450,mat,m2,75.556,,50,,450,950,
topcoat grey,topcoat,kg,10,,,,,,180
"""


def make_firm(root: Path, files: Mapping[str, str], settings: str = SETTINGS) -> Path:
    """Write a firm's folder at `root` with the given inbox files; return `root`."""
    (root / "settings" / "mappings").mkdir(parents=True)
    (root / "settings" / "settings.toml").write_text(settings, encoding="utf-8")
    (root / "inbox").mkdir()
    drop(root, {"materials.csv": MATERIALS, **files})
    return root


def drop(root: Path, files: Mapping[str, str]) -> None:
    """Write files into the firm's inbox."""
    for name, text in files.items():
        (root / "inbox" / name).write_text(dedent(text).strip() + "\n", encoding="utf-8")
