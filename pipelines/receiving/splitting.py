"""Fields that share one cell, parted by patterns whose named groups are our columns."""

from dataclasses import dataclass

import polars as pl

from pipelines.receiving.handed_over import Cells

LONGEST_PATTERN = 500


@dataclass(frozen=True)
class Split:
    """
    How the cells under a heading (folded) are parted.

    The first of `patterns` that fits the whole cell counts; its named groups are columns. A cell
    that none fits is a fault where `must_match`. The patterns are those of the regular
    expressions of Rust, which take time in proportion to the cell whatever they say.
    """

    heading: str
    patterns: tuple[str, ...]
    must_match: bool = True

    @property
    def key(self) -> str:
        """Return the name under which the cells are gathered; no column is named so."""
        return f"split {self.heading}"


def list_groups(pattern: str) -> list[str]:
    """
    Return the names of a pattern's groups, a number for one without a name.

    Raises ValueError, saying why, where it is no pattern.
    """
    try:
        groups = pl.Series([""]).str.extract_groups(_whole(pattern)).struct.fields
    except pl.exceptions.ComputeError as error:
        lines = [line.strip() for line in str(error).splitlines() if line.strip()]
        reason = next((line for line in lines if line.startswith("error:")), lines[0])
        raise ValueError(reason) from error
    return groups if "(" in pattern else []


def match_groups(text: str, pattern: str) -> dict[str, str] | None:
    """Return group -> text where the pattern fits the whole text, in any case; else None."""
    parted = _part(pl.Series([" ".join(text.split())]), f"(?i){pattern}")
    return {name: cell for name, cell in parted[0].items() if cell} if parted[0] else None


def split_cells(cells: dict[str, Cells], split: Split) -> Cells:
    """
    Part the cells gathered for the split into `cells` of our columns, where those are blank.

    Returns a fault in words for each row, null where none.
    """
    shared = cells.pop(split.key)
    texts = pl.Series(shared, dtype=pl.String).str.replace_all(r"\s+", " ").str.strip_chars()
    found: list[dict[str, str | None] | None] = [None] * len(shared)
    for pattern in split.patterns:
        parted = _part(texts, pattern)
        found = [one or other for one, other in zip(found, parted, strict=True)]
    names = [name for pattern in split.patterns for name in list_groups(pattern)]
    for name in dict.fromkeys(names):
        there = cells.get(name) or [None] * len(shared)
        cells[name] = [
            cell if cell is not None else ((parts or {}).get(name) or "").strip() or None
            for cell, parts in zip(there, found, strict=True)
        ]
    return [
        f'"{text}" under "{split.heading}" fits none of the patterns that part it'
        if split.must_match and text and parts is None
        else None
        for text, parts in zip(shared, found, strict=True)
    ]


def _part(texts: pl.Series, pattern: str) -> list[dict[str, str | None] | None]:
    whole = _whole(pattern)
    fits = texts.str.contains(whole).to_list()
    groups = texts.str.extract_groups(whole).to_list()
    return [parts if fit else None for fit, parts in zip(fits, groups, strict=True)]


def _whole(pattern: str) -> str:
    return rf"\A(?:{pattern})\z"
