"""The rows that an electronic invoice makes: its lines, allowances and charges, its rounding."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from pipelines.quantities import PER_CENT_IN_WHOLE
from pipelines.receiving.invoice_codes import (
    CARRIAGE_CODES,
    COUNTS,
    CREDIT_TYPES,
    DEPOSIT_TYPE,
    MEASURES,
)
from pipelines.receiving.invoice_documents import Adjustment, Invoice, InvoiceLine

_PENNY = Decimal("0.01")
_PRICE_STEP = Decimal("0.0001")
_COUNTED_FROM_ONE = "1"
_NOT_TAXED = "0"
_SIZE_NAMES = ("pack size", "pack_size", "content", "contents", "net content")
_LOT_NAMES = ("lot", "lot number", "lot no", "batch", "batch number", "batch no")
_DATE_NAMES = ("expiry date", "expires on", "use before", "best before")


@dataclass(frozen=True)
class InvoiceRow:
    """A row as gathered, and what its unit and kind are where no mapping says it."""

    cells: dict[str, str | None]
    told: dict[str, str | None]
    unit: str | None = None
    kind: str | None = None


def list_rows(document: Invoice) -> Iterator[InvoiceRow]:
    """
    Yield the document's rows: lines, allowances and charges, rounding.

    Credits are negative, allowances lower; money in another currency than GBP is left out.
    """
    sign = -1 if document.type_code in CREDIT_TYPES else 1
    money = 1 if document.currency == "GBP" else 0
    shared = _shared(document)
    for line in document.lines:
        cells = shared | _line_cells(line, document, sign, money)
        kind = "deposit" if document.type_code == DEPOSIT_TYPE else None
        yield InvoiceRow(cells, _tell_line(line, document), _counted_unit(line), kind)
    for one in document.adjustments:
        amount = one.amount if one.is_charge or one.amount is None else -one.amount
        cells = shared | _sum_cells(_name_adjustment(one), amount, sign, money)
        cells["vat_pct"] = _say(one.taxed.rate_pct if one.taxed else None)
        yield InvoiceRow(cells, _tell_adjustment(one, document), kind=_kind_of(one))
    if document.has_rounding:
        cells = shared | _sum_cells("Rounding of the amount due", document.rounding, sign, money)
        cells["vat_pct"] = _NOT_TAXED
        told = {"BT-114": _say(document.rounding), "currency": document.currency}
        yield InvoiceRow(cells, told, kind="rounding")


def _shared(document: Invoice) -> dict[str, str | None]:
    """Return the cells that every row of the document has, in the order of all columns."""
    is_credit = document.type_code in CREDIT_TYPES
    credited = document.preceding if is_credit and len(document.preceding) == 1 else (None,)
    blank = ("description", "packs", "pack_size", "unit", "pack_price_gbp", "line_net_gbp")
    return {
        "supplier": document.supplier,
        "document_type": "credit" if is_credit else "invoice",
        "document_no": document.number,
        "document_on": _say(document.issued_on),
        "delivered_on": _say(document.delivered_on),
        "order_no": document.order_no,
        "credits_document_no": credited[0],
        **dict.fromkeys((*blank, "vat_pct", "line_kind", "lot", "expires_on")),
    }


def _line_cells(
    line: InvoiceLine, document: Invoice, sign: int, money: int
) -> dict[str, str | None]:
    measure = MEASURES.get(line.unit_code or "")
    factor = measure.factor if measure else Decimal(1)
    attributes = line.attributes
    return {
        **_sum_cells(_name_item(line), line.net, sign, money),
        "packs": _say(line.quantity * factor * sign if line.quantity is not None else None),
        "pack_size": _COUNTED_FROM_ONE if measure else _pick(attributes, _SIZE_NAMES),
        "unit": measure.unit if measure else None,
        "pack_price_gbp": _say(price_one(line, factor)) if money else None,
        "vat_pct": _say(line.taxed.rate_pct if line.taxed else None),
        "delivered_on": _say(document.delivered_on or line.period_end),
        "lot": line.lot or _pick(attributes, _LOT_NAMES),
        "expires_on": _pick(attributes, _DATE_NAMES),
    }


def _sum_cells(
    description: str | None, amount: Decimal | None, sign: int, money: int
) -> dict[str, str | None]:
    net = amount * sign if amount is not None and money else None
    return {"description": description, "line_net_gbp": _say(net)}


def price_one(line: InvoiceLine, factor: Decimal = Decimal(1)) -> Decimal | None:
    """
    Return the net price of one unit of the row, `factor` of them making one of the line's.

    None where the price is by another unit than the line, or not exact to four decimals; and
    where allowances or charges of the line, or VAT, stand between it and the net, which stands.
    """
    base = line.base_quantity if line.base_quantity is not None else Decimal(1)
    other_unit = line.base_unit_code not in {None, line.unit_code}
    if line.price is None or other_unit or base <= 0 or _is_not_all(line, line.price / base):
        return None
    price = line.price / (base * factor)
    return price if price == price.quantize(_PRICE_STEP) else None


def _is_not_all(line: InvoiceLine, price: Decimal) -> bool:
    if line.quantity is None or line.net is None or line.taxed is None:
        return False
    multiplied = line.quantity * price
    with_vat = multiplied * (1 + line.taxed.rate_pct / PER_CENT_IN_WHOLE)
    is_net = abs(multiplied - line.net) <= _PENNY
    return not is_net and (line.is_adjusted or abs(abs(with_vat) - abs(line.net)) <= _PENNY)


def _counted_unit(line: InvoiceLine) -> str | None:
    """Return the word for what the line counts; a code that is not known is left for judging."""
    code = line.unit_code
    if code is None or code in MEASURES:
        return None
    return COUNTS.get(code, f"code {code}")


def _name_item(line: InvoiceLine) -> str | None:
    if line.item is None or line.words in {None, line.item}:
        return line.item
    return f"{line.item}, {line.words}"


def _name_adjustment(one: Adjustment) -> str:
    what = "Charge" if one.is_charge else "Allowance"
    code = f" of reason code {one.reason_code}" if one.reason_code else ""
    return one.reason or f"{what}{code}"


def _kind_of(one: Adjustment) -> str:
    if not one.is_charge:
        return "discount"
    return "carriage" if one.reason_code in CARRIAGE_CODES else "other"


def _tell_line(line: InvoiceLine, document: Invoice) -> dict[str, str | None]:
    """Return the line by business term, as it was written."""
    return {
        "BT-126 line": line.number,
        "BT-153 item": line.item,
        "BT-154 description": line.words,
        "BT-155 item number": line.item_no,
        "BT-129 quantity": _say(line.quantity),
        "BT-130 unit": line.unit_code,
        "BT-146 net price": _say(line.price),
        "BT-149 base quantity": _say(line.base_quantity),
        "BT-150 its unit": line.base_unit_code,
        "BT-131 line net": _say(line.net),
        "currency": document.currency,
        **line.attributes,
    }


def _tell_adjustment(one: Adjustment, document: Invoice) -> dict[str, str | None]:
    return {
        "charge": "true" if one.is_charge else "false",
        "reason": one.reason,
        "reason code": one.reason_code,
        "amount": _say(one.amount),
        "currency": document.currency,
    }


def _pick(attributes: Mapping[str, str], names: Sequence[str]) -> str | None:
    return next((attributes[name] for name in names if name in attributes), None)


def _say(value: object) -> str | None:
    if isinstance(value, Decimal):
        return f"{value:f}"
    return None if value is None else str(value)
