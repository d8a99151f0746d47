"""What may be named: the firm's own lists, and what the records judged so far have made known."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import polars as pl

from pipelines.checking.items import read_items
from pipelines.checking.names import Names
from pipelines.checking.places import IN_ORDER, put_in_order
from pipelines.checking.taken_back import TakenBack
from pipelines.checking.withdrawals import Held
from pipelines.checking.wordings import Wordings
from pipelines.quantities import Item
from schemas.record import Record

ALL_JOB_TYPES = "all"


@dataclass(frozen=True)
class FirmLists:
    """What the firm's settings say that judging needs; an empty list means: not set, any word."""

    job_types: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    lay_ups: tuple[str, ...] = ()
    crews: tuple[str, ...] = ()
    day_first: bool | None = None
    yard: str = "yard"


class Known:
    """The items, jobs and suppliers of the records judged so far, and the firm's lists."""

    def __init__(self, lists: FirmLists, taken: TakenBack) -> None:
        """Know the firm's lists and what was taken back, and nothing else yet."""
        self.taken = taken
        self.is_told_again = True
        self.items: Mapping[str, Item] = {}
        self.wordings: Wordings = {}
        self.held = Held()
        self._jobs: list[str] = []
        self._suppliers: list[str] = []
        self._lists = lists

    def learn(self, record: str, history: pl.DataFrame) -> None:
        """Make the kept rows of `record` known to the records that come after it."""
        if record == "materials":
            self.items = read_items(history)
        elif record == "jobs":
            self._jobs = history["job_ref"].unique(maintain_order=True).to_list()
        if "supplier" in history.columns and record != "descriptions":
            self._suppliers.extend(history["supplier"].unique(maintain_order=True).to_list())

    def names_for(self, record: Record, rows: pl.DataFrame) -> dict[str, Names]:
        """
        Return the names that each column of `record` may hold, by column.

        `rows` are the record's rows as text: a list of jobs, materials or suppliers is read
        against itself, so that another spelling of a name is the same name.
        """
        names = self._listed(record)
        if "job_ref" in record.references or record.name == "jobs":
            jobs = _own(rows, "job_ref") if record.name == "jobs" else self._jobs
            names["job_ref"] = Names(jobs, "job", references=True, first_stands=True)
        own = record.name == "materials"
        if "material" in record.references or own:
            materials = _own(rows, "material") if own else self.items
            names["material"] = Names(materials, "material", first_stands=own)
            names["corner_piece"] = names["material"]
        if "supplier" in record.columns:
            suppliers = [*self._suppliers, *_own(rows, "supplier")]
            names["supplier"] = Names(suppliers, "supplier", open_list=True, first_stands=True)
        return names

    def _listed(self, record: Record) -> dict[str, Names]:
        names = {}
        if self._lists.job_types:
            more = (ALL_JOB_TYPES,) if record.name == "decisions" else ()
            known = (*self._lists.job_types, *more)
            names["job_type"] = Names(known, "job type", other_words=self._lists.job_types)
        if self._lists.lay_ups:
            names["lay_up"] = Names(self._lists.lay_ups, "lay-up")
        if self._lists.crews:
            names["crew"] = Names(self._lists.crews, "crew")
        return names


def _own(rows: pl.DataFrame, name: str) -> Iterable[str]:
    ordered = put_in_order(rows.select(*IN_ORDER, name))
    return ordered[name].drop_nulls().unique(maintain_order=True)
