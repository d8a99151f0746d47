"""Figures as people and programs write them, brought to plain text or an exact amount."""

import re
from decimal import Decimal
from typing import Literal

Mark = Literal[",", "."]
"""What parts pounds from pence."""

_AMOUNT = re.compile(r"[+-]?\d+(?:\.\d*)?|[+-]?\.\d+")
_TOKEN = re.compile(r"\d[\d.,]*\d|\d")
_GROUPED = {
    mark: re.compile(rf"\d{{1,3}}(?:\{other}\d{{3}})+(?:\{mark}\d+)?|\d+(?:\{mark}\d+)?")
    for mark, other in ((",", "."), (".", ","))
}
_TRUE_NUMBER = re.compile(r"\d{1,3}\.\d{3}")


def plain_figures(text: str, mark: Mark, *, typed: bool) -> str | None:
    """
    Return a text with its figures written plainly, None where one is not written with that mark.

    Where the file may hold true numbers, 1.234 beside a decimal comma could be one: it is None.
    """
    parts = []
    at = 0
    for token in _TOKEN.finditer(text):
        unclear = typed and mark == "," and _TRUE_NUMBER.fullmatch(token[0])
        if unclear or not _GROUPED[mark].fullmatch(token[0]):
            return None
        other = "." if mark == "," else ","
        parts += [text[at : token.start()], token[0].replace(other, "").replace(mark, ".")]
        at = token.end()
    return "".join([*parts, text[at:]])


def read_amount(cell: str | None, *, per_cent: bool = False) -> Decimal | None:
    """
    Return the amount that a cell shows, 0 where blank, None where it shows no plain figure.

    Understands a currency sign, thousands commas, and (45.00), 45.00- or 45.00 CR for below zero.
    """
    if cell is None:
        return Decimal(0)
    text = re.sub(r"[\s£€$]|GBP", "", cell, flags=re.IGNORECASE).upper()
    text = text.removesuffix("%") if per_cent else text
    below = text.endswith(("-", "CR")) or (text.startswith("(") and text.endswith(")"))
    text = text.removesuffix("CR").removesuffix("-").strip("()")
    if re.fullmatch(r"[+-]?\d{1,3}(,\d{3})+(\.\d*)?", text):
        text = text.replace(",", "")
    if not _AMOUNT.fullmatch(text):
        return None
    return -Decimal(text) if below else Decimal(text)
