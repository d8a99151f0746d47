"""Invoices that came as papers of their own, read by plain Python: XML elements, a page's texts."""

import re
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree as ET

_UBL = {
    "a": "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2",
    "b": "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2",
}
_CII = {
    "r": "urn:un:unece:uncefact:data:standard:ReusableAggregateBusinessInformationEntity:100",
    "u": "urn:un:unece:uncefact:data:standard:UnqualifiedDataType:100",
}
_TEXT = re.compile(r"1 0 0 1 ([\d.]+) ([\d.]+) Tm \((.*)\) Tj")
_COLUMNS = ("description", "lot", "expires_on", "packs", "pack_price_gbp", "line_net_gbp")

Named = dict[str, str | None]


def read_own_paper(path: Path) -> Iterator[Named]:
    """Yield the lines of one invoice by our names, figures and dates (year first) as text."""
    if path.suffix == ".pdf":
        yield from _read_page(path.read_bytes().decode("cp1252"))
        return
    root = ET.parse(path).getroot()  # noqa: S314 - written by the invented firm
    if root.find("b:ID", _UBL) is not None:
        yield from _read_ubl(root)
    else:
        yield from _read_cii(root)


def _read_ubl(root: ET.Element) -> Iterator[Named]:
    shared = {
        "document_no": root.findtext("b:ID", None, _UBL),
        "document_on": root.findtext("b:IssueDate", None, _UBL),
    }
    for line in root.findall("a:InvoiceLine", _UBL):
        yield shared | {
            "description": line.findtext("a:Item/b:Name", None, _UBL),
            "packs": line.findtext("b:InvoicedQuantity", None, _UBL),
            "line_net_gbp": line.findtext("b:LineExtensionAmount", None, _UBL),
        }
    for charge in root.findall("a:AllowanceCharge", _UBL):
        yield shared | {
            "description": charge.findtext("b:AllowanceChargeReason", None, _UBL),
            "line_net_gbp": charge.findtext("b:Amount", None, _UBL),
        }


def _read_cii(root: ET.Element) -> Iterator[Named]:
    head, deal = root[1], root[2]
    figures = head.findtext("r:IssueDateTime/u:DateTimeString", "", _CII)
    shared = {
        "document_no": head.findtext("r:ID", None, _CII),
        "document_on": f"{figures[:4]}-{figures[4:6]}-{figures[6:]}",
    }
    for line in deal.findall("r:IncludedSupplyChainTradeLineItem", _CII):
        yield shared | {
            "description": line.findtext("r:SpecifiedTradeProduct/r:Name", None, _CII),
            "packs": line.findtext(".//r:BilledQuantity", None, _CII),
            "line_net_gbp": line.findtext(".//r:LineTotalAmount", None, _CII),
        }
    path = "r:ApplicableHeaderTradeSettlement/r:SpecifiedTradeAllowanceCharge"
    for charge in deal.findall(path, _CII):
        yield shared | {
            "description": charge.findtext("r:Reason", None, _CII),
            "line_net_gbp": charge.findtext("r:ActualAmount", None, _CII),
        }


def _read_page(page: str) -> Iterator[Named]:
    lines: dict[float, list[tuple[float, str]]] = {}
    for across, up, text in _TEXT.findall(page):
        lines.setdefault(float(up), []).append((float(across), text))
    shared: Named = {}
    for line in lines.values():
        texts = [text for _, text in sorted(line)]
        if texts[0].startswith("Invoice "):
            _, number, _, on = texts[0].split()
            shared |= {"document_no": number, "document_on": _year_first(on)}
        elif texts[0].startswith("Delivered "):
            shared["delivered_on"] = _year_first(texts[0].split()[1])
        elif len(texts) == len(_COLUMNS) and texts[0] != "Description":
            yield shared | dict(zip(_COLUMNS, texts, strict=True))


def _year_first(day: str) -> str:
    return "-".join(reversed(day.split("/")))
