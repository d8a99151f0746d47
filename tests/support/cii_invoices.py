"""Invented invoices written out in UN/CEFACT Cross Industry Invoice D16B."""

from tests.support.electronic_invoices import Adjustment, Document, Line, nest, tag, unit_code

_CII = "urn:un:unece:uncefact:data:standard"


def write_cii(document: Document) -> str:
    """Return the document in UN/CEFACT Cross Industry Invoice D16B."""
    head = (
        tag("ram:ID", document.number)
        + tag("ram:TypeCode", document.type_code)
        + nest("ram:IssueDateTime", _day(document.day))
    )
    agreed = nest("ram:SellerTradeParty", tag("ram:Name", document.supplier)) + nest(
        "ram:BuyerOrderReferencedDocument", tag("ram:IssuerAssignedID", document.order_no)
    )
    came = nest(
        "ram:ActualDeliverySupplyChainEvent/ram:OccurrenceDateTime", _day(document.delivered)
    )
    deal = [
        *(_line(at, line) for at, line in enumerate(document.lines, 1)),
        nest("ram:ApplicableHeaderTradeAgreement", agreed),
        nest("ram:ApplicableHeaderTradeDelivery", came),
        nest("ram:ApplicableHeaderTradeSettlement", *_settlement(document)),
    ]
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<rsm:CrossIndustryInvoice '
        f'xmlns:rsm="{_CII}:CrossIndustryInvoice:100" '
        f'xmlns:ram="{_CII}:ReusableAggregateBusinessInformationEntity:100" '
        f'xmlns:udt="{_CII}:UnqualifiedDataType:100">'
        f"{nest('rsm:ExchangedDocument', head)}"
        f"{nest('rsm:SupplyChainTradeTransaction', *deal)}</rsm:CrossIndustryInvoice>\n"
    )


def _line(at: int, line: Line) -> str:
    product = (
        tag("ram:Name", line.item)
        + tag("ram:Description", line.words)
        + "".join(
            nest(
                "ram:ApplicableProductCharacteristic",
                tag("ram:Description", key) + tag("ram:Value", value),
            )
            for key, value in line.attributes.items()
        )
    )
    price = tag("ram:ChargeAmount", line.price) + tag(
        "ram:BasisQuantity", line.base, unit_code(line.base_unit or line.unit)
    )
    taxed = tag("ram:CategoryCode", line.category) + tag("ram:RateApplicablePercent", line.rate)
    return nest(
        "ram:IncludedSupplyChainTradeLineItem",
        nest("ram:AssociatedDocumentLineDocument", tag("ram:LineID", str(at))),
        nest("ram:SpecifiedTradeProduct", product),
        nest("ram:SpecifiedLineTradeAgreement/ram:NetPriceProductTradePrice", price),
        nest(
            "ram:SpecifiedLineTradeDelivery",
            tag("ram:BilledQuantity", line.quantity, unit_code(line.unit)),
        ),
        nest(
            "ram:SpecifiedLineTradeSettlement",
            nest("ram:ApplicableTradeTax", tag("ram:TypeCode", "VAT"), taxed),
            nest("ram:BillingSpecifiedPeriod/ram:EndDateTime", _day(line.period_end)),
            nest(
                "ram:SpecifiedTradeAllowanceCharge/ram:ChargeIndicator",
                tag("udt:Indicator", "false" if line.adjusted else ""),
            ),
            nest(
                "ram:SpecifiedTradeSettlementLineMonetarySummation",
                tag("ram:LineTotalAmount", line.net),
            ),
        ),
    )


def _settlement(document: Document) -> list[str]:
    told = document.totals()
    names = {
        "BT-106": "LineTotalAmount", "BT-108": "ChargeTotalAmount",
        "BT-107": "AllowanceTotalAmount", "BT-109": "TaxBasisTotalAmount",
        "BT-110": "TaxTotalAmount", "BT-114": "RoundingAmount", "BT-112": "GrandTotalAmount",
        "BT-113": "TotalPrepaidAmount", "BT-115": "DuePayableAmount",
    }  # fmt: skip
    money = f' currencyID="{document.currency}"'
    sums = [
        tag(f"ram:{name}", told[term], money if term == "BT-110" else "")
        for term, name in names.items()
    ]
    return [
        tag("ram:InvoiceCurrencyCode", document.currency),
        *(
            nest(
                "ram:ApplicableTradeTax",
                tag("ram:CalculatedAmount", document.says.get("BT-117", str(vat))),
                tag("ram:TypeCode", "VAT"),
                tag("ram:BasisAmount", document.says.get("BT-116", str(net))),
                tag("ram:CategoryCode", category),
                tag("ram:RateApplicablePercent", rate),
            )
            for (category, rate), (net, vat) in document.by_rate().items()
        ),
        *(_adjustment(one) for one in document.adjustments),
        nest("ram:SpecifiedTradeSettlementHeaderMonetarySummation", *sums),
        *(
            nest("ram:InvoiceReferencedDocument", tag("ram:IssuerAssignedID", number))
            for number in document.preceding
        ),
    ]


def _adjustment(one: Adjustment) -> str:
    taxed = tag("ram:CategoryCode", one.category) + tag("ram:RateApplicablePercent", one.rate)
    return nest(
        "ram:SpecifiedTradeAllowanceCharge",
        nest("ram:ChargeIndicator", tag("udt:Indicator", str(one.charge).lower())),
        tag("ram:ActualAmount", one.amount),
        tag("ram:ReasonCode", one.code),
        tag("ram:Reason", one.reason),
        nest("ram:CategoryTradeTax", tag("ram:TypeCode", "VAT"), taxed),
    )


def _day(day: str) -> str:
    return tag("udt:DateTimeString", day.replace("-", ""), ' format="102"')
