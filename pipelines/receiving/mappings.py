"""How other people's headings and layouts are brought to our columns."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from typing import Literal

from pipelines.receiving.amounts import Amounts
from pipelines.receiving.described import Described
from pipelines.receiving.handed_over import Unreadable, fold
from pipelines.receiving.labels import Label
from pipelines.receiving.pdf_rules import PdfRules
from pipelines.receiving.splitting import Split

Kind = Literal["table", "wide", "form", "invoice", "pdf"]
Texts = Mapping[str, str]


@dataclass(frozen=True)
class Totals:
    """Rows that sum others: `where` heading -> pattern of the cell; `sums` headings to check."""

    where: Texts
    sums: tuple[str, ...]


@dataclass(frozen=True)
class Skip:
    """
    Rows that say nothing to book: `where` as in Totals, and why, in words.

    `begins` says that such a row may be the first of those that share its repeated cells.
    """

    where: Texts
    why: str
    begins: bool = False


@dataclass(frozen=True)
class Part:
    """
    One record taken from a row, or from a form; headings are folded.

    `keys` are shared by the row and make no record alone; a filled one of `cells` makes it.
    `list_heading` names the cell that holds several values. In a form a record stands under a
    small heading of its own (`header`, as written), down to a blank row or one whose first cell
    fits `ends_at`; or, without a heading, in the cells that its `labels` name.
    """

    record: str
    cells: Texts
    keys: Texts = field(default_factory=dict)
    constants: Texts = field(default_factory=dict)
    list_heading: str | None = None
    splits: tuple[Split, ...] = ()
    labels: tuple[Label, ...] = ()
    header: tuple[str, ...] = ()
    ends_at: str | None = None

    @property
    def columns(self) -> Texts:
        """Return heading -> our column, keys and cells together."""
        return {**self.keys, **self.cells}


@dataclass(frozen=True)
class SourceMapping:
    """
    One source's layout.

    `header` and `required` keep the headings as written; `words` is our column -> their word
    (folded) -> ours. `shared` are labels whose cells go into every record: above a table, or in a
    form. `several` tables may stand on a sheet, each with its heading; one ends at a blank row
    where `ends_at_blank_row`. `repeats` are headings (folded) whose cell stands once, in the first
    of the rows that share it. The patterns of file and tab name have groups named as columns.
    `pdf` stands in a mapping for PDFs alone.
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
    described: Described = field(default_factory=lambda: Described({}))
    totals: Totals | None = None
    skips: tuple[Skip, ...] = ()
    amounts: Amounts = field(default_factory=Amounts)
    shared: tuple[Label, ...] = ()
    several: bool = False
    ends_at_blank_row: bool = False
    repeats: tuple[str, ...] = ()
    file_name: str | None = None
    tab_name: str | None = None
    pdf: PdfRules | None = None

    @property
    def headings(self) -> frozenset[str]:
        """Return every heading and label that the mapping names, folded."""
        blocks = (heading for part in self.parts for heading in part.header)
        named = {fold(heading) for heading in (*self.header, *self.required, *blocks)}
        return frozenset(named.union(self.taken, self.label_texts))

    @property
    def label_texts(self) -> frozenset[str]:
        """Return the labels that the mapping names, folded."""
        labels = (*self.shared, *(label for part in self.parts for label in part.labels))
        return frozenset(label.text for label in labels)

    @property
    def taken(self) -> frozenset[str]:
        """Return the headings whose cells go into a record or a check, folded."""
        checked = (*self.totals.where, *self.totals.sums) if self.totals else ()
        skipped = (heading for skip in self.skips for heading in skip.where)
        split = (split.heading for part in self.parts for split in part.splits)
        columns = (part.columns for part in self.parts)
        return frozenset((*checked, *skipped, *split)).union(*columns)

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
