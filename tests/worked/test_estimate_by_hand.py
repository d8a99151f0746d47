"""
A garage of 6.0 x 3.5 m worked out by hand: geometry and common practice, no published figure.

Resin of a 450 mat at 30 % glass: 0.45 x 0.70 / 0.30 = 1.05 kg per m2. Rolls of 950 mm with laps of
50 mm lay 1/18 more. The deck drinks 0.20 kg per m2. A run of 6.00 m in lengths of 3 m with laps of
50 mm takes three: two make 5.95 m.
"""

from datetime import date
from decimal import Decimal

import polars as pl
import pytest

from pipelines.estimating.first_estimate import estimate_lines, sum_costs
from pipelines.month.estimating_roof import estimate_roof
from pipelines.month.run import run_month
from schemas.records import RECORDS
from tests.support.small_firm import SETTINGS, make_firm

ROOF = """
reference = "garage by hand"
job_type = "garage"
work = "new deck"
length_mm = 6000
width_mm = 3500

[[edge]]
no = 1
kind = "gutter"
trim = "drip trim"
[[edge]]
no = 2
trim = "none"
[[edge]]
no = 3
trim = "none"
[[edge]]
no = 4
trim = "none"
"""
DECISIONS = """
material,job_type,decided_on,decision,fixed_loss,price_ratio,load_ratio
resin,garage,2026-05-01,set,0.8,0.06,0.14
"""
PRICES = """
supplier,material,pack_size,unit,pack_price_gbp,valid_from
Quayside Resins,resin,20,kg,66.50,2026-01-01
"""
MORE_SETTINGS = """
[soak_kg_per_m2]
"new deck" = 0.20
[supplier_for]
"resin" = "Quayside Resins"
"""


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    root = make_firm(
        tmp_path_factory.mktemp("by hand") / "firm",
        {"decisions.csv": DECISIONS, "prices.csv": PRICES},
        SETTINGS + MORE_SETTINGS,
    )
    run_month(root)
    roof = root / "garage.toml"
    roof.write_text(ROOF, encoding="utf-8")
    return estimate_roof(root, roof)


@pytest.fixture(scope="module")
def lines(told):
    return {line.material: line for line in told.lines}


def test_resin_from_bare_need_to_tins_and_pounds(lines):
    resin = lines["resin"]

    assert resin.net_quantity == Decimal("22.050")  # 21 x 1.05
    assert resin.base_quantity == Decimal("27.475")  # 22.05 x 19/18 + 21 x 0.20
    assert resin.charged_quantity == Decimal("29.924")  # + 0.8 + 1.6485 = 29.9235
    assert resin.loaded_quantity == Decimal("32.122")  # + 0.8 + 3.8465 = 32.1215
    assert (resin.packs_count, resin.pack_size) == (2, Decimal("20.000"))
    assert resin.cost_gbp == Decimal("99.50")  # 29.924 x 3.325 = 99.4973
    assert (resin.how, resin.in_force_from) == ("decided", date(2026, 5, 1))


def test_an_edge_of_six_metres_takes_three_lengths(lines):
    trim = lines["drip trim"]

    assert trim.net_quantity == Decimal("6.000")
    assert trim.base_quantity == Decimal("6.100")  # two laps; the rest of 2.90 m is kept
    assert trim.packs_count == 3
    assert trim.how == "nothing in force"
    assert trim.charged_quantity == trim.loaded_quantity == trim.base_quantity


def test_what_is_not_known_is_named_and_never_nought(told, lines):
    topcoat = lines["topcoat grey"]

    assert (topcoat.net_quantity, topcoat.charged_quantity, topcoat.cost_gbp) == (None, None, None)
    assert told.unknown == ("topcoat grey",)
    assert told.unpriced == ("drip trim", "topcoat grey", "mat 450")
    assert lines["mat 450"].cost_gbp is None
    assert told.total_gbp == Decimal("99.50")


def test_the_area_is_the_rectangle(told):
    assert told.area_m2 == Decimal("21.000")


def _item(**figures):
    blank = dict.fromkeys(RECORDS["materials"].columns)
    return pl.DataFrame([blank | {"material": "drip trim", "kind": "trim"} | figures])


def _estimate(need, item, allowance=None, lengths=None, price=None):
    named = {"material": "drip trim"}
    needs = {"kind": "trim", "base_unit": "m", "net_quantity": Decimal("4.8")}
    empty = pl.DataFrame({"material": []}, schema={"material": pl.String})
    return estimate_lines(
        pl.DataFrame([named | needs | {"base_quantity": need}]),
        item,
        empty if allowance is None else pl.DataFrame([named | allowance]),
        empty if lengths is None else pl.DataFrame([named | {"lengths_count": lengths}]),
        empty if price is None else pl.DataFrame([named | price]),
    )


def test_never_fewer_lengths_than_the_plan_opens():
    # three edges of 1.6 m: a length each, the rests of 1.4 m are kept, so 4.8 m are used up
    found = _estimate(Decimal("4.8"), _item(stock_length_mm=3000), lengths=3)

    assert found["packs_count"].to_list() == [3]
    assert found["loaded_quantity"].to_list() == [Decimal("4.800")]


def _estimate_cut(kind, allowance, lengths=None, **figures):
    item = _item(kind=kind, **figures)
    named = {"material": "drip trim"}
    need = named | {
        "kind": kind, "base_unit": "m", "net_quantity": Decimal("8.5"),
        "base_quantity": Decimal(9), "best_quantity": Decimal(9), "no_reuse_quantity": Decimal(15),
    }  # fmt: skip
    standing = {"how": "decided", "in_force_from": date(2026, 5, 1)}
    plans = {"material": ["drip trim"], "lengths_count": [lengths]}
    (line,) = estimate_lines(
        pl.DataFrame([need]),
        item,
        pl.DataFrame([named | standing | allowance]),
        pl.DataFrame(plans),
        pl.DataFrame({"material": []}, schema={"material": pl.String}),
    ).to_dicts()
    return line


BLENDED = {"fixed_loss": 0.5, "price_ratio": 0.0, "load_ratio": 0.1, "blend_ratio": 0.3}


def test_what_is_cut_stands_on_the_base_that_its_allowance_was_fitted_on():
    line = _estimate_cut("trim", BLENDED | {"piece_shift": None}, stock_length_mm=3000)

    assert line["base_quantity"] == Decimal("10.800")  # 9 + 0.3 x (15 - 9)
    assert line["charged_quantity"] == Decimal("11.300")
    assert line["loaded_quantity"] == Decimal("12.380")  # 10.8 + 0.5 + 1.08, in no whole lengths
    assert line["packs_count"] == 5


@pytest.mark.parametrize(
    ("shift", "lengths", "loaded"),
    [
        (0.5, None, "12.000"),  # 12.38 m are 4.13 lengths, and 4.63 are rounded down
        (0.9, None, "15.000"),  # 5.03 are rounded down
        (0.5, 5, "15.000"),  # the plan opens five
    ],
)
def test_battens_are_loaded_in_whole_lengths_and_no_fewer_than_the_plan_opens(
    shift, lengths, loaded
):
    allowance = BLENDED | {"piece_shift": shift}
    line = _estimate_cut("batten", allowance, lengths, stock_length_mm=3000)

    assert line["loaded_quantity"] == Decimal(loaded)
    assert line["charged_quantity"] == Decimal("11.300")


def test_lengths_come_in_whole_bundles_where_they_are_sold_so():
    item = _item(stock_length_mm=3000, pack_size=Decimal(30))

    assert _estimate(Decimal("4.8"), item, lengths=3)["packs_count"].to_list() == [1]


def test_a_penny_is_rounded_once_half_away_from_nought():
    price = {
        "supplier": "Thornwick", "pack_size": None, "price_gbp": Decimal("0.0025"),
        "from_on": date(2026, 1, 1), "how": "list",
    }  # fmt: skip
    found = _estimate(Decimal(2), _item(stock_length_mm=3000), price=price)

    assert sum_costs(found) == Decimal("0.01")  # 2 x 0.0025 = 0.005
