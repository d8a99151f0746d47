"""What a line's description says of it: by its whole wording, or by a pattern."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase

from pipelines.receiving.handed_over import Cells, fold

Texts = Mapping[str, str]
GOODS = "goods"


@dataclass(frozen=True)
class Pattern:
    """A description's pattern (folded, with * and ?) and what it fills: our column -> value."""

    like: str
    fills: Texts


@dataclass(frozen=True)
class Described:
    """What the wordings say: `exact` by folded description, and `patterns` where none is exact."""

    exact: Mapping[str, Texts]
    patterns: Sequence[Pattern] = ()

    @property
    def columns(self) -> list[str]:
        """Return the columns that some wording fills, each once."""
        told = [*self.exact.values(), *(pattern.fills for pattern in self.patterns)]
        return list(dict.fromkeys(name for fills in told for name in fills))

    def tell(self, description: str) -> tuple[Texts, str | None]:
        """Return what a description fills, and the fault where two patterns differ."""
        folded = fold(description)
        if folded in self.exact:
            return self.exact[folded], None
        fills: dict[str, str] = {}
        by: dict[str, Pattern] = {}
        for pattern in self.patterns:
            if not fnmatchcase(folded, pattern.like):
                continue
            for name, value in pattern.fills.items():
                if fills.setdefault(name, value) != value:
                    return {}, _differ(description, by[name], pattern)
                by.setdefault(name, pattern)
        if "material" in fills and fills.get("line_kind", GOODS) != GOODS:
            return {}, _differ(description, by["material"], by["line_kind"])
        return fills, None


def fill_from_descriptions(cells: dict[str, Cells], described: Described) -> Cells:
    """Fill blank cells by each row's description; return each row's fault in words, or null."""
    texts = cells.get("description")
    columns = described.columns
    if texts is None or not columns:
        return []
    told = {text: described.tell(text) for text in texts if text is not None}
    for name in columns:
        fills = [told[text][0].get(name) if text is not None else None for text in texts]
        fill_blanks(cells, name, fills)
    return [told[text][1] if text is not None else None for text in texts]


def fill_blanks(cells: dict[str, Cells], name: str, fills: Sequence[str | None]) -> None:
    """Put the fills where the column's cells are blank."""
    there = cells.get(name) or [None] * len(fills)
    cells[name] = [fill if cell is None else cell for cell, fill in zip(there, fills, strict=True)]


def _differ(description: str, one: Pattern, other: Pattern) -> str:
    return (
        f'the description "{description}" fits "{one.like}" and "{other.like}", '
        "which say different things of it"
    )
