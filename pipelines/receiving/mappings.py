"""How other people's headings and layouts are brought to our columns."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from typing import Literal

from pipelines.receiving.handed_over import Unreadable, fold

Kind = Literal["table", "wide"]
Texts = Mapping[str, str]


@dataclass(frozen=True)
class Totals:
    """Rows that sum others: `where` heading -> pattern of the cell; `sums` headings to check."""

    where: Texts
    sums: tuple[str, ...]


@dataclass(frozen=True)
class Part:
    """
    One record taken from a row; headings are folded.

    `keys` are shared by the row and make no record alone; a filled one of `cells` makes it.
    `list_heading` names the cell that holds several values.
    """

    record: str
    cells: Texts
    keys: Texts = field(default_factory=dict)
    constants: Texts = field(default_factory=dict)
    list_heading: str | None = None

    @property
    def columns(self) -> Texts:
        """Return heading -> our column, keys and cells together."""
        return {**self.keys, **self.cells}


@dataclass(frozen=True)
class SourceMapping:
    """
    One source's layout.

    `header` and `required` keep the headings as written; `words` is our column -> their word
    (folded) -> ours; `descriptions` is a folded description -> our column -> value.
    """

    name: str
    files: tuple[str, ...]
    kind: Kind
    header: tuple[str, ...]
    required: tuple[str, ...]
    parts: tuple[Part, ...]
    sheets: tuple[str, ...] = ("*",)
    date_order: str | None = None
    document: str | None = None
    words: Mapping[str, Texts] = field(default_factory=dict)
    descriptions: Mapping[str, Texts] = field(default_factory=dict)
    totals: Totals | None = None

    @property
    def headings(self) -> frozenset[str]:
        """Return every heading that the mapping names, folded."""
        named = {fold(heading) for heading in (*self.header, *self.required)}
        return frozenset(named.union(self.taken))

    @property
    def taken(self) -> frozenset[str]:
        """Return the headings whose cells go into a record or a check, folded."""
        checked = (*self.totals.where, *self.totals.sums) if self.totals else ()
        return frozenset(checked).union(*(part.columns for part in self.parts))

    def reads_sheet(self, sheet: str) -> bool:
        """Return whether the mapping is for a sheet of this name."""
        return any(_matches(sheet, pattern) for pattern in self.sheets)


def fit_mapping(file_name: str, mappings: Sequence[SourceMapping]) -> SourceMapping | None:
    """Return the mapping for a file's name, None where none fits; Unreadable where two fit."""
    fitting = [m for m in mappings if any(_matches(file_name, p) for p in m.files)]
    if len(fitting) > 1:
        names = " and ".join(f'"{mapping.name}"' for mapping in fitting)
        raise Unreadable(
            f"the mappings {names} both fit this file's name",
            "narrow their files patterns so that one fits",
        )
    return fitting[0] if fitting else None


def _matches(name: str, pattern: str) -> bool:
    return fnmatchcase(name.casefold(), pattern.casefold())
