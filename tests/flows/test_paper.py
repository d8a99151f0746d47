"""Paper in the inbox: PDFs booked where they prove themselves, photos kept, statements compared."""

from pipelines.cli import main
from pipelines.month.run import run_month
from tests.support.electronic_invoices import Document, Line
from tests.support.pdf_papers import MAT, RESIN, TOTALS, write_invoice
from tests.support.small_firm import drop, make_firm
from tests.support.ubl_invoices import write_ubl

MAPPING = r"""
name = "peatmoor paper"
files = ["peatmoor*.pdf"]
kind = "pdf"
record = "purchases"
header = ["Description", "Qty", "Net"]
date_order = "dmy"
find = ['Invoice no: (?P<document_no>\S+) Date: (?P<document_on>\S+)']
[columns]
"Description" = "description"
"Qty" = "packs"
"Unit price" = "pack_price_gbp"
"Net" = "line_net_gbp"
[constants]
supplier = "Peatmoor"
vat_pct = "20"
[proof]
net = "Goods"
vat = "VAT*"
total = "Total to pay"
[descriptions."Laminating resin, 20 kg tin"]
material = "resin"
[descriptions."Mat 450 g, 76 m2 roll"]
material = "mat 450"
pack_size = "76"
unit = "m2"
"""
JOBS = "job_ref,job_type\n2025-014,garage"


def _firm(root, files=()):
    make_firm(root, {"jobs.csv": JOBS, **dict(files)})
    (root / "settings" / "mappings" / "peatmoor.toml").write_text(MAPPING, encoding="utf-8")
    return root


def test_a_pdf_that_proves_itself_is_booked_to_the_penny(tmp_path, ask):
    root = _firm(tmp_path / "firm")
    write_invoice(root / "inbox" / "peatmoor march.pdf")
    summary = run_month(root)

    assert summary.not_read == ()
    held = (
        "SELECT document_no, document_on::VARCHAR, material, quantity::INT, line_net_gbp::VARCHAR"
    )
    assert ask(root, f"{held} FROM ledger.purchases ORDER BY row_no") == [
        ("PF-1071", "2025-03-12", "resin", 120, "252.00"),
        ("PF-1071", "2025-03-12", "mat 450", 152, "2200.00"),
    ]
    counts = """
        SELECT rows_read_count, accepted_count, skipped_count
        FROM receipt.file WHERE source = 'peatmoor paper'
    """
    assert ask(root, counts) == [(8, 2, 6)]

    # the same invoice as typed by hand is held already
    typed = (
        "supplier,document_no,document_on,description,material,packs,pack_size,unit,"
        "pack_price_gbp,line_net_gbp,vat_pct\n"
        'Peatmoor,PF-1071,2025-03-12,"Laminating resin, 20 kg tin",resin,6,,,42.00,252.00,20\n'
        'Peatmoor,PF-1071,2025-03-12,"Mat 450 g, 76 m2 roll",mat 450,2,76,m2,1100.00,2200.00,20\n'
    )
    drop(root, {"purchases typed.csv": typed})
    assert run_month(root).already_held_count == 2


def test_a_pdf_that_does_not_add_up_books_nothing(tmp_path, ask):
    root = _firm(tmp_path / "firm")
    write_invoice(root / "inbox" / "peatmoor march.pdf", rows=(MAT,))
    summary = run_month(root)

    (note,) = summary.not_read
    assert "the lines come to 2,200.00, and the PDF says 2,452.00" in note.message
    assert ask(root, "SELECT count(*) FROM ledger.purchases") == [(0,)]
    outcome = "SELECT outcome FROM receipt.file WHERE file_name LIKE '%.pdf'"
    assert ask(root, outcome) == [("could not be read",)]


def test_photos_and_scans_are_listed_to_type_in_and_kept(tmp_path, ask, capsys):
    root = _firm(tmp_path / "firm")
    for name in ("peatmoor 4711.jpg", "roof 2025-014.heic", "IMG_0001.png", "card.tif"):
        (root / "inbox" / name).write_bytes(b"\xff\xd8\xff\xe0 a picture of " + name.encode())
    write_invoice(root / "inbox" / "peatmoor march.pdf")

    code = main(["run", "--folder", str(root)])

    assert code == 6
    listed = "SELECT file_name, tied_to FROM page.to_type_in ORDER BY ALL"
    assert ask(root, listed) == [
        ("IMG_0001.png", None),
        ("card.tif", None),
        ("peatmoor 4711.jpg", "Peatmoor"),
        ("roof 2025-014.heic", "2025-014"),
    ]
    assert ask(root, "SELECT count(*) FROM page.unreadable_file") == [(0,)]
    trusted = "SELECT sentence FROM page.trust WHERE order_no = 6"
    assert ask(root, trusted) == [("Every row handed in was read.",)]
    assert len(list((root / "received").glob("*peatmoor 4711.jpg"))) == 1
    said = (root / "pages" / "start.html").read_text(encoding="utf-8")
    assert "Four papers to type in" in said
    assert "Papers to type in" in said
    assert "a picture, which is kept but not read" in capsys.readouterr().out

    typed = (
        "supplier,document_no,document_on,description,material,packs,line_net_gbp\n"
        "Peatmoor,4711,2025-04-02,Resin tin,resin,1,42.00\n"
    )
    drop(root, {"purchases typed.csv": typed})
    run_month(root)
    assert [name for name, _ in ask(root, listed)] == [
        "IMG_0001.png", "card.tif", "roof 2025-014.heic",
    ]  # fmt: skip


STATEMENT = """
    supplier,document_no,document_on,gross_gbp,document_type,statement_on
    Peatmoor,PF-1071,2025-03-12,"2,942.40",,2025-03-31
    Peatmoor,PF-1080,2025-03-20,100.00,,2025-03-31
    Peatmoor,PF-1081,2025-03-21,-30.00,,2025-03-31
"""


def test_a_statement_books_nothing_and_names_what_is_missing(tmp_path, ask):
    root = _firm(tmp_path / "firm", {"statements march.csv": STATEMENT}.items())
    write_invoice(root / "inbox" / "peatmoor march.pdf")
    bought = "SELECT sum(line_net_gbp)::VARCHAR, count(*) FROM ledger.purchases"

    summary = run_month(root)

    assert summary.rejected_count == 0
    assert ask(root, bought) == [("2452.00", 2)]
    standing = "SELECT document_no, document_type, standing FROM comparison.statement_line"
    assert ask(root, f"{standing} ORDER BY ALL") == [
        ("PF-1071", "invoice", "agrees"),
        ("PF-1080", "invoice", "missing"),
        ("PF-1081", "credit", "missing"),
    ]
    said = (root / "pages" / "start.html").read_text(encoding="utf-8")
    assert "Invoice PF-1080 of Peatmoor, 20 March 2025, stands on the statement" in said
    assert "Credit PF-1081 of Peatmoor, 21 March 2025, stands on the statement" in said

    write_invoice(
        root / "inbox" / "peatmoor late.pdf",
        rows=(("Laminating resin, 20 kg tin", "2", "41.67", "83.33"),),
        totals=(("Goods", "83.33"), ("VAT 20 %", "16.67"), ("Total to pay", "100.00")),
        titles=("Invoice no: PF-1080     Date: 20/03/2025",),
    )
    run_month(root)
    assert ask(root, f"{standing} WHERE standing = 'missing'") == [("PF-1081", "credit", "missing")]


def test_a_statement_with_a_mapping_of_its_own(tmp_path, ask):
    root = _firm(tmp_path / "firm")
    (root / "settings" / "mappings" / "account.toml").write_text(
        'name = "account"\nfiles = ["account*"]\nkind = "table"\nrecord = "statements"\n'
        'header = ["Ref", "Amount"]\ndate_order = "dmy"\n'
        '[columns]\n"Ref" = "document_no"\n"On" = "document_on"\n"Amount" = "gross_gbp"\n'
        '[constants]\nsupplier = "Peatmoor"\n'
        '[[skip]]\nwhere = { "Kind" = "payment*" }\nwhy = "a payment"\n'
        '[totals]\nwhere = { "Ref" = "balance" }\n',
        encoding="utf-8",
    )
    drop(
        root,
        {
            "account march.csv": """
                Ref,On,Kind,Amount
                PF-1080,20/03/2025,Invoice,100.00
                BACS,25/03/2025,Payment,-40.00
                Balance,,,60.00
            """
        },
    )
    summary = run_month(root)

    assert summary.rejected_count == 0
    assert ask(root, "SELECT document_no, gross_gbp::VARCHAR FROM ledger.statements") == [
        ("PF-1080", "100.00")
    ]


def test_what_to_mind_in_a_file_is_said_in_the_terminal_and_on_the_page(tmp_path, capsys, ask):
    root = _firm(tmp_path / "firm")
    line = Line("Resin tin", "6", "C62", "252.00", "42.00")
    document = Document(lines=(line,), preceding=("PF-1", "PF-2"))
    (root / "inbox" / "roof.xml").write_text(write_ubl(document), encoding="utf-8")

    main(["run", "--folder", str(root)])

    note = "it names several preceding invoices: PF-1, PF-2"
    assert note in " ".join(capsys.readouterr().out.split())
    assert ask(root, "SELECT file_note, file_name, file_count FROM page.file_note") == [
        (note, "roof.xml", 1)
    ]
    said = (root / "pages" / "start.html").read_text(encoding="utf-8")
    assert "It names several preceding invoices: PF-1, PF-2" in said


def test_a_rebuild_reads_the_papers_again_to_the_same_rows(tmp_path, ask):
    root = _firm(tmp_path / "firm")
    write_invoice(root / "inbox" / "peatmoor march.pdf", rows=(RESIN, MAT), totals=TOTALS)
    run_month(root)
    rows = "SELECT * FROM history.purchases ORDER BY ALL"
    before = ask(root, rows)
    assert len(before) == 2
    (root / "warehouse.duckdb").unlink()
    run_month(root)

    assert ask(root, rows) == before


def test_check_shows_what_a_pdf_holds_and_drafts_its_mapping(tmp_path, capsys):
    root = _firm(tmp_path / "firm")
    paper = write_invoice(tmp_path / "moor.pdf")
    draft = root / "settings" / "mappings" / "moor.toml"
    main(["check", str(paper), "--folder", str(root)])
    said = " ".join(capsys.readouterr().out.split())
    main(["check", str(paper), "--folder", str(root), "--draft", str(draft)])

    assert "a PDF that no mapping fits" in said
    assert '"Qty", perhaps packs: ' in said
    assert 'kind = "pdf"' in draft.read_text(encoding="utf-8")
