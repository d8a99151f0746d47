"""Layouts of other people, brought in by mappings alone: every row counted, totals to the penny."""

from decimal import Decimal

import pytest
import xlsxwriter

from pipelines.month.run import run_month
from tests.support.small_firm import drop, make_firm

EXPORT_MAPPING = r"""
name = "merchant export"
files = ["export*"]
kind = "table"
record = "purchases"
date_order = "mdy"
decimal_mark = ","
credits = "negative"
several_tables = true
ends_at = "blank row"
header = ["Goods", "Sum"]
[title]
"Document" = "document_no"
"Issued" = { column = "document_on", cell = "same" }
[columns]
"Goods" = "description"
"Sum" = "line_net_gbp"
[split."Goods"]
patterns = ['(?P<packs>[\d,]+) x .*']
must_match = false
[[skip]]
where = { State = "cancelled*" }
why = "cancelled by the supplier"
[totals]
where = { Goods = "total" }
sums = ["Sum"]
[constants]
supplier = "Hill merchants"
[[descriptions_like]]
like = "*amber resin*20 kg*"
material = "resin"
pack_size = "20"
unit = "kg"
[[descriptions_like]]
like = "*edge profile*"
material = "drip trim"
[[kinds]]
like = "*haulage*"
line_kind = "carriage"
"""
EXPORT = """
Hill merchants;;
Document:;H-100;
Issued: 3/4/2026;;
Goods;Sum;State
2 x amber resin 20 kg;1.180,50;
10 x edge profile;95,00;
3 x edge profile;28,50;Cancelled 4/4
Haulage;24,99;
;;
Total;1.300,49;
;;
Document;H-101;
Issued: 03/17/2026;;
Goods;State;Sum
1 x amber resin 20 kg;;-590,25
"""
FORM_MAPPING = """
name = "quotes"
files = ["quote*.xlsx"]
kind = "form"
tab_name = '(?P<job_ref>.+)'
required = ["Roof area"]
[words.job_type]
"house garage" = "garage"
[[records]]
record = "jobs"
[records.labels]
"Kind" = "job_type"
"Roof area" = "quoted_area_m2"
"Our price" = { column = "quoted_price_gbp", cell = "below" }
"Of" = "quoted_on"
[[records]]
record = "edges"
header = ["Edge", "Runs mm"]
[records.constants]
material = "drip trim"
[records.columns]
"Edge" = "edge_no"
"Runs mm" = "quoted_mm"
"""
UNEVEN = """
    SELECT file_name FROM receipt.file
    WHERE rows_read_count <> accepted_count + rejected_count + already_held_count + skipped_count
"""


@pytest.fixture
def firm(tmp_path):
    root = make_firm(tmp_path / "firm", {})
    (root / "settings" / "mappings" / "export.toml").write_text(EXPORT_MAPPING)
    (root / "settings" / "mappings" / "quotes.toml").write_text(FORM_MAPPING)
    return root


def test_another_trades_export_comes_out_to_the_penny(firm, ask):
    drop(firm, {"export march.csv": EXPORT})
    summary = run_month(firm)

    assert (summary.rejected_count, summary.not_read) == (0, ())
    assert ask(
        firm,
        """
        SELECT document_no, document_on::VARCHAR, document_type, material, line_kind,
            quantity::DOUBLE, line_net_gbp::VARCHAR
        FROM ledger.purchases ORDER BY document_no, line_net_gbp DESC
        """,
    ) == [
        ("H-100", "2026-03-04", "invoice", "resin", "goods", 40, "1180.50"),
        ("H-100", "2026-03-04", "invoice", "drip trim", "goods", 30, "95.00"),
        ("H-100", "2026-03-04", "invoice", None, "carriage", None, "24.99"),
        ("H-101", "2026-03-17", "credit", "resin", "goods", -20, "-590.25"),
    ]
    # 1,180.50 + 95.00 + 24.99 - 590.25
    assert ask(firm, "SELECT sum(line_net_gbp) FROM ledger.purchases") == [(Decimal("710.24"),)]
    assert ask(firm, UNEVEN) == []
    assert ask(
        firm,
        """
        SELECT row_no, value_before, value_after FROM receipt.repair
        WHERE rule = 'decimal mark, as this source writes' ORDER BY row_no
        """,
    ) == [(5, "1.180,50", "1180.50"), (6, "95,00", "95.00"), (8, "24,99", "24.99"),
          (15, "-590,25", "-590.25")]  # fmt: skip
    assert ask(firm, "SELECT count(*) FROM receipt.row_outcome WHERE reason LIKE 'cancelled%'") == [
        (1,)
    ]


def test_quotes_on_tabs_of_one_workbook_become_jobs_and_edges(firm, ask):
    book = xlsxwriter.Workbook(firm / "inbox" / "quotes of May.xlsx")
    for job, area, price, edges in (
        ("2026-001", 24.5, 1850, (6000, 4100)),
        ("2026-002", 9, 700, ()),
    ):
        sheet = book.add_worksheet(job)
        sheet.write_row(0, 0, ("Kind:", "House  garage", None, "Of", "2026-05-04"))
        sheet.write_row(2, 0, ("ROOF AREA", area, None, "Our price"))
        sheet.write(3, 3, price)
        sheet.write_row(5, 0, ("Edge", "Runs mm"))
        for number, length in enumerate(edges, 1):
            sheet.write_row(5 + number, 0, (number, length))
    book.close()
    summary = run_month(firm)

    assert (summary.rejected_count, summary.not_read) == (0, ())
    assert ask(
        firm,
        """
        SELECT job_ref, job_type, quoted_area_m2::DOUBLE, quoted_price_gbp::INT, quoted_on::VARCHAR
        FROM ledger.jobs ORDER BY job_ref
        """,
    ) == [
        ("2026-001", "garage", 24.5, 1850, "2026-05-04"),
        ("2026-002", "garage", 9.0, 700, "2026-05-04"),
    ]
    assert ask(firm, "SELECT job_ref, edge_no, quoted_mm FROM ledger.edges ORDER BY ALL") == [
        ("2026-001", 1, 6000),
        ("2026-001", 2, 4100),
    ]
    assert ask(firm, UNEVEN) == []
    assert ask(firm, "SELECT rows_read_count FROM receipt.file WHERE source = 'quotes'") == [(4,)]
