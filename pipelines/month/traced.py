"""What a trace holds: figures, the rows that they rest on, what these rows were before."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True)
class Mended:
    """A value as received, as kept, and why it could be mended or converted."""

    before: str | None
    after: str | None
    rule: str


@dataclass(frozen=True)
class Older:
    """
    A value that stands no more, and where it was written.

    A newer row replaced it: `replaced_by` is that row's place, `replaced_on` the day on which it
    came in. Or it was taken back: then they are of the withdrawal, and `taken_back` says when, by
    whom and why.
    """

    value: str
    file: str
    sheet: str
    row: int
    replaced_on: date | None = None
    replaced_by: str = ""
    taken_back: str | None = None


@dataclass(frozen=True)
class Source:
    """
    One value that a figure rests on: which column of which record, and where it stands.

    `key` tells the row from others of its job and material. `value` is the value as kept, "none"
    where the row empties the column. A setting has no row, and no sheet.
    """

    record: str
    key: Mapping[str, str]
    column: str
    value: str
    file: str
    sheet: str
    row: int | None
    mended: tuple[Mended, ...] = ()
    replaced: tuple[Older, ...] = ()


@dataclass(frozen=True)
class Figure:
    """
    A figure as the warehouse has it, None where it is not known.

    `how` says in words how it came about; `made_of` names the figures that it is worked out from;
    `rests_on` are the values that it stands on beside those.
    """

    figure: str
    value: Decimal | None
    unit: str
    how: str = ""
    made_of: tuple[str, ...] = ()
    rests_on: tuple[Source, ...] = ()


@dataclass(frozen=True)
class TracedMaterial:
    """A material of the job: its figures, and why it is held back from learning if it is."""

    material: str
    base_unit: str
    figures: tuple[Figure, ...]
    held_back: tuple[str, ...]


@dataclass(frozen=True)
class TracedJob:
    """A job: its own figures, and those of its materials."""

    job_ref: str
    job_type: str
    status: str
    completed_on: date | None
    figures: tuple[Figure, ...]
    materials: tuple[TracedMaterial, ...]
