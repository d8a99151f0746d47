"""Whether an electronic invoice can be booked as it stands: type, currency, sign, totals."""

from collections.abc import Iterator, Sequence

from pipelines.receiving.invoice_codes import CREDIT_TYPES, INVOICE_TYPES
from pipelines.receiving.invoice_documents import Invoice
from pipelines.receiving.invoice_totals import Taxed, find_broken_rules

_ASK = "ask the supplier for a right one"


def find_faults(document: Invoice, root_name: str) -> tuple[str, ...]:
    """
    Return in words why the document is not booked, with both figures where two disagree.

    `root_name` is the name of the document's root element, which must fit its type.
    """
    faults = [*document.faults, *_kind_faults(document, root_name)]
    if not faults:
        faults = [*_total_faults(document)]
    return (*faults, _ASK) if faults else ()


def _kind_faults(document: Invoice, root_name: str) -> Iterator[str]:
    code, currency = document.type_code, document.currency
    if code is not None and code not in INVOICE_TYPES | CREDIT_TYPES:
        known = ", ".join(sorted(INVOICE_TYPES | CREDIT_TYPES, key=int))
        yield f"its type (BT-3) is {code}, which is not booked; these are: {known}"
    if root_name == "CreditNote" and code in INVOICE_TYPES:
        yield f"it is a credit note by its root, and an invoice by its type (BT-3), {code}"
    if currency not in {None, "GBP"}:
        yield f"its currency (BT-5) is {currency}; only GBP is taken, and nothing is converted"
    totals = document.totals
    if code in CREDIT_TYPES and totals is not None and totals.with_vat < 0:
        yield (
            f"it is a credit (BT-3 says {code}) of {totals.with_vat:,.2f} (BT-112): a credit below "
            "0 either asks for money, or has its minus written twice"
        )


def _total_faults(document: Invoice) -> Iterator[str]:
    lines = _taxed(line.taxed for line in document.lines)
    allowances = _taxed(one.taxed for one in document.adjustments if not one.is_charge)
    charges = _taxed(one.taxed for one in document.adjustments if one.is_charge)
    if document.totals is not None:
        yield from find_broken_rules(lines, allowances, charges, document.vat, document.totals)


def _taxed(found: Iterator[Taxed | None]) -> Sequence[Taxed]:
    return [one for one in found if one is not None]
