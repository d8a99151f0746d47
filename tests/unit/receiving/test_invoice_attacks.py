"""XML made to do harm: each has a clear outcome, no other file is opened, and none takes long."""

import time

import pytest

from pipelines.receiving.handed_over import Unreadable
from pipelines.receiving.invoice_counting import count_invoice
from pipelines.receiving.invoice_xml import MOST_BYTES
from pipelines.receiving.reading import read_file
from schemas.records import RECORDS
from tests.support.cii_invoices import write_cii
from tests.support.electronic_invoices import Document, Line
from tests.support.ubl_invoices import write_ubl

SOUND = Document(lines=(Line("Laminating resin", "6", "XTN", "252.00", "42.00"),))
UBL, CII = write_ubl(SOUND), write_cii(SOUND)
PROLOG = '<?xml version="1.0" encoding="UTF-8"?>\n'
LONGEST_SECONDS = 20
TYPES = "the XML file declares a document type, which no invoice does"
BROKEN = "the XML file is damaged, only half there, or holds an attachment above 10 MB"
UNSEEN = "XML that is no invoice that can be read, which is kept"
BILLION = "".join(
    f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' if n else '<!ENTITY l0 "laugh">' for n in range(10)
)
QUADRATIC = f'<!ENTITY q "{"q" * 50_000}">'


def typed(text, declared):
    root = "Invoice" if "<Invoice" in text else "rsm:CrossIndustryInvoice"
    return text.replace(PROLOG, f"{PROLOG}<!DOCTYPE {root} [{declared}]>\n")


@pytest.fixture
def refused(tmp_path):
    """Return a function that hands a file in and gives the reason why nothing of it was read."""

    def handed_in(content, name="invoice.xml"):
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        started = time.perf_counter()
        file = read_file(path, name, (), RECORDS)
        assert time.perf_counter() - started < LONGEST_SECONDS
        assert file.sheets == ()
        return file.faults[0].why

    return handed_in


@pytest.mark.parametrize("text", [UBL, CII], ids=["ubl", "cii"])
@pytest.mark.parametrize(
    ("declared", "said"),
    [
        (BILLION, "&l9;"),
        (QUADRATIC, "&q;" * 50_000),
        ('<!ENTITY x SYSTEM "file:///etc/hostname">', "&x;"),
        ('<!ENTITY x SYSTEM "http://192.0.2.1/x">', "&x;"),
        ('<!ENTITY % p SYSTEM "http://192.0.2.1/p"> %p;', "x"),
        ("<!ELEMENT ID (#PCDATA)>", "x"),
        ("", "x"),
    ],
    ids=["billion", "quadratic", "file", "network", "parameter", "element", "empty"],
)
def test_a_document_type_is_refused_before_its_entities_are_used(refused, text, declared, said):
    assert refused(typed(text, declared).replace("PF-1071", said)) == TYPES


def test_an_entity_in_an_attribute(refused):
    attack = typed(UBL, BILLION).replace('unitCode="XTN"', 'unitCode="&l9;"')

    assert refused(attack) in {TYPES, BROKEN}


def test_an_entity_in_the_default_of_an_attribute(refused):
    attack = typed(UBL, f'{BILLION}<!ATTLIST Invoice x CDATA "&l9;">')

    assert refused(attack) in {TYPES, UNSEEN}


def test_a_type_named_in_another_file(refused):
    assert refused(UBL.replace(PROLOG, f'{PROLOG}<!DOCTYPE Invoice SYSTEM "x.dtd">')) == TYPES


def test_the_counter_stops_at_a_document_type_by_itself(tmp_path):
    path = tmp_path / "invoice.xml"
    path.write_text(typed(UBL, BILLION).replace("PF-1071", "&l9;"), encoding="utf-8")

    with pytest.raises(Unreadable, match="damaged or only half there") as stopped:
        count_invoice(path)
    assert str(stopped.value.__cause__) == "the invoice declares a document type"


@pytest.mark.parametrize("depth", [200, 10_000, 1_000_000])
def test_elements_nested_without_end(refused, depth):
    deep = UBL.replace("<cbc:ID>", "<cac:x>" * depth + "</cac:x>" * depth + "<cbc:ID>", 1)

    assert refused(deep) in {"the XML file nests more than 100 elements deep", BROKEN}


def test_a_depth_that_is_allowed(tmp_path):
    deep = UBL.replace("<cbc:ID>", "<cac:x>" * 99 + "</cac:x>" * 99 + "<cbc:ID>", 1)
    (tmp_path / "invoice.xml").write_text(deep, encoding="utf-8")

    assert read_file(tmp_path / "invoice.xml", "invoice.xml", (), RECORDS).faults == ()


def test_a_file_of_sixty_megabytes(refused):
    padded = UBL.encode() + b" " * (60_000_000 - len(UBL))

    assert len(padded) > MOST_BYTES
    assert refused(padded) == "the XML file is above 20 MB, which no invoice is"


def test_a_text_without_end(refused):
    attachment = UBL.replace("<cbc:ID>", f"<cac:x>{'QUJD' * 3_000_000}</cac:x><cbc:ID>", 1)

    assert refused(attachment) == BROKEN


def test_more_elements_than_an_invoice_has(refused):
    many = UBL.replace("<cbc:ID>", "<cac:x/>" * 600_000 + "<cbc:ID>", 1)

    assert refused(many) == "the XML file holds more than 500,000 elements"


def test_an_element_of_many_attributes(refused):
    attributes = " ".join(f'a{n}="x"' for n in range(200_000))
    attack = UBL.replace("<cbc:ID>", f"<cac:x {attributes}/><cac:x><cbc:ID>", 1)

    assert refused(attack) == BROKEN


@pytest.mark.parametrize("parse", ["text", "xml"])
def test_another_file_asked_in(refused, tmp_path, parse):
    (tmp_path / "secret.txt").write_text("secret", encoding="utf-8")
    include = (
        '<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" '
        f'href="secret.txt" parse="{parse}"/>'
    )

    attack = UBL.replace("<cbc:ID>PF-1071", f"<cbc:ID>{include}")

    assert refused(attack) == "the XML file asks for another file to be put into it"


def test_processing_instructions_do_nothing(tmp_path):
    told = '<?xml-stylesheet type="text/xsl" href="http://192.0.2.1/x.xsl"?><?php exit(); ?>'
    path = tmp_path / "invoice.xml"
    path.write_text(UBL.replace(PROLOG, f"{PROLOG}{told}"), encoding="utf-8")

    assert read_file(path, path.name, (), RECORDS).sheets[0].units_counted == 1


@pytest.mark.parametrize(
    "attack",
    [
        UBL[: len(UBL) // 2],
        UBL + UBL,
        UBL.replace("</cbc:ID>", "</cbc:IDs>"),
        UBL.replace("PF-1071", "PF\x00-1071"),
        UBL.replace("PF-1071", "&unknown;"),
        UBL.encode().replace(b"PF-1071", b"PF\xff-1071"),
        UBL.replace("UTF-8", "UTF-7"),
        UBL.replace("UTF-8", "no such code"),
    ],
    ids=["half", "twice", "unclosed", "nul", "entity", "bytes", "utf-7", "encoding"],
)
def test_damage(refused, attack):
    assert refused(attack) in {BROKEN, UNSEEN}


@pytest.mark.parametrize(
    "text",
    [
        "<html><body>an invoice</body></html>",
        '<Invoice xmlns="urn:some:other">x</Invoice>',
        "<Invoice/>",
        '<CreditNote xmlns="urn:oasis:names:specification:ubl:schema:xsd:Invoice-2"/>',
        "no XML at all",
    ],
)
def test_xml_that_is_no_invoice(refused, text):
    assert refused(text) == UNSEEN
