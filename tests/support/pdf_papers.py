"""Invoices as PDFs, written line by line: every cell at its place."""

from collections.abc import Sequence
from pathlib import Path

from fpdf import FPDF

Row = tuple[str, ...]

COLUMNS_MM = ((15, "L"), (115, "R"), (150, "R"), (185, "R"))
"""Where the four columns of an invoice stand: a left edge, or a right one."""
HEADING = ("Description", "Qty", "Unit price", "Net")
RESIN = ("Laminating resin, 20 kg tin", "6", "42.00", "252.00")
MAT = ("Mat 450 g, 76 m2 roll", "2", "1,100.00", "2,200.00")
TOTALS = (("Goods", "2,452.00"), ("VAT 20 %", "490.40"), ("Total to pay", "2,942.40"))
TITLES = ("Peatmoor Factors", "Invoice no: PF-1071     Date: 12/03/2025")


def write_invoice(
    path: Path,
    rows: Sequence[Row] = (RESIN, MAT),
    totals: Sequence[tuple[str, str]] = TOTALS,
    titles: Sequence[str | Row] = TITLES,
    *,
    rows_a_page: int = 40,
    heads_a_page: bool = True,
    columns_mm: Sequence[tuple[float, str]] = COLUMNS_MM,
) -> Path:
    """
    Write an invoice: titles on every page, rows below a heading, then the totals.

    The heading stands on every page, or on the first alone.
    """
    pdf = new_pdf()
    for number in range(0, max(1, len(rows)), rows_a_page):
        pdf.add_page()
        head = (HEADING,) if heads_a_page or not number else ()
        lines = [*titles, *head, *rows[number : number + rows_a_page]]
        if number + rows_a_page >= len(rows):
            lines += totals
        for at, line in enumerate(lines):
            write_line(pdf, 20 + 6 * at, line, columns_mm)
    pdf.output(str(path))
    return path


def new_pdf() -> FPDF:
    """Return an empty PDF with a font set."""
    pdf = FPDF(format="A4")
    pdf.set_font("Helvetica", size=10)
    return pdf


def write_line(
    pdf: FPDF,
    down_mm: float,
    line: str | Row,
    columns_mm: Sequence[tuple[float, str]] = COLUMNS_MM,
) -> None:
    """Write a title, the four cells of a row, or a total's label and amount, that far down."""
    if isinstance(line, str):
        pdf.text(15, down_mm, line)
        return
    places = columns_mm if len(line) > 2 else columns_mm[-2:]
    for (across_mm, side), text in zip(places, line, strict=False):
        left = across_mm - pdf.get_string_width(text) if side == "R" else across_mm
        pdf.text(left, down_mm, text)


def write_pdf(path: Path, content: bytes, filters: str = "/FlateDecode") -> Path:
    """Write a PDF of one page whose content, packed by those filters, is given as it is."""
    parts = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /Resources << /Font << /F1 5 0 R >> >> >>",
        f"<< /Length {len(content)} /Filter {filters} >>\nstream\n".encode()
        + content
        + b"\nendstream",
        b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
    ]
    text = b"%PDF-1.4\n"
    places = []
    for number, part in enumerate(parts, 1):
        places.append(len(text))
        text += f"{number} 0 obj\n".encode() + part + b"\nendobj\n"
    table = "".join(f"{place:010} 00000 n \n" for place in places)
    begins = len(text)
    text += f"xref\n0 6\n0000000000 65535 f \n{table}".encode()
    text += f"trailer << /Size 6 /Root 1 0 R >>\nstartxref\n{begins}\n%%EOF".encode()
    path.write_bytes(text)
    return path
