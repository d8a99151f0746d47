"""The firm that a page is about, and how far its figures can be trusted."""

from dataclasses import dataclass, fields
from datetime import date

from reports import words
from reports.page import Frames

READS = ("page.firm", "page.trust")


@dataclass(frozen=True)
class Firm:
    """The one row of `page.firm`."""

    firm: str
    depot: str | None
    as_of: date
    month_end_on: date
    lately_from_on: date
    finished_job_count: int
    lately_job_count: int
    booked_job_count: int
    left_aim_ratio: float | None
    has_issues: bool
    has_edges: bool
    has_counts: bool
    has_labour: bool
    bears_vat: bool
    vat_unknown_count: int

    @property
    def title(self) -> str:
        """Return the firm's name, with its depot where it has one."""
        return f"{self.firm}, {self.depot}" if self.depot else self.firm

    @property
    def month(self) -> str:
        """Return the last full month by name."""
        return words.month_name(self.month_end_on)

    @property
    def lately(self) -> str:
        """Return the months that "lately" stands for."""
        return words.months_from(self.lately_from_on, self.month_end_on)

    @property
    def beside(self) -> tuple[str, ...]:
        """Return the lines beside a page's heading."""
        return (
            words.month(self.month_end_on),
            f"Written {words.day(self.as_of)}",
            "Money ex VAT; what is left bears the VAT you pay"
            if self.bears_vat
            else "All money ex VAT",
        )


def read_firm(frames: Frames) -> Firm:
    """Return the firm of the frames."""
    row = frames["page.firm"].row(0, named=True)
    return Firm(**{field.name: row[field.name] for field in fields(Firm)})


def read_trust(frames: Frames) -> tuple[tuple[bool, str], ...]:
    """Return whether each line is well, and its sentence, in order."""
    lines = frames["page.trust"].sort("order_no", maintain_order=True)
    if lines.is_empty():
        return ((False, "No figures yet: nothing has been handed in that could be summed."),)
    return tuple(lines.select("is_good", "sentence").iter_rows())
