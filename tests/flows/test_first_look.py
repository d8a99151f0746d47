"""What stands out in a small firm's papers: planted once each, found once each, else nothing."""

from decimal import Decimal

import pytest

from pipelines.month.run import run_month
from tests.support.small_firm import make_firm

MONTHS = [f"2025-{month:02}" for month in range(6, 13)] + [
    f"2026-{month:02}" for month in range(1, 6)
]


def _invoices(pack_prices: dict[str, int], nets: dict[str, int]) -> str:
    head = "supplier,document_no,line_no,document_on,description,material,packs,pack_size,unit,"
    lines = [head + "pack_price_gbp,line_net_gbp"]
    for at, month in enumerate(MONTHS):
        price = pack_prices.get(month, 60)
        net = nets.get(month, 10 * price)
        lines.append(
            f"Slip End Merchants,{7000 + at},1,{month}-10,Laminating resin 20 kg,resin,10,20,kg,"
            f"{price}.00,{net}.00"
        )
    return "\n".join(lines)


def _jobs(area: int) -> str:
    rows = ["job_ref,job_type,quoted_on,planned_on,completed_on,quoted_area_m2,quoted_price_gbp"]
    rows += [
        f"2025-{at + 1:03},garage,,,{MONTHS[at % 12]}-20,{area},{area * 120}" for at in range(16)
    ]
    rows.append("2026-100,garage,2026-05-20,,,40,4800")
    return "\n".join(rows)


def _firm(
    *,
    pack_prices: dict[str, int] | None = None,
    nets: dict[str, int] | None = None,
    area: int = 100,
    edge_mm: int = 5950,
    expires_on: str = "2026-12-31",
    is_listed: bool = True,
) -> dict[str, str]:
    """Return the papers of a firm in which nothing stands out but what is asked for."""
    # 12 months of 10 tins of 20 kg over 16 roofs of 100 square metres: 1.50, as allowed
    files = {
        "purchases.csv": _invoices(pack_prices or {}, nets or {}),
        "jobs.csv": _jobs(area),
        "edges.csv": f"job_ref,edge_no,material,quoted_mm\n2026-100,1,drip trim,{edge_mm}",
        "stock_counts.csv": (
            "counted_on,material,quantity,unit,lot,expires_on\n"
            f"2026-05-30,resin,40,kg,spring,{expires_on}"
        ),
    }
    if is_listed:
        files["prices.csv"] = (
            "supplier,material,pack_size,unit,pack_price_gbp,valid_from\n"
            "Slip End Merchants,resin,20,kg,60.00,2025-01-01"
        )
    return files


LAST_THREE_DEARER = dict.fromkeys(MONTHS[-3:], 66)
PLANTED = {
    # 3.30 asked, 3.00 listed; 200 kg a month
    "price": (_firm(pack_prices=LAST_THREE_DEARER), "price", Decimal("60.00"), "10.0 % more"),
    "price without a list": (
        _firm(pack_prices={MONTHS[-1]: 66}, is_listed=False),
        "price",
        Decimal("60.00"),
        "the invoice before the newest asked £3.00 a kg, the newest asks £3.30",
    ),
    # a difference of 1 in the hundred on the mean of the last three stays below the threshold
    "line": (
        _firm(nets={MONTHS[4]: 630}),
        "invoice line",
        Decimal("30.00"),
        "10 at £60.00 are £600.00, the line says £630.00",
    ),
    # 2400 kg over 800 m2: 3.00 for 1.50 allowed, 100 kg of 3.00 a month too much
    "bought": (_firm(area=50), "bought beside allowed", Decimal("300.00"), "you allow 1.50"),
    "edge": (_firm(edge_mm=5951), "edge", None, "its last 1 mm open another length"),
    "date near": (_firm(expires_on="2026-07-31"), "date", Decimal("120.00"), "60 days off"),
    "date past": (_firm(expires_on="2026-05-31"), "date", Decimal("120.00"), "no usable stock"),
}


def _look(root, ask):
    return ask(root, "SELECT finding, gbp, sentence, found_at FROM page.first_look")


@pytest.mark.parametrize("planted", PLANTED)
def test_what_is_planted_is_found_and_nothing_else(planted, tmp_path, ask):
    files, finding, gbp, words = PLANTED[planted]
    root = make_firm(tmp_path / "firm", files)

    run_month(root)

    found = _look(root, ask)
    assert [(row[0], row[1]) for row in found] == [(finding, gbp)]
    assert words in found[0][2]
    page = (root / "pages" / "start.html").read_text(encoding="utf-8")
    assert words in page
    if finding == "invoice line":
        assert found[0][3] == "purchases.csv, row 6"  # the fifth line below the heads


@pytest.mark.parametrize("edge_mm", [5950, 6051, 3000, 90])
def test_a_firm_without_them_shows_none(edge_mm, tmp_path, ask):
    # 3000 is one length, 5950 two with their lap, 6051 is 101 mm above, 90 needs a length anyhow
    root = make_firm(tmp_path / "firm", _firm(edge_mm=edge_mm))

    run_month(root)

    assert _look(root, ask) == []
    page = (root / "pages" / "start.html").read_text(encoding="utf-8")
    assert "Nothing stands out in what was handed in." in page


def test_corner_covers_are_taken_off_and_eight_rows_are_shown(tmp_path, ask):
    materials = """
        material,kind,unit,pack_size,stock_length_mm,lap_mm,corner_piece,corner_cover_mm
        drip corner,corner piece,each,,,,,
        drip trim,trim,m,,3000,50,drip corner,100
        resin,resin,kg,20,,,,
    """
    edges = ["job_ref,edge_no,material,quoted_mm,start_end,finish_end"]
    edges.append("2026-100,1,drip trim,6150,corner piece,corner piece")  # a run of 5950
    edges += [f"2026-100,{no},drip trim,{5950 + no},plain,plain" for no in range(2, 13)]
    root = make_firm(
        tmp_path / "firm",
        _firm() | {"materials.csv": materials, "edges.csv": "\n".join(edges)},
    )

    run_month(root)

    assert len(_look(root, ask)) == 11
    page = (root / "pages" / "start.html").read_text(encoding="utf-8")
    assert page.count("open another length of drip trim") == 8
    assert "3 more of less money not shown" in page
