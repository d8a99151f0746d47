"""What a received file is, told by its bytes and its ending."""

from enum import Enum
from pathlib import Path, PurePath

from pipelines.receiving.invoice_terms import SYNTAX_OF_ROOT
from pipelines.receiving.invoice_xml import begins_as_xml, find_root

_HEAD_BYTES = 16
_PICTURES = (b"\xff\xd8\xff", b"\x89PNG", b"GIF8", b"II*\x00", b"MM\x00*")
_PICTURE_ENDINGS = (".jpg", ".jpeg", ".png", ".gif", ".tif", ".tiff", ".bmp", ".heic", ".webp")
_TEXT_ENDINGS = (".csv", ".tsv", ".txt")
_WORKBOOK_ENDINGS = (".xlsx", ".xlsm")
_TYPE_IT = "type it into a blank workbook, an invoice into the one to type in, and hand that in"
_NO_INVOICE = "ask the supplier for an invoice to EN 16931, in UBL 2.1 or UN/CEFACT CII"
_SAVE_IT = "save it as .xlsx or CSV and hand that in"


class FileKind(Enum):
    """A kind of file: what to call it, and what to do where it can't be read."""

    TEXT = ("a text table", "")
    WORKBOOK = ("a workbook", "")
    INVOICE = ("an electronic invoice", "")
    PICTURE = ("a picture, which is kept but not read", _TYPE_IT)
    PDF = ("a PDF", "")
    OLD_WORKBOOK = ("an old or password-locked workbook, which is kept but not read", _SAVE_IT)
    OPEN_DOCUMENT = ("an OpenDocument sheet, which is kept but not read", _SAVE_IT)
    BROKEN_WORKBOOK = ("a workbook that is damaged or only half there", "hand in a whole copy")
    OTHER_XML = ("XML that is no invoice that can be read, which is kept", _NO_INVOICE)
    OTHER = ("a file of another kind, which is kept but not read", _SAVE_IT)

    @property
    def what(self) -> str:
        """Return what the file is, in words."""
        return self.value[0]

    @property
    def mend(self) -> str:
        """Return what to do so that its rows come in."""
        return self.value[1]


def tell_kind(path: Path, name: str) -> FileKind:
    """Return the kind of a file; its bytes win over its ending. Raises OSError."""
    with path.open("rb") as stream:
        head = stream.read(_HEAD_BYTES)
    ending = PurePath(name).suffix.lower()
    if begins_as_xml(head) and find_root(path) in SYNTAX_OF_ROOT:
        return FileKind.INVOICE
    if head.startswith(b"%PDF"):
        return FileKind.PDF
    if head.startswith(_PICTURES) or ending in _PICTURE_ENDINGS:
        return FileKind.PICTURE
    if head.startswith(b"\xd0\xcf\x11\xe0"):
        return FileKind.OLD_WORKBOOK
    if ending in _WORKBOOK_ENDINGS:
        return FileKind.WORKBOOK if head.startswith(b"PK") else FileKind.BROKEN_WORKBOOK
    return _tell_other(head, ending)


def _tell_other(head: bytes, ending: str) -> FileKind:
    if head.startswith(b"PK"):
        return FileKind.OPEN_DOCUMENT if ending == ".ods" else FileKind.OTHER
    if ending in _TEXT_ENDINGS:
        return FileKind.TEXT
    return FileKind.OTHER_XML if ending == ".xml" else FileKind.OTHER
