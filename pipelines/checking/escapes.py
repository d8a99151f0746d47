"""Texts that a spreadsheet would take for a formula: marked where written, bared where read."""

from typing import TypeVar

import polars as pl

_BEGINNINGS = r"[=+\-@\t\r]"
_MARK = "'"

Value = TypeVar("Value")


def escape_formula(value: Value) -> Value | str:
    """Return a text with a mark before it where it begins like a formula; other values as given."""
    if isinstance(value, str) and value.startswith(("=", "+", "-", "@", "\t", "\r")):
        return f"{_MARK}{value}"
    return value


def bare_escaped(text: pl.Expr) -> pl.Expr:
    """Return a column of text without the mark that was put before what begins like a formula."""
    return text.str.replace(rf"^{_MARK}({_BEGINNINGS})", "${1}")
