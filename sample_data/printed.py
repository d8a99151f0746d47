"""Pages of print: a PDF of one page whose text stands where it is put."""

from collections.abc import Sequence
from dataclasses import dataclass

SIZE = 9
LETTER = 0.6 * SIZE
"""The width of every letter in points: the typewriter face has one for all."""
_WIDE, _HIGH = 595, 842
_FIRST, _LAST = 32, 255


@dataclass(frozen=True)
class Text:
    """A text on the page: points from its left and lower edge to where the text begins."""

    across: float
    up: float
    text: str


def end_at(across: float, up: float, text: str) -> Text:
    """Return a text that ends at a place."""
    return Text(across - LETTER * len(text), up, text)


def print_page(texts: Sequence[Text]) -> bytes:
    """Return a PDF of one upright page; the same texts give the same bytes."""
    drawn = "".join(
        f"BT /F1 {SIZE} Tf 1 0 0 1 {one.across:.1f} {one.up:.1f} Tm ({_escape(one.text)}) Tj ET\n"
        for one in texts
    ).encode("cp1252")
    widths = " ".join(["600"] * (_LAST - _FIRST + 1))
    parts = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {_WIDE} {_HIGH}] /Contents 4 0 R "
        "/Resources << /Font << /F1 5 0 R >> >> >>".encode(),
        f"<< /Length {len(drawn)} >>\nstream\n".encode() + drawn + b"endstream",
        "<< /Type /Font /Subtype /Type1 /BaseFont /Courier /Encoding /WinAnsiEncoding "
        f"/FirstChar {_FIRST} /LastChar {_LAST} /Widths [{widths}] >>".encode(),
    ]
    return _bind(parts)


def _escape(text: str) -> str:
    return "".join(f"\\{letter}" if letter in "()\\" else letter for letter in text)


def _bind(parts: Sequence[bytes]) -> bytes:
    """Return the file: the parts numbered, then the table of where each begins."""
    file = b"%PDF-1.4\n"
    begins = []
    for number, part in enumerate(parts, 1):
        begins.append(len(file))
        file += f"{number} 0 obj\n".encode() + part + b"\nendobj\n"
    table = "".join(f"{place:010} 00000 n \n" for place in begins)
    last = f"trailer\n<< /Size {len(parts) + 1} /Root 1 0 R >>\nstartxref\n{len(file)}\n%%EOF\n"
    return file + f"xref\n0 {len(parts) + 1}\n0000000000 65535 f \n{table}{last}".encode()
