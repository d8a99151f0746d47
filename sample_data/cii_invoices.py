"""Invoices written out in UN/CEFACT Cross Industry Invoice D16B."""

from sample_data.electronic import (
    CII_NAMES,
    NO_VAT_NUMBER,
    NORM,
    VAT_PCT,
    Invoice,
    Part,
    Sold,
    make,
    make_pounds,
    write_xml,
)
from sample_data.firm import FIRM


def write_cii(invoice: Invoice) -> bytes:
    """Return an invoice in UN/CEFACT CII D16B; charges stand beside the lines."""
    context = make("ram:GuidelineSpecifiedDocumentContextParameter", make("ram:ID", NORM))
    issued = make("udt:DateTimeString", f"{invoice.issued_on:%Y%m%d}", format="102")
    root = make(
        "rsm:CrossIndustryInvoice",
        make("rsm:ExchangedDocumentContext", context),
        make(
            "rsm:ExchangedDocument",
            make("ram:ID", invoice.number),
            make("ram:TypeCode", "380"),
            make("ram:IssueDateTime", issued),
        ),
        make(
            "rsm:SupplyChainTradeTransaction",
            *(_cii_line(number, line) for number, line in enumerate(invoice.lines, 1)),
            make(
                "ram:ApplicableHeaderTradeAgreement",
                _cii_party("ram:SellerTradeParty", invoice.supplier, NO_VAT_NUMBER),
                _cii_party("ram:BuyerTradeParty", FIRM, ""),
                make(
                    "ram:BuyerOrderReferencedDocument",
                    make("ram:IssuerAssignedID", invoice.order_no),
                ),
            ),
            make("ram:ApplicableHeaderTradeDelivery", keep=True),
            _cii_settlement(invoice),
        ),
    )
    return write_xml(root, CII_NAMES)


def _cii_party(role: str, name: str, vat_number: str) -> Part:
    return make(
        role,
        make("ram:Name", name),
        make("ram:PostalTradeAddress", make("ram:CountryID", "GB")),
        make("ram:SpecifiedTaxRegistration", make("ram:ID", vat_number, schemeID="VA")),
    )


def _cii_rate(name: str, *amounts: Part) -> Part:
    *before, after = amounts or (None,)
    return make(
        name,
        *before,
        make("ram:TypeCode", "VAT"),
        after,
        make("ram:CategoryCode", "S"),
        make("ram:RateApplicablePercent", VAT_PCT),
    )


def _cii_line(number: int, line: Sold) -> Part:
    price = make("ram:ChargeAmount", f"{line.price_gbp:.2f}")
    return make(
        "ram:IncludedSupplyChainTradeLineItem",
        make("ram:AssociatedDocumentLineDocument", make("ram:LineID", str(number))),
        make("ram:SpecifiedTradeProduct", make("ram:Name", line.words)),
        make("ram:SpecifiedLineTradeAgreement", make("ram:NetPriceProductTradePrice", price)),
        make(
            "ram:SpecifiedLineTradeDelivery",
            make("ram:BilledQuantity", str(line.packs), unitCode="C62"),
        ),
        make(
            "ram:SpecifiedLineTradeSettlement",
            _cii_rate("ram:ApplicableTradeTax"),
            make(
                "ram:SpecifiedTradeSettlementLineMonetarySummation",
                make("ram:LineTotalAmount", f"{line.net_gbp:.2f}"),
            ),
        ),
    )


def _cii_settlement(invoice: Invoice) -> Part:
    gross = invoice.net_gbp + invoice.vat_gbp
    return make(
        "ram:ApplicableHeaderTradeSettlement",
        make("ram:InvoiceCurrencyCode", "GBP"),
        _cii_rate(
            "ram:ApplicableTradeTax",
            make("ram:CalculatedAmount", f"{invoice.vat_gbp:.2f}"),
            make("ram:BasisAmount", f"{invoice.net_gbp:.2f}"),
        ),
        *(_cii_charge(charge) for charge in invoice.charges),
        make(
            "ram:SpecifiedTradeSettlementHeaderMonetarySummation",
            make("ram:LineTotalAmount", f"{invoice.goods_gbp:.2f}"),
            make("ram:ChargeTotalAmount", f"{invoice.charges_gbp:.2f}"),
            make("ram:TaxBasisTotalAmount", f"{invoice.net_gbp:.2f}"),
            make_pounds("ram:TaxTotalAmount", invoice.vat_gbp),
            make("ram:GrandTotalAmount", f"{gross:.2f}"),
            make("ram:DuePayableAmount", f"{gross:.2f}"),
        ),
    )


def _cii_charge(charge: Sold) -> Part:
    return make(
        "ram:SpecifiedTradeAllowanceCharge",
        make("ram:ChargeIndicator", make("udt:Indicator", "true")),
        make("ram:ActualAmount", f"{charge.net_gbp:.2f}"),
        make("ram:ReasonCode", "FC"),
        make("ram:Reason", charge.words),
        _cii_rate("ram:CategoryTradeTax"),
    )
