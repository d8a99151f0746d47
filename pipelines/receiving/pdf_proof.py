"""The totals of a PDF, held against its lines to the penny."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fnmatch import fnmatchcase

from pipelines.receiving.handed_over import Unreadable
from pipelines.receiving.labels import fold_label
from pipelines.receiving.pdf_lines import Line
from pipelines.receiving.pdf_rules import PdfRules
from pipelines.receiving.written_figures import Mark, plain_figures, read_amount

_LABELLED = re.compile(
    r"(?P<label>.*?)[\s:]*(?P<amount>[-(]?(?:£|GBP)?\s?[-(]?\d[\d.,]*\)?(?:-|\s?CR)?)",
    re.IGNORECASE,
)
_MEND = "mend the mapping where it misses a line, or type the invoice in"


@dataclass(frozen=True)
class Proof:
    """
    The totals that a paper prints, and the lines that they stand in.

    `charges` are the lines of what is charged beside the goods: line number -> kind and amount;
    `forward` those of what a statement brings forward: line number -> amount.
    """

    total: Decimal
    vat: Decimal
    net: Decimal | None
    row_nos: frozenset[int]
    charges: dict[int, tuple[str, str, Decimal]]
    forward: dict[int, Decimal]

    def check(self, amounts: Sequence[Decimal]) -> None:
        """Raise Unreadable, with both figures, where the amounts of the lines do not prove it."""
        come_to = sum((*amounts, *self.forward.values()), Decimal(0))
        if self.net is not None and come_to != self.net:
            raise Unreadable(
                f"the lines come to {come_to:,.2f}, and the PDF says {self.net:,.2f}", _MEND
            )
        if come_to + self.vat != self.total and not self.vat:
            raise Unreadable(
                f"the lines come to {come_to:,.2f}, and the PDF says {self.total:,.2f}", _MEND
            )
        if come_to + self.vat != self.total:
            raise Unreadable(
                f"the lines come to {come_to:,.2f} and VAT to {self.vat:,.2f}, which makes "
                f"{come_to + self.vat:,.2f}; the PDF says {self.total:,.2f}",
                _MEND,
            )


def find_proof(lines: Sequence[Line], rules: PdfRules, mark: Mark | None) -> Proof:
    """Return the totals of a PDF; Unreadable where one is not there, or stands there twice."""
    labelled = [
        (line.row_no, label, amount)
        for line in lines
        for label, amount in _read_labelled(line.text, mark)
    ]
    total = [found for found in labelled if fnmatchcase(found[1], rules.total)]
    vat = [found for found in labelled if rules.vat and fnmatchcase(found[1], rules.vat)]
    net = [found for found in labelled if rules.net and fnmatchcase(found[1], rules.net)]
    charges = {
        row_no: (kind, label, amount)
        for row_no, label, amount in labelled
        for like, kind in rules.charges.items()
        if fnmatchcase(label, like)
    }
    forward = {
        row_no: amount
        for row_no, label, amount in labelled
        if rules.forward and fnmatchcase(label, rules.forward)
    }
    to_pay = _one(total, rules.total)
    if rules.vat and not vat:
        raise Unreadable(f'no line "{rules.vat}" with an amount stands in the PDF', _MEND)
    return Proof(
        to_pay,
        sum((amount for *_, amount in vat), Decimal(0)),
        _one(net, rules.net) if rules.net else None,
        frozenset(row_no for row_no, *_ in (*total, *vat, *net)),
        charges,
        forward,
    )


def read_figure(cell: str | None, mark: Mark | None) -> Decimal | None:
    """Return the amount in a cell; None where it is blank or shows no plain figure."""
    if cell is None or not any(letter.isdigit() for letter in cell):
        return None
    plain = cell if mark is None else plain_figures(cell, mark, typed=False)
    return None if plain is None else read_amount(plain)


def _read_labelled(text: str, mark: Mark | None) -> Iterator[tuple[str, Decimal]]:
    """Yield the folded label and the amount of a line that ends in one."""
    found = _LABELLED.fullmatch(text)
    amount = read_figure(found["amount"], mark) if found else None
    if found and amount is not None:
        yield fold_label(found["label"]), amount


def _one(found: Sequence[tuple[int, str, Decimal]], label: str) -> Decimal:
    amounts = list(dict.fromkeys(amount for *_, amount in found))
    if not amounts:
        raise Unreadable(f'no line "{label}" with an amount stands in the PDF', _MEND)
    if len(amounts) > 1:
        raise Unreadable(
            f'the line "{label}" stands in the PDF with {amounts[0]:,.2f} and {amounts[1]:,.2f}',
            "hand in one invoice a PDF, or name a label that stands once",
        )
    return amounts[0]
