"""Figures as a source writes them brought to ours: decimal mark, VAT taken out, sign of credits."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from pipelines.quantities import round_money
from pipelines.receiving.handed_over import Cells
from pipelines.receiving.written_figures import Mark, plain_figures, read_amount

Credits = Literal["as stated", "positive", "negative"]
AS_STATED: Literal["as stated"] = "as stated"

_NET = "line_net_gbp"
_PRICE = "pack_price_gbp"
_SIGNED = (_NET, "packs")
_HUNDRED = Decimal(100)


@dataclass(frozen=True)
class Amounts:
    """
    How a source writes its figures.

    `mark` parts pounds from pence, None where the file itself shall show it. With `vat_included`
    its prices and line totals hold VAT. `credits` says whether credits are written above or below
    nothing.
    """

    mark: Mark | None = None
    vat_included: bool = False
    credits: Credits = AS_STATED


def put_marks(
    cells: dict[str, Cells], figures: Sequence[str], mark: Mark | None, *, typed: bool
) -> list[Cells]:
    """
    Write plainly the cells of the columns that hold figures; leave all as it is without a mark.

    `typed` says that the file may hold true numbers beside text, as a workbook does. Returns
    lists of a fault a row, null where none.
    """
    names = [name for name in figures if name in cells] if mark else []
    return [_put_mark(cells, name, mark or ".", typed=typed) for name in names]


def take_out_vat(cells: dict[str, Cells], amounts: Amounts) -> list[Cells]:
    """
    Take VAT out of the lines, document by document, where the source's prices hold it.

    A document whose VAT does not divide out to the penny is left as it is, and each of its lines
    gets the fault. Returns lists of a fault a row, null where none.
    """
    return [_take_out_vat(cells)] if amounts.vat_included and _NET in cells else []


def sign_credits(cells: dict[str, Cells], amounts: Amounts) -> list[Cells]:
    """
    Bring credits below nothing, document by document, as the source writes them.

    Returns lists of a fault a row, null where none.
    """
    if amounts.credits == AS_STATED or _NET not in cells:
        return []
    return [_sign_credits(cells, amounts.credits)]


def _put_mark(cells: dict[str, Cells], name: str, mark: Mark, *, typed: bool) -> Cells:
    plain = {cell: plain_figures(cell, mark, typed=typed) for cell in cells[name] if cell}
    said = "comma" if mark == "," else "point"
    faults: Cells = [
        f'"{cell}" in {name} is not written with a decimal {said}, as this source writes'
        if cell and plain[cell] is None
        else None
        for cell in cells[name]
    ]
    cells[name] = [plain[cell] or cell if cell else cell for cell in cells[name]]
    return faults


def _take_out_vat(cells: dict[str, Cells]) -> Cells:
    count = len(cells[_NET])
    faults: Cells = [None] * count
    for rows in _documents(cells):
        told = _net_lines(cells, rows)
        for row in rows:
            if isinstance(told, str):
                faults[row] = told
                continue
            net, rate = told[row]
            cells[_NET][row] = f"{net}"
            if _PRICE in cells:
                cells[_PRICE][row] = _net_price(cells[_PRICE][row], rate)
    return faults


def _net_lines(
    cells: dict[str, Cells], rows: Sequence[int]
) -> dict[int, tuple[Decimal, Decimal]] | str:
    """Return row -> (net, rate) of a document; its fault where the VAT does not divide out."""
    lines: dict[int, tuple[Decimal, Decimal]] = {}
    gross: dict[Decimal, Decimal] = {}
    for row in rows:
        stated = read_amount(cells[_NET][row])
        rate = read_amount((cells.get("vat_pct") or {row: None})[row] or "no rate", per_cent=True)
        if stated is None or cells[_NET][row] is None or rate is None or not _is_rate(rate):
            return "the prices hold VAT, and a line of the document has no plain rate or amount"
        lines[row] = (round_money(stated / (1 + rate / _HUNDRED)), rate)
        gross[rate] = gross.get(rate, Decimal(0)) + stated
    for rate, stated in gross.items():
        net = sum((line for line, own in lines.values() if own == rate), Decimal(0))
        found = net + round_money(net * rate / _HUNDRED)
        if found != stated:
            return (
                f"VAT of {rate.normalize():f} % does not divide out to the penny: the lines come "
                f"to {stated} with it, and to {net} without, which makes {found}"
            )
    return lines


def _is_rate(rate: Decimal) -> bool:
    """Return whether a figure is a rate in per cent; one below 1 is likely a share, and refused."""
    return rate == 0 or 1 <= rate < _HUNDRED


def _net_price(price: str | None, rate: Decimal) -> str | None:
    """Return a pack's price without VAT where it is exact to 0.0001; else nothing."""
    stated = read_amount(price)
    if price is None or stated is None:
        return price
    net = stated / (1 + rate / _HUNDRED)
    exact = net.quantize(Decimal("0.0001"))
    return f"{exact.normalize():f}" if exact * (1 + rate / _HUNDRED) == stated else None


def _sign_credits(cells: dict[str, Cells], credits_are: Credits) -> Cells:
    types = cells.setdefault("document_type", [None] * len(cells[_NET]))
    faults: Cells = [None] * len(types)
    for rows in _documents(cells):
        amounts = [read_amount(cells[_NET][row]) for row in rows]
        total = sum((amount for amount in amounts if amount), Decimal(0))
        known = None not in amounts
        if credits_are == "negative" and known and total < 0:
            for row in rows:
                types[row] = types[row] or "credit"
        is_credit = all((types[row] or "").casefold() == "credit" for row in rows)
        wrong = is_credit and (total > 0) == (credits_are == "negative") and total != 0
        for row in rows:
            if wrong:
                faults[row] = (
                    f"a credit that comes to {total}, where this source's are {credits_are}"
                )
            elif is_credit and credits_are == "positive":
                _turn(cells, row)
    return faults


def _turn(cells: dict[str, Cells], row: int) -> None:
    for name in _SIGNED:
        amount = read_amount(cells[name][row]) if name in cells else None
        if amount is not None and cells[name][row] is not None:
            cells[name][row] = f"{-amount}"


def _documents(cells: dict[str, Cells]) -> list[list[int]]:
    """Return the rows of each document; a row without a number is a document of its own."""
    numbers = cells.get("document_no") or [None] * len(cells[_NET])
    types = cells.get("document_type") or [None] * len(numbers)
    found: dict[object, list[int]] = {}
    for row, (number, kind) in enumerate(zip(numbers, types, strict=True)):
        found.setdefault((number, kind) if number else row, []).append(row)
    return list(found.values())
