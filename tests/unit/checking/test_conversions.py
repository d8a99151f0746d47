"""Words of the lists, and quantities brought to base units or refused with the units that can."""

from decimal import Decimal

import pytest

from pipelines.checking.judging import JudgedRecord
from tests.support.handed_in import MATERIALS
from tests.unit.checking.judged_inbox import Inbox, in_force, outcomes, reasons


def issue(material: str, quantity: str, unit: str = "") -> JudgedRecord:
    """Return the judgement on one row that issues `quantity` of `material`."""
    row = {
        "job_ref": "2025-014",
        "material": material,
        "issued_quantity": quantity,
        "unit": unit or None,
    }
    return Inbox(jobs=["2025-014"]).add("job_materials", [row]).judge()["job_materials"]


@pytest.mark.parametrize(
    ("material", "quantity", "unit", "base", "base_unit"),
    [
        ("resin", "40", "", "40", "kg"),
        ("resin", "500", "g", "0.5", "kg"),
        ("resin", "2", "tins", "40", "kg"),
        ("resin", "2 x 20kg", "", "40", "kg"),
        ("drip trim", "7", "lengths", "21", "m"),
        ("drip trim", "7", "each", "21", "m"),
        ("drip trim", "2500", "mm", "2.5", "m"),
        ("drip trim", "250", "cm", "2.5", "m"),
        ("drip trim", "10", "ft", "3.048", "m"),
        ("mat 450", "34", "kg", "75.556", "m2"),
        ("mat 450", "2", "rolls", "150", "m2"),
        ("nails", "2", "kg", "700", "each"),
        ("nails", "2 kg", "", "700", "each"),
        ("adhesive", "4", "cartridges", "1240", "ml"),
        ("adhesive", "1.5", "l", "1500", "ml"),
        ("acetone", "500", "ml", "0.5", "l"),
        ("catalyst", "250", "g", "0.25", "kg"),
    ],
)
def test_what_converts_is_kept_in_base_units(
    material: str, quantity: str, unit: str, base: str, base_unit: str
) -> None:
    judged = issue(material, quantity, unit)

    assert in_force(judged, "job_materials", "issued_quantity", "unit") == [
        (Decimal(base), base_unit)
    ]


def test_a_conversion_rounds_once_and_half_away_from_zero_on_record() -> None:
    judged = issue("resin", "0.5", "g")

    assert in_force(judged, "job_materials", "issued_quantity") == [(Decimal("0.001"),)]
    assert judged.repairs.select("value_before", "value_after", "rule").rows() == [
        ("0.5 g", "0.001 kg", "converted")
    ]
    assert outcomes(judged) == ["clean"]


@pytest.mark.parametrize(
    ("material", "quantity", "unit", "fault"),
    [
        ("catalyst", "250", "ml", "'ml' cannot be converted to it; these can: bottle, cartridge,"),
        ("bandage", "7", "each", "these can: cm, ft, m, mm"),
        ("drip trim", "7", "rolls", "these can: cm, each, ft, length, m, mm"),
        ("nails", "2", "boxes", "these can: each, g, kg"),
        ("board", "2", "sheets", "board is kept in m2 and 'sheet' cannot be converted to it"),
        ("resin", "2 kg", "tins", "says kg in the cell and tin in the unit column"),
        ("resin", "£5", "", "is in gbp; this column takes a quantity"),
        ("resin", "2 x 20 blobs", "", "names a unit that is not known: blobs"),
        ("resin", "9999999999999999", "", "is too large a figure"),
        ("resin", "999999999999999", "tins", "is too large a figure"),
        ("resin", "-3", "", "is below 0"),
        ("resin", "tbc", "", "stands for no answer, not a number"),
    ],
)
def test_what_does_not_convert_is_refused_and_the_units_that_can_are_named(
    material: str, quantity: str, unit: str, fault: str
) -> None:
    judged = issue(material, quantity, unit)

    assert outcomes(judged) == ["rejected"]
    assert len(reasons(judged)) == 1
    assert fault in reasons(judged)[0]
    assert reasons(judged)[0].startswith("issued_quantity: ")


def test_a_unit_that_is_none_is_refused_by_name() -> None:
    assert reasons(issue("resin", "5", "blobs")) == ["unit: is no unit that is known"]


def test_catalyst_in_millilitres_converts_once_the_firm_gives_its_density() -> None:
    materials = "material|kind|unit|density_kg_per_l\ncatalyst|catalyst|kg|1.18"
    judged = (
        Inbox(materials=materials, jobs=["2025-014"])
        .add("job_materials", "job_ref|material|issued_quantity|unit\n2025-014|catalyst|250|ml")
        .judge()["job_materials"]
    )

    assert in_force(judged, "job_materials", "issued_quantity") == [(Decimal("0.295"),)]
    assert judged.repairs["rule"].to_list() == ["converted"]


def test_a_default_is_named_as_one_that_is_not_the_firms() -> None:
    assert issue("resin", "10", "l").repairs["rule"].to_list() == [
        "converted by a density_kg_per_l of 1.10 (default, not yours)"
    ]
    assert issue("gutter trim", "2", "lengths").repairs["rule"].to_list() == [
        "converted by a stock_length_mm of 3000 (default, not yours)"
    ]


def test_sheets_convert_by_their_size() -> None:
    materials = "material|kind|unit|length_mm|width_mm\nboard|board|sheets|2440|1220"
    judged = (
        Inbox(materials=materials, jobs=["2025-014"])
        .add("job_materials", "job_ref|material|issued_quantity\n2025-014|board|3")
        .judge()["job_materials"]
    )

    assert in_force(judged, "job_materials", "issued_quantity", "unit") == [
        (Decimal("8.930"), "m2")
    ]


def test_adhesive_by_weight_needs_its_density() -> None:
    materials = "material|kind|unit|density_kg_per_l\nadhesive|adhesive|ml|1.25"
    judged = (
        Inbox(materials=materials, jobs=["2025-014"])
        .add("job_materials", "job_ref|material|issued_quantity|unit\n2025-014|adhesive|1|kg")
        .judge()["job_materials"]
    )

    assert in_force(judged, "job_materials", "issued_quantity") == [(Decimal(800),)]
    assert outcomes(issue("adhesive", "1", "kg")) == ["rejected"]


def test_the_pack_size_in_the_list_of_materials_is_in_base_units_whatever_the_firm_writes() -> None:
    judged = Inbox(
        materials="""
        material  | kind | unit    | pack_size | g_per_m2 | stock_length_mm
        mat 450   | mat  | kg      | 75        | 450      |
        mat 600   | mat  | rolls   | 34 kg     | 600      |
        drip trim | trim | lengths | 30        |          | 3000
        """
    ).judge()["materials"]

    assert in_force(judged, "materials", "material", "unit", "pack_size") == [
        ("drip trim", "lengths", Decimal(30)),
        ("mat 450", "kg", Decimal(75)),
        ("mat 600", "rolls", Decimal("56.667")),
    ]


def test_a_price_list_is_kept_by_base_unit_and_what_its_blanks_mean() -> None:
    judged = (
        Inbox()
        .add(
            "prices",
            """
            supplier        | material  | unit    | pack_size | pack_price_gbp | min_packs
            Quayside Resins | resin     | tin     | 20        | 61.2345        |
            Quayside Resins | resin     | kg      | 20        | 61.2345        | 1
            Quayside Resins | drip trim | lengths | 1         | 9.5            | 10
            """,
        )
        .judge()["prices"]
    )

    assert outcomes(judged) == ["clean", "already held", "clean"]
    assert in_force(judged, "prices", "material", "unit", "pack_size", "min_packs") == [
        ("drip trim", "m", Decimal(3), Decimal(10)),
        ("resin", "kg", Decimal(20), Decimal(1)),
    ]


def test_a_material_corrected_or_emptied_later_converts_by_what_is_in_force() -> None:
    inbox = Inbox(jobs=["2025-014"])
    inbox.add("job_materials", "job_ref|material|issued_quantity|unit\n2025-014|mat 450|9|kg")
    more = "material|g_per_m2\nmat 450|300"
    corrected = inbox.next_batch().add("materials", more).judge()["job_materials"]
    none = "material|g_per_m2\nmat 450|none"
    emptied = inbox.next_batch().add("materials", none).judge()["job_materials"]

    assert in_force(corrected, "job_materials", "issued_quantity") == [(Decimal(30),)]
    assert outcomes(emptied) == ["rejected"]


@pytest.mark.parametrize(
    ("column", "text", "kept"),
    [
        ("quoted_area_m2", "20.5 m2", Decimal("20.5")),
        ("quoted_area_m2", "20.00049", Decimal("20.000")),
        ("quoted_area_m2", "20.400000000000002", Decimal("20.4")),
        ("quoted_price_gbp", "£2,150.00", Decimal("2150.00")),
        ("quoted_price_gbp", "2150.0000000000002", Decimal("2150.00")),
        ("second_trips", "1.0", 1),
        ("work", "New  Deck", "new deck"),
        ("work", "re-roof", "strip"),
        ("as_drawn", "Y", "yes"),
    ],
)
def test_a_cell_is_read_and_what_was_mended_is_on_record(
    column: str, text: str, kept: object
) -> None:
    row = {"job_ref": "2025-014", "job_type": "garage", column: text}
    judged = Inbox().add("jobs", [row]).judge()["jobs"]

    assert in_force(judged, "jobs", column) == [(kept,)]
    assert outcomes(judged) == (["clean"] if text == "1.0" else ["repaired"])


@pytest.mark.parametrize(
    ("column", "text", "fault"),
    [
        ("quoted_area_m2", "20 m", "is in m; this column takes m2"),
        ("quoted_area_m2", "0", "is 0; leave it blank where it is not known"),
        ("quoted_price_gbp", "€2150", "is in EUR; only GBP is taken, and nothing is converted"),
        ("quoted_price_gbp", "2150.005", "has parts of a penny"),
        ("quoted_price_gbp", "20 kg", "is in kg; this column takes gbp"),
        ("quoted_price_gbp", "99999999999", "is too large a figure"),
        ("second_trips", "1.5", "is not a whole number"),
        ("second_trips", "99999999999999999999", "is too large a figure"),
        ("labour_days", "£3", "is in gbp; this column takes a bare number"),
        ("work", "patching", "is none of: new deck, strip, overlay, repair"),
    ],
)
def test_a_cell_that_is_not_what_its_column_takes_is_refused(
    column: str, text: str, fault: str
) -> None:
    row = {"job_ref": "2025-014", "job_type": "garage", column: text}
    judged = Inbox().add("jobs", [row]).judge()["jobs"]

    assert reasons(judged) == [f"{column}: {fault}"]


def test_an_edge_may_be_written_in_metres_with_its_unit() -> None:
    edges = "job_ref|edge_no|material|quoted_mm\n2025-014|1|drip trim|4.2 m"
    judged = Inbox(jobs=["2025-014"]).add("edges", edges).judge()["edges"]

    assert in_force(judged, "edges", "quoted_mm") == [(4200,)]


def test_an_offcut_longer_than_a_new_length_is_refused() -> None:
    offcuts = """
        job_ref  | material    | length_mm | pieces | fate
        2025-014 | drip trim   | 3400      | 1      | racked
        2025-014 | gutter trim | 3400      | 1      | racked
        2025-014 | drip trim   | 3000      | 1      | racked
    """
    judged = Inbox(jobs=["2025-014"]).add("offcuts", offcuts).judge()["offcuts"]

    assert reasons(judged) == [
        "length_mm: is longer than a new length, which is 3.00 m",
        "length_mm: is longer than a new length, which is 3.00 m (default, not yours)",
    ]


def test_decimal_commas_are_read_where_the_file_has_no_point_and_refused_elsewhere() -> None:
    inbox = Inbox(jobs=["2025-014"], materials=MATERIALS)
    head = "job_ref|material|issued_quantity|returned_quantity\n"
    inbox.add("job_materials", f"{head}2025-014|resin|12,5|1,000\n2025-014|nails|7|")
    inbox.add("job_materials", f"{head}2025-014|drip trim|12,5|2.5")
    judged = inbox.judge()["job_materials"]

    assert outcomes(judged) == ["rejected", "clean", "rejected"]
    assert reasons(judged) == [
        "returned_quantity: could be thousands or a decimal comma, which this file uses too",
        "issued_quantity: has a decimal comma; write it with a point",
    ]


def test_a_row_may_have_several_faults_and_each_is_told() -> None:
    row = "job_ref|job_type|quoted_area_m2|completed_on\n2025-014|garage|tbc|31/02/2026"
    judged = Inbox().add("jobs", row).judge()["jobs"]

    assert sorted(reasons(judged)) == [
        "completed_on: is no day of the calendar",
        "quoted_area_m2: stands for no answer, not a number",
    ]
    assert judged.rejects["row_text"].n_unique() == 1
