"""PDFs that are broken, locked, endless or no more than a picture: told in bounded time."""

import time
import zlib

import pytest
from pypdf import PdfReader, PdfWriter

from pipelines.receiving import pdf_text
from pipelines.receiving.handed_over import FaultSort
from pipelines.receiving.reading import read_file
from schemas.records import RECORDS
from tests.support.pdf_papers import TITLES, new_pdf, write_invoice, write_line, write_pdf

LONGEST_S = 15
SLOW = zlib.compress(b"BT /F1 10 Tf " + b"1 0 0 1 1 1 Tm (resin) Tj " * 30_000 + b"ET", 9)


def fault(path):
    begun = time.perf_counter()
    file = read_file(path, path.name, (), RECORDS)
    assert time.perf_counter() - begun < LONGEST_S
    assert file.sheets == ()
    (found,) = file.faults
    assert found.mend
    return found


def test_a_scan_is_kept_to_type_in(tmp_path):
    pdf = new_pdf()
    pdf.add_page()
    pdf.rect(10, 10, 100, 100, style="F")
    pdf.output(str(tmp_path / "scan.pdf"))
    found = fault(tmp_path / "scan.pdf")

    assert found.why == "a PDF of pictures without text, which is kept but not read"
    assert found.sort is FaultSort.TO_TYPE_IN


def test_text_that_a_machine_guessed_below_a_scan_is_not_read(tmp_path):
    pdf = new_pdf()
    pdf.add_page()
    pdf.text_mode = "INVISIBLE"
    write_line(pdf, 20, TITLES[1])
    pdf.output(str(tmp_path / "scan.pdf"))
    found = fault(tmp_path / "scan.pdf")

    assert found.why == "a scan whose text a machine guessed, which is kept but not read"
    assert found.sort is FaultSort.TO_TYPE_IN


def test_a_locked_pdf(tmp_path):
    writer = PdfWriter(clone_from=write_invoice(tmp_path / "open.pdf"))
    writer.encrypt("secret", algorithm="RC4-128")
    writer.write(tmp_path / "locked.pdf")

    assert fault(tmp_path / "locked.pdf").why == "the PDF is locked with a password"


def test_a_pdf_that_only_forbids_changes_is_read(tmp_path):
    writer = PdfWriter(clone_from=write_invoice(tmp_path / "open.pdf"))
    writer.encrypt("", "owner", algorithm="RC4-128")
    writer.write(tmp_path / "guarded.pdf")

    assert fault(tmp_path / "guarded.pdf").why.startswith("a PDF that no mapping fits")


@pytest.mark.parametrize("share", [0.02, 0.3, 0.6])
def test_half_a_pdf(tmp_path, share):
    whole = write_invoice(tmp_path / "open.pdf").read_bytes()
    (tmp_path / "half.pdf").write_bytes(whole[: int(len(whole) * share)])

    assert fault(tmp_path / "half.pdf").why == "the PDF is damaged or only half there"


def test_a_thousand_pages(tmp_path):
    writer = PdfWriter()
    (page,) = PdfReader(write_invoice(tmp_path / "open.pdf")).pages
    for _ in range(1000):
        writer.add_page(page)
    writer.write(tmp_path / "long.pdf")

    assert fault(tmp_path / "long.pdf").why == "the PDF has over 60 pages"


@pytest.mark.parametrize(
    "content",
    [
        zlib.compress(b" " * 400_000_000, 9),
        zlib.compress(b"BT /F1 10 Tf (resin) Tj ET\n" * 2_000_000, 9),
        zlib.compress(b"q " * 3_000_000, 9),
        zlib.compress(b"[" * 3_000_000, 9),
        zlib.compress(b"BT /F1 10 Tf " + b"1 0 0 1 1 1 Tm (resin) Tj " * 400_000 + b"ET", 9),
    ],
    ids=["blanks", "texts", "states", "brackets", "places"],
)
def test_content_made_to_burst(tmp_path, content):
    write_pdf(tmp_path / "bomb.pdf", content)

    assert fault(tmp_path / "bomb.pdf").why in {
        "the PDF holds more than an invoice does",
        "the PDF could not be read within 10 seconds",
        "the PDF is damaged or only half there",
        "a PDF of pictures without text, which is kept but not read",
    }


def test_packed_again_and_again(tmp_path):
    content = b" " * 300_000_000
    for _ in range(3):
        content = zlib.compress(content, 9)
    write_pdf(tmp_path / "bomb.pdf", content, "[/FlateDecode /FlateDecode /FlateDecode]")

    assert "more than an invoice" in fault(tmp_path / "bomb.pdf").why


def test_a_page_tree_that_holds_itself(tmp_path):
    text = write_invoice(tmp_path / "open.pdf").read_bytes()
    looped = text.replace(b"/Kids [3 0 R", b"/Kids [1 0 R")
    assert looped != text
    (tmp_path / "loop.pdf").write_bytes(looped)

    assert fault(tmp_path / "loop.pdf").why


def test_after_one_that_bursts_the_next_is_read(tmp_path):
    write_pdf(tmp_path / "bomb.pdf", zlib.compress(b"BT (resin) Tj ET\n" * 2_000_000, 9))
    fault(tmp_path / "bomb.pdf")

    assert fault(write_invoice(tmp_path / "next.pdf")).why.startswith("a PDF that no mapping")


def test_one_that_takes_too_long_is_ended(tmp_path, monkeypatch):
    monkeypatch.setattr(pdf_text, "_LONGEST_S", 0.05)
    write_pdf(tmp_path / "slow.pdf", SLOW)

    assert fault(tmp_path / "slow.pdf").why == "the PDF could not be read within 10 seconds"
    monkeypatch.undo()
    assert fault(write_invoice(tmp_path / "next.pdf")).why.startswith("a PDF that no mapping")


def test_a_name_of_many_lines_is_no_path_of_another(tmp_path):
    path = write_invoice(tmp_path / "odd.pdf").rename(tmp_path / 'two\nlines "é".pdf')

    assert fault(path).why.startswith("a PDF that no mapping fits")
