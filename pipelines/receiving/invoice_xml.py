"""XML from outside, read without trust: no types, no entities, no other file, nothing endless."""

import codecs
from pathlib import Path
from xml.parsers import expat

from lxml import etree

from pipelines.receiving.handed_over import Unreadable

MOST_BYTES = 20_000_000
MOST_DEPTH = 100
MOST_ELEMENTS = 500_000
_HEAD_BYTES = 65_536
_INCLUDE = "{http://www.w3.org/2001/XInclude}"
_DAMAGED = "the XML file is damaged, only half there, or holds an attachment above 10 MB"
_MEND = "ask the supplier for the invoice as it was sent"
_BEGINNINGS = tuple(
    mark + "<".encode(encoding)
    for mark, encoding in (
        (b"", "utf-8"),
        (codecs.BOM_UTF8, "utf-8"),
        (codecs.BOM_UTF16_LE, "utf-16-le"),
        (codecs.BOM_UTF16_BE, "utf-16-be"),
        (b"", "utf-16-be"),
    )
)


def begins_as_xml(head: bytes) -> bool:
    """Return whether the first bytes of a file are those of XML."""
    return head.startswith(_BEGINNINGS)


def find_root(path: Path) -> tuple[str, str] | None:
    """Return (namespace, name) of the root element, None where the file's head shows none."""
    found: list[str] = []
    parser = expat.ParserCreate(namespace_separator=" ")

    def note(name: str, _: dict[str, str]) -> None:
        if not found:
            found.append(name)

    parser.StartElementHandler = note
    with path.open("rb") as stream:
        for piece in iter(lambda: stream.read(1024), b""):
            try:
                parser.Parse(piece, False)  # noqa: FBT003 - the parser takes it by place
            except (expat.ExpatError, LookupError, ValueError):
                break
            if found or stream.tell() >= _HEAD_BYTES:
                break
    namespace, _, name = found[0].rpartition(" ") if found else ("", "", "")
    return (namespace, name) if found else None


def parse_xml(path: Path) -> etree._Element:
    """
    Return the root of an XML file, comments and processing instructions left out.

    Raises Unreadable where the file is too large, too deep or broken, where it declares a document
    type (and so entities), or where it asks for another file to be put in.
    """
    if path.stat().st_size > MOST_BYTES:
        raise Unreadable("the XML file is above 20 MB, which no invoice is", _MEND)
    root: etree._Element | None = None
    depth = count = 0
    try:
        for event, element in _walk(path):
            if event == "end":
                depth -= 1
                continue
            depth, count = depth + 1, count + 1
            if root is None:
                root = element
                _refuse_types(root)
            _bound(depth, count, element)
    except (etree.LxmlError, ValueError, LookupError) as error:
        raise Unreadable(_DAMAGED, _MEND) from error
    if root is None:
        raise Unreadable("the XML file holds no element", _MEND)
    return root


def _walk(path: Path) -> "etree.iterparse[tuple[str, etree._Element]]":
    return etree.iterparse(
        str(path),
        events=("start", "end"),
        resolve_entities=False,
        no_network=True,
        load_dtd=False,
        dtd_validation=False,
        attribute_defaults=False,
        huge_tree=False,
        recover=False,
        remove_comments=True,
        remove_pis=True,
    )


def _refuse_types(root: etree._Element) -> None:
    if root.getroottree().docinfo.doctype:
        raise Unreadable("the XML file declares a document type, which no invoice does", _MEND)


def _bound(depth: int, count: int, element: etree._Element) -> None:
    if depth > MOST_DEPTH:
        raise Unreadable(f"the XML file nests more than {MOST_DEPTH} elements deep", _MEND)
    if count > MOST_ELEMENTS:
        raise Unreadable(f"the XML file holds more than {MOST_ELEMENTS:,} elements", _MEND)
    if str(element.tag).startswith(_INCLUDE):
        raise Unreadable("the XML file asks for another file to be put into it", _MEND)
