"""
Where each business term of an EN 16931 invoice stands in the two syntaxes.

UBL 2.1, Invoice and CreditNote, and UN/CEFACT Cross Industry Invoice D16B. Terms of a group are
looked for below the group's own element; `$currency` is the document's currency.
"""

from dataclasses import dataclass
from enum import Enum

_UBL = "urn:oasis:names:specification:ubl:schema:xsd:"
_CII = "urn:un:unece:uncefact:data:standard:"

NAMESPACES = {
    "inv": f"{_UBL}Invoice-2",
    "crn": f"{_UBL}CreditNote-2",
    "cac": f"{_UBL}CommonAggregateComponents-2",
    "cbc": f"{_UBL}CommonBasicComponents-2",
    "rsm": f"{_CII}CrossIndustryInvoice:100",
    "ram": f"{_CII}ReusableAggregateBusinessInformationEntity:100",
    "udt": f"{_CII}UnqualifiedDataType:100",
}


class Syntax(Enum):
    """One of the two ways in which an invoice is written."""

    UBL = "UBL 2.1"
    CII = "UN/CEFACT CII"


SYNTAX_OF_ROOT = {
    (NAMESPACES["inv"], "Invoice"): Syntax.UBL,
    (NAMESPACES["crn"], "CreditNote"): Syntax.UBL,
    (NAMESPACES["rsm"], "CrossIndustryInvoice"): Syntax.CII,
}


@dataclass(frozen=True)
class Term:
    """A business term: its words, and where it stands in each syntax."""

    says: str
    ubl: str
    cii: str

    def path(self, syntax: Syntax) -> str:
        """Return the XPath of the term in that syntax."""
        return self.ubl if syntax is Syntax.UBL else self.cii


_DEAL = "rsm:SupplyChainTradeTransaction"
_AGREED = f"{_DEAL}/ram:ApplicableHeaderTradeAgreement"
_SETTLED = f"{_DEAL}/ram:ApplicableHeaderTradeSettlement"
_SUMS = f"{_SETTLED}/ram:SpecifiedTradeSettlementHeaderMonetarySummation"
_SELLER = "cac:AccountingSupplierParty/cac:Party"
_TOTAL = "cac:LegalMonetaryTotal"
_LINE_AGREED = "ram:SpecifiedLineTradeAgreement/ram:NetPriceProductTradePrice"
_LINE_SETTLED = "ram:SpecifiedLineTradeSettlement"
_PERIOD_END = f"{_LINE_SETTLED}/ram:BillingSpecifiedPeriod/ram:EndDateTime/udt:DateTimeString"
_QUANTITY = ("cbc:InvoicedQuantity|cbc:CreditedQuantity", "ram:SpecifiedLineTradeDelivery")
_IN_CURRENCY = "[not(@currencyID) or @currencyID=$currency]"
_LOT = "cac:Item/cac:ItemInstance/cac:LotIdentification"

TERMS = {
    # the document
    "BT-1": Term("number", "cbc:ID", "rsm:ExchangedDocument/ram:ID"),
    "BT-2": Term(
        "date of issue",
        "cbc:IssueDate",
        "rsm:ExchangedDocument/ram:IssueDateTime/udt:DateTimeString",
    ),
    "BT-3": Term(
        "type",
        "cbc:InvoiceTypeCode|cbc:CreditNoteTypeCode",
        "rsm:ExchangedDocument/ram:TypeCode",
    ),
    "BT-5": Term("currency", "cbc:DocumentCurrencyCode", f"{_SETTLED}/ram:InvoiceCurrencyCode"),
    "BT-13": Term(
        "order",
        "cac:OrderReference[not(cbc:ID='NA' and cbc:SalesOrderID)]/cbc:ID",
        f"{_AGREED}/ram:BuyerOrderReferencedDocument/ram:IssuerAssignedID",
    ),
    "BT-25": Term(
        "preceding invoice",
        "cac:BillingReference/cac:InvoiceDocumentReference/cbc:ID",
        f"{_SETTLED}/ram:InvoiceReferencedDocument/ram:IssuerAssignedID",
    ),
    "BT-27": Term(
        "seller",
        f"{_SELLER}/cac:PartyLegalEntity/cbc:RegistrationName"
        f"|{_SELLER}[not(cac:PartyLegalEntity/cbc:RegistrationName)]/cac:PartyName/cbc:Name",
        f"{_AGREED}/ram:SellerTradeParty/ram:Name",
    ),
    "BT-72": Term(
        "date of delivery",
        "cac:Delivery/cbc:ActualDeliveryDate",
        f"{_DEAL}/ram:ApplicableHeaderTradeDelivery/ram:ActualDeliverySupplyChainEvent"
        "/ram:OccurrenceDateTime/udt:DateTimeString",
    ),
    # its totals
    "BT-106": Term("sum of the line nets", f"{_TOTAL}/cbc:LineExtensionAmount",
                   f"{_SUMS}/ram:LineTotalAmount"),
    "BT-107": Term("sum of the allowances", f"{_TOTAL}/cbc:AllowanceTotalAmount",
                   f"{_SUMS}/ram:AllowanceTotalAmount"),
    "BT-108": Term("sum of the charges", f"{_TOTAL}/cbc:ChargeTotalAmount",
                   f"{_SUMS}/ram:ChargeTotalAmount"),
    "BT-109": Term("total without VAT", f"{_TOTAL}/cbc:TaxExclusiveAmount",
                   f"{_SUMS}/ram:TaxBasisTotalAmount"),
    "BT-110": Term("total VAT", f"cac:TaxTotal/cbc:TaxAmount{_IN_CURRENCY}",
                   f"{_SUMS}/ram:TaxTotalAmount{_IN_CURRENCY}"),
    "BT-112": Term("total with VAT", f"{_TOTAL}/cbc:TaxInclusiveAmount",
                   f"{_SUMS}/ram:GrandTotalAmount"),
    "BT-113": Term("paid before", f"{_TOTAL}/cbc:PrepaidAmount",
                   f"{_SUMS}/ram:TotalPrepaidAmount"),
    "BT-114": Term("rounding", f"{_TOTAL}/cbc:PayableRoundingAmount",
                   f"{_SUMS}/ram:RoundingAmount"),
    "BT-115": Term("amount due", f"{_TOTAL}/cbc:PayableAmount",
                   f"{_SUMS}/ram:DuePayableAmount"),
    # groups
    "BG-20": Term("allowance or charge (BG-21)", "cac:AllowanceCharge",
                  f"{_SETTLED}/ram:SpecifiedTradeAllowanceCharge"),
    "BG-23": Term("VAT by rate", "cac:TaxTotal/cac:TaxSubtotal"
                  "[not(cbc:TaxAmount/@currencyID) or cbc:TaxAmount/@currencyID=$currency]",
                  f"{_SETTLED}/ram:ApplicableTradeTax"),
    "BG-25": Term("line", "cac:InvoiceLine|cac:CreditNoteLine",
                  f"{_DEAL}/ram:IncludedSupplyChainTradeLineItem"),
    "BG-27": Term("allowance or charge (BG-28)", "cac:AllowanceCharge",
                  f"{_LINE_SETTLED}/ram:SpecifiedTradeAllowanceCharge"),
    "BG-32": Term("attribute of the item", "cac:Item/cac:AdditionalItemProperty",
                  "ram:SpecifiedTradeProduct/ram:ApplicableProductCharacteristic"),
    # an allowance or charge of the document; the numbers are those of allowances
    "charge": Term("allowance or charge", "cbc:ChargeIndicator",
                   "ram:ChargeIndicator/udt:Indicator"),
    "BT-92": Term("amount", "cbc:Amount", "ram:ActualAmount"),
    "BT-95": Term("VAT category", "cac:TaxCategory/cbc:ID",
                  "ram:CategoryTradeTax/ram:CategoryCode"),
    "BT-96": Term("VAT rate", "cac:TaxCategory/cbc:Percent",
                  "ram:CategoryTradeTax/ram:RateApplicablePercent"),
    "BT-97": Term("reason", "cbc:AllowanceChargeReason", "ram:Reason"),
    "BT-98": Term("reason code", "cbc:AllowanceChargeReasonCode", "ram:ReasonCode"),
    # VAT of one category and rate
    "BT-116": Term("taxable amount", "cbc:TaxableAmount", "ram:BasisAmount"),
    "BT-117": Term("VAT", "cbc:TaxAmount", "ram:CalculatedAmount"),
    "BT-118": Term("VAT category", "cac:TaxCategory/cbc:ID", "ram:CategoryCode"),
    "BT-119": Term("VAT rate", "cac:TaxCategory/cbc:Percent", "ram:RateApplicablePercent"),
    # a line
    "BT-126": Term("line", "cbc:ID", "ram:AssociatedDocumentLineDocument/ram:LineID"),
    "BT-129": Term("quantity", _QUANTITY[0], f"{_QUANTITY[1]}/ram:BilledQuantity"),
    "BT-130": Term("unit", "cbc:InvoicedQuantity/@unitCode|cbc:CreditedQuantity/@unitCode",
                   f"{_QUANTITY[1]}/ram:BilledQuantity/@unitCode"),
    "BT-131": Term("line net", "cbc:LineExtensionAmount",
                   f"{_LINE_SETTLED}/ram:SpecifiedTradeSettlementLineMonetarySummation"
                   "/ram:LineTotalAmount"),
    "BT-135": Term("end of its period", "cac:InvoicePeriod/cbc:EndDate", _PERIOD_END),
    "BT-146": Term("net price", "cac:Price/cbc:PriceAmount", f"{_LINE_AGREED}/ram:ChargeAmount"),
    "BT-149": Term("base quantity of the price", "cac:Price/cbc:BaseQuantity",
                   f"{_LINE_AGREED}/ram:BasisQuantity"),
    "BT-150": Term("unit of the base quantity", "cac:Price/cbc:BaseQuantity/@unitCode",
                   f"{_LINE_AGREED}/ram:BasisQuantity/@unitCode"),
    "BT-151": Term("VAT category", "cac:Item/cac:ClassifiedTaxCategory/cbc:ID",
                   f"{_LINE_SETTLED}/ram:ApplicableTradeTax/ram:CategoryCode"),
    "BT-152": Term("VAT rate", "cac:Item/cac:ClassifiedTaxCategory/cbc:Percent",
                   f"{_LINE_SETTLED}/ram:ApplicableTradeTax/ram:RateApplicablePercent"),
    "BT-153": Term("item", "cac:Item/cbc:Name", "ram:SpecifiedTradeProduct/ram:Name"),
    "BT-154": Term("its description", "cac:Item/cbc:Description",
                   "ram:SpecifiedTradeProduct/ram:Description"),
    "BT-155": Term("the seller's number of it", "cac:Item/cac:SellersItemIdentification/cbc:ID",
                   "ram:SpecifiedTradeProduct/ram:SellerAssignedID"),
    "lot": Term("lot, outside the core", f"{_LOT}/cbc:LotNumberID",
                "ram:SpecifiedTradeProduct/ram:IndividualTradeProductInstance/ram:BatchID"),
    # an attribute of a line's item
    "BT-160": Term("name of an attribute", "cbc:Name", "ram:Description"),
    "BT-161": Term("value of an attribute", "cbc:Value", "ram:Value"),
}  # fmt: skip
"""By number; two that the standard gives no number stand under a word."""
