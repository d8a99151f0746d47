"""A firm that starts with a year of invoices and a list of finished jobs."""

import pytest

from pipelines.month.run import run_month
from tests.support.small_firm import make_firm

PRICES = (52, 52, 52, 54, 54, 54, 54, 55, 55, 55, 55, 58)
TINS = (9, 12, 8, 10, 11, 9, 12, 10, 8, 12, 10, 9)


def _invoices() -> str:
    head = "supplier,document_no,line_no,document_on,description,material,packs,pack_size,unit,"
    lines = [head + "line_net_gbp"]
    months = [f"2025-{month:02}" for month in range(6, 13)] + [
        f"2026-{month:02}" for month in range(1, 6)
    ]
    for at, (month, tins, price) in enumerate(zip(months, TINS, PRICES, strict=True)):
        lines.append(
            f"Slip End Merchants,{7000 + at},1,{month}-10,Laminating resin 20 kg,resin,"
            f"{tins},20,kg,{tins * price}.00"
        )
    return "\n".join(lines)


def _jobs() -> str:
    rows = ["job_ref,job_type,completed_on,quoted_area_m2,quoted_price_gbp"]
    for at in range(72):
        year, month = (2025, 6 + at // 6) if at < 42 else (2026, at // 6 - 6)
        kind, area = (("garage", 24), ("porch", 3))[at % 2]
        rows.append(f"2025-{at + 1:03},{kind},{year}-{month:02}-{at % 6 + 14},{area},{area * 120}")
    return "\n".join(rows)


@pytest.fixture(scope="module")
def started(tmp_path_factory):
    root = make_firm(
        tmp_path_factory.mktemp("started") / "firm",
        {"purchases.csv": _invoices(), "jobs.csv": _jobs()},
    )
    return root, run_month(root)


def test_no_job_is_rejected(started, ask):
    root, summary = started

    assert summary.rejected_count == 0
    assert ask(root, "SELECT count(*) FROM ledger.jobs WHERE status = 'completed'") == [(72,)]


def test_bought_per_square_metre_stands_with_its_range(started, ask):
    root, _ = started

    found = ask(
        root,
        """
        SELECT bought_quantity::DOUBLE, area_m2::DOUBLE, rate, low_rate, high_rate
        FROM page.bought_rate
        WHERE material = 'resin'
        """,
    )

    # 120 tins of 20 kg over 36 garages of 24 and 36 porches of 3 square metres
    assert found == [
        (
            2400.0,
            972.0,
            pytest.approx(2400 / 972),
            pytest.approx((2400 - 240) / 972),  # the largest month's buying was 12 tins
            pytest.approx((2400 + 240) / 972),
        )
    ]


def test_nothing_is_suggested_and_no_waste_is_put_in_pounds(started, ask):
    root, summary = started

    assert summary.suggested_count == 0
    assert ask(root, "SELECT count(*) FROM page.allowed_and_used") == [(0,)]
    page = (root / "pages" / "owner.html").read_text(encoding="utf-8")
    body = (
        page[page.index("<body>") : page.index('<script type="application/json"')]
        if ('<script type="application/json"' in page)
        else page[page.index("<body>") :]
    )
    assert "more material than" not in body


def test_the_record_that_would_help_most_next_is_named(started):
    _, summary = started

    assert summary.next_record is not None
    assert "count" in summary.next_record.lower()


def test_what_was_bought_stands_on_the_page(started):
    root, _ = started
    pages = "".join(
        (root / "pages" / name).read_text(encoding="utf-8")
        for name in ("owner.html", "estimator.html", "buyer.html")
    )

    assert "2.47" in pages  # 2400 / 972 kg per square metre
