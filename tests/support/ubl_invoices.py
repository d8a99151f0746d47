"""Invented invoices written out in UBL 2.1."""

from collections.abc import Mapping

from tests.support.electronic_invoices import Adjustment, Document, Line, nest, tag, unit_code

_UBL = "urn:oasis:names:specification:ubl:schema:xsd"


def write_ubl(document: Document) -> str:
    """Return the document in UBL 2.1: an Invoice, or a CreditNote where it is a credit."""
    root = "CreditNote" if document.is_credit else "Invoice"
    told = document.totals()
    parts = [
        tag("cbc:ID", document.number),
        tag("cbc:IssueDate", document.day),
        tag(f"cbc:{root}TypeCode", document.type_code),
        tag("cbc:DocumentCurrencyCode", document.currency),
        nest("cac:OrderReference", tag("cbc:ID", document.order_no)),
        *(
            nest("cac:BillingReference/cac:InvoiceDocumentReference", tag("cbc:ID", number))
            for number in document.preceding
        ),
        nest(
            "cac:AccountingSupplierParty/cac:Party/cac:PartyLegalEntity",
            tag("cbc:RegistrationName", document.supplier),
        ),
        nest("cac:Delivery", tag("cbc:ActualDeliveryDate", document.delivered)),
        *(_adjustment(one, document.currency) for one in document.adjustments),
        _vat(document, told),
        nest("cac:LegalMonetaryTotal", *_totals(told, document.currency)),
        *(_line(at, one, document) for at, one in enumerate(document.lines, 1)),
    ]
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<{root} xmlns="{_UBL}:{root}-2" '
        f'xmlns:cac="{_UBL}:CommonAggregateComponents-2" '
        f'xmlns:cbc="{_UBL}:CommonBasicComponents-2">{"".join(parts)}</{root}>\n'
    )


def _line(at: int, line: Line, document: Document) -> str:
    name, counted = (
        ("CreditNoteLine", "CreditedQuantity")
        if document.is_credit
        else ("InvoiceLine", "InvoicedQuantity")
    )
    money = f' currencyID="{document.currency}"'
    taxed = tag("cbc:ID", line.category) + tag("cbc:Percent", line.rate)
    item = (
        tag("cbc:Description", line.words)
        + tag("cbc:Name", line.item)
        + nest("cac:ClassifiedTaxCategory", taxed)
        + "".join(
            nest("cac:AdditionalItemProperty", tag("cbc:Name", key) + tag("cbc:Value", value))
            for key, value in line.attributes.items()
        )
    )
    price = tag("cbc:PriceAmount", line.price, money)
    base = tag("cbc:BaseQuantity", line.base, unit_code(line.base_unit or line.unit))
    return nest(
        f"cac:{name}",
        tag("cbc:ID", str(at)),
        tag(f"cbc:{counted}", line.quantity, unit_code(line.unit)),
        tag("cbc:LineExtensionAmount", line.net, money),
        nest("cac:AllowanceCharge", tag("cbc:ChargeIndicator", "false" if line.adjusted else "")),
        nest("cac:InvoicePeriod", tag("cbc:EndDate", line.period_end)),
        nest("cac:Item", item),
        nest("cac:Price", price, base),
    )


def _adjustment(one: Adjustment, currency: str) -> str:
    return nest(
        "cac:AllowanceCharge",
        tag("cbc:ChargeIndicator", str(one.charge).lower()),
        tag("cbc:AllowanceChargeReasonCode", one.code),
        tag("cbc:AllowanceChargeReason", one.reason),
        tag("cbc:Amount", one.amount, f' currencyID="{currency}"'),
        nest("cac:TaxCategory", tag("cbc:ID", one.category), tag("cbc:Percent", one.rate)),
    )


def _vat(document: Document, told: Mapping[str, str]) -> str:
    money = f' currencyID="{document.currency}"'
    groups = [
        nest(
            "cac:TaxSubtotal",
            tag("cbc:TaxableAmount", document.says.get("BT-116", str(net)), money),
            tag("cbc:TaxAmount", document.says.get("BT-117", str(vat)), money),
            nest("cac:TaxCategory", tag("cbc:ID", category), tag("cbc:Percent", rate)),
        )
        for (category, rate), (net, vat) in document.by_rate().items()
    ]
    return nest("cac:TaxTotal", tag("cbc:TaxAmount", told["BT-110"], money), *groups)


def _totals(told: Mapping[str, str], currency: str) -> list[str]:
    names = {
        "BT-106": "LineExtensionAmount", "BT-109": "TaxExclusiveAmount",
        "BT-112": "TaxInclusiveAmount", "BT-107": "AllowanceTotalAmount",
        "BT-108": "ChargeTotalAmount", "BT-113": "PrepaidAmount",
        "BT-114": "PayableRoundingAmount", "BT-115": "PayableAmount",
    }  # fmt: skip
    money = f' currencyID="{currency}"'
    return [tag(f"cbc:{name}", told[term], money) for term, name in names.items()]
