"""Invoices written out in UBL 2.1."""

from sample_data.electronic import (
    NO_VAT_NUMBER,
    NORM,
    UBL_NAMES,
    VAT_PCT,
    Invoice,
    Part,
    Sold,
    make,
    make_pounds,
    write_xml,
)
from sample_data.firm import FIRM


def write_ubl(invoice: Invoice) -> bytes:
    """Return an invoice in UBL 2.1; charges stand beside the lines."""
    rate = make("cbc:ID", "S"), make("cbc:Percent", VAT_PCT), _vat_scheme("cac:TaxScheme")
    root = make(
        "Invoice",
        make("cbc:CustomizationID", NORM),
        make("cbc:ID", invoice.number),
        make("cbc:IssueDate", invoice.issued_on.isoformat()),
        make("cbc:InvoiceTypeCode", "380"),
        make("cbc:DocumentCurrencyCode", "GBP"),
        make("cac:OrderReference", make("cbc:ID", invoice.order_no)),
        make("cac:AccountingSupplierParty", _ubl_party(invoice.supplier, NO_VAT_NUMBER)),
        make("cac:AccountingCustomerParty", _ubl_party(FIRM, "")),
        *(_ubl_charge(charge) for charge in invoice.charges),
        make(
            "cac:TaxTotal",
            make_pounds("cbc:TaxAmount", invoice.vat_gbp),
            make(
                "cac:TaxSubtotal",
                make_pounds("cbc:TaxableAmount", invoice.net_gbp),
                make_pounds("cbc:TaxAmount", invoice.vat_gbp),
                make("cac:TaxCategory", *rate),
            ),
        ),
        _ubl_totals(invoice),
        *(_ubl_line(number, line) for number, line in enumerate(invoice.lines, 1)),
    )
    return write_xml(root, UBL_NAMES)


def _vat_scheme(name: str) -> Part:
    return make(name, make("cbc:ID", "VAT"))


def _ubl_party(name: str, vat_number: str) -> Part:
    scheme = _vat_scheme("cac:TaxScheme") if vat_number else None
    country = make("cac:Country", make("cbc:IdentificationCode", "GB"))
    return make(
        "cac:Party",
        make("cac:PostalAddress", country),
        make("cac:PartyTaxScheme", make("cbc:CompanyID", vat_number), scheme),
        make("cac:PartyLegalEntity", make("cbc:RegistrationName", name)),
    )


def _ubl_charge(charge: Sold) -> Part:
    rate = make("cbc:ID", "S"), make("cbc:Percent", VAT_PCT), _vat_scheme("cac:TaxScheme")
    return make(
        "cac:AllowanceCharge",
        make("cbc:ChargeIndicator", "true"),
        make("cbc:AllowanceChargeReasonCode", "FC"),
        make("cbc:AllowanceChargeReason", charge.words),
        make_pounds("cbc:Amount", charge.net_gbp),
        make("cac:TaxCategory", *rate),
    )


def _ubl_totals(invoice: Invoice) -> Part:
    gross = invoice.net_gbp + invoice.vat_gbp
    return make(
        "cac:LegalMonetaryTotal",
        make_pounds("cbc:LineExtensionAmount", invoice.goods_gbp),
        make_pounds("cbc:TaxExclusiveAmount", invoice.net_gbp),
        make_pounds("cbc:TaxInclusiveAmount", gross),
        make_pounds("cbc:ChargeTotalAmount", invoice.charges_gbp),
        make_pounds("cbc:PayableAmount", gross),
    )


def _ubl_line(number: int, line: Sold) -> Part:
    rate = make("cbc:ID", "S"), make("cbc:Percent", VAT_PCT), _vat_scheme("cac:TaxScheme")
    return make(
        "cac:InvoiceLine",
        make("cbc:ID", str(number)),
        make("cbc:InvoicedQuantity", str(line.packs), unitCode="C62"),
        make_pounds("cbc:LineExtensionAmount", line.net_gbp),
        make("cac:Item", make("cbc:Name", line.words), make("cac:ClassifiedTaxCategory", *rate)),
        make("cac:Price", make_pounds("cbc:PriceAmount", line.price_gbp)),
    )
