"""Every row ends in one outcome, and how receipts fall into batches changes nothing in force."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import polars as pl
import pytest
from hypothesis import given
from hypothesis import settings as run_settings
from hypothesis import strategies as st

from pipelines.checking.judging import FirmLists, JudgedRecord
from schemas.record import Record
from schemas.records import RECORDS
from tests.unit.checking.judged_inbox import Inbox, in_force

JOBS = ["2025-014", "2025-015"]
PLACE = ["receipt_no", "sheet", "row_no", "part_no"]
LISTS = FirmLists(job_types={"garage": ("gar",)}, day_first=True)

TEXTS = [
    *("2025-014", "2025-O14", "2025-015", "resin", "Resin", "drip trim", "mat 450", "nails"),
    *("garage", "gar", "none", "None", " ", "tbc", "#REF!", "1", "2", "2", "12,5", "1,250", "-3"),
    *("£20", "€20", "20 kg", "2 x 20kg", "7 lengths", "250 ml", "99999999999999999999", "3400"),
    *("0.30000000000000004", "2026-03-01", "03/04/2026", "25/04/2026", "04/25/2026", "31/02/2026"),
    *("as quoted", "TEST", "'12", "3.0", "mÂ²", "'=1+1", "9000 mm", "6000", "each"),
    *("46115", "racked", "binned", "credit", "CR", "invoice", "goods", "carriage", "kg", "tins"),
]
LIKELY: dict[str, list[str | None]] = {
    "job_ref": ["2025-014", "2025-O14", "2025-015"],
    "material": ["resin", "Resin", "drip trim", "mat 450"],
    "unit": [None, None, "kg"],
    "job_type": ["garage", "gar"],
    "kind": ["resin", "trim", "mat"],
    "fate": ["racked", "binned"],
    "cause": ["spilt", "rain"],
    "supplier": ["Quay", "quay"],
    "document_no": ["12", "13", "none"],
    "document_type": [None, "credit", "CR"],
    "line_kind": ["goods", "carriage"],
    "description": ["tins", "trims"],
    "entry": [None, "van"],
}
DAYS: list[str | None] = ["2026-03-01", "03/04/2026", "2026-03-02"]
WORDS: list[str | None] = [None, "van"]
FIGURES: list[str | None] = ["1", "2", "20 "]
ALWAYS = {"stock_counts": ["quantity"], "job_materials": ["issued_quantity"]}
NAMES = ["materials", "jobs", "job_materials", "edges", "offcuts", "losses", "purchases", "orders"]
NAMES += ["stock_counts", "prices"]

Files = list[tuple[str, list[dict[str, str | None]]]]


def _likely(record: Record, column: str) -> st.SearchStrategy[str | None]:
    dtype = record.schema.columns[column].dtype.type
    usual = DAYS if dtype == pl.Date else WORDS if dtype == pl.String else FIGURES
    return st.sampled_from(LIKELY.get(column, usual))


@st.composite
def drawn_files(draw: st.DrawFn) -> tuple[str, Files]:
    """Draw files of one record: for each the document's name and its rows, some cells wild."""
    name = draw(st.sampled_from(NAMES))
    record = RECORDS[name]
    others = draw(st.sets(st.sampled_from(sorted(record.columns)), max_size=4))
    columns = sorted({*record.required, *others, *ALWAYS.get(name, [])})
    likely = st.fixed_dictionaries({column: _likely(record, column) for column in columns})
    wild = st.dictionaries(st.sampled_from(columns), st.sampled_from([*TEXTS, None]), max_size=1)
    rows = st.lists(st.builds(lambda row, odd: row | odd, likely, wild), min_size=1, max_size=4)
    documents = st.sampled_from(["quotes", "cards", "account"])
    return name, draw(st.lists(st.tuples(documents, rows), min_size=1, max_size=4))


def hand_in(name: str, files: Files, new_batch: Sequence[bool]) -> Inbox:
    """Return an inbox with files of one record, a new batch after each where it is said."""
    inbox = Inbox(jobs=JOBS) if name != "materials" else Inbox(materials=None)
    for (document, rows), breaks in zip(files, new_batch, strict=False):
        inbox.add(name, rows, document=document)
        if breaks:
            inbox.next_batch()
    return inbox


@given(drawn_files(), st.lists(st.booleans(), min_size=4, max_size=4))
@run_settings(max_examples=40, deadline=None)
def test_every_received_row_ends_in_exactly_one_outcome(
    files: tuple[str, Files], new_batch: list[bool]
) -> None:
    name, handed_in = files
    judged = hand_in(name, handed_in, new_batch).judge(LISTS)[name]

    received = sum(len(rows) for _, rows in handed_in) + (len(JOBS) if name == "jobs" else 0)
    assert judged.outcomes.height == judged.outcomes.select(PLACE).n_unique() == received
    _assert_told_apart(judged)


def _assert_told_apart(judged: JudgedRecord) -> None:
    by_outcome = {
        outcome: judged.outcomes.filter(pl.col("outcome") == outcome).select(PLACE)
        for outcome in ("clean", "repaired", "already held", "rejected")
    }
    accepted = pl.concat([by_outcome["clean"], by_outcome["repaired"]])
    assert sorted(judged.history.select(PLACE).rows()) == sorted(accepted.rows())
    assert set(judged.rejects.select(PLACE).rows()) == set(by_outcome["rejected"].rows())
    assert set(by_outcome["repaired"].rows()) <= set(judged.repairs.select(PLACE).rows())
    assert sum(found.height for found in by_outcome.values()) == judged.outcomes.height
    explained = pl.col("outcome").is_in(["rejected", "already held"])
    assert judged.outcomes.filter(explained)["reason"].null_count() == 0


@dataclass(frozen=True)
class Handed:
    """One file: the version of a document, with rows that no other row contradicts."""

    record: str
    document: str
    rows: tuple[tuple[tuple[str, str], ...], ...]


def _job(ref: str, names: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Return a row of a job whose every value follows from its reference."""
    values = {
        "job_type": "garage",
        "crew": f"van of {ref}",
        "quoted_price_gbp": f"{2000 + int(ref[-1])}",
        "completed_on": f"2026-03-0{ref[-1]}",
    }
    return (("job_ref", ref), *((name, values[name]) for name in names))


def _use(ref: str, issued: str, day: str, estimate: str) -> tuple[tuple[str, str], ...]:
    said = {"issued_quantity": issued, "issued_on": day, "estimated_quantity": estimate}
    row = {"job_ref": ref, "material": "resin", **said}
    return tuple((name, value) for name, value in row.items() if value)


def _document(number: str) -> tuple[tuple[tuple[str, str], ...], ...]:
    """Return the lines of an invoice, which follow from its number."""
    head = {"supplier": "Quay", "document_no": number, "document_on": "2026-03-01"}
    line = {**head, "description": "carriage", "line_kind": "carriage", "line_net_gbp": number}
    return (tuple(line.items()),) * int(number[-1])


refs = st.sampled_from(JOBS)
job_rows = st.builds(
    _job,
    refs,
    st.sets(st.sampled_from(["job_type", "crew", "quoted_price_gbp", "completed_on"])).map(sorted),
)
use_rows = st.builds(
    _use,
    refs,
    st.sampled_from(["20", "15"]),
    st.sampled_from(["2026-03-01", "2026-03-02", ""]),
    st.sampled_from(["50", ""]),
)
documents = st.sampled_from(["quotes", "cards", "account"])
job_files = st.builds(
    Handed, st.just("jobs"), documents, st.lists(job_rows, min_size=1, max_size=3).map(tuple)
)
use_files = st.builds(
    Handed,
    st.just("job_materials"),
    documents,
    st.lists(use_rows, min_size=1, max_size=4).map(tuple),
)
invoice_files = st.builds(
    Handed,
    st.just("purchases"),
    documents,
    st.lists(st.sampled_from(["11", "12", "13"]), min_size=1, max_size=3, unique=True).map(
        lambda numbers: tuple(line for number in numbers for line in _document(number))
    ),
)

SHOWN = {
    "jobs": ("job_ref", "job_type", "crew", "quoted_price_gbp", "completed_on"),
    "job_materials": ("job_ref", "entry", "issued_quantity", "issued_on", "estimated_quantity"),
    "purchases": ("document_no", "line_net_gbp"),
}


def _in_batches(files: Sequence[Handed], breaks: Sequence[bool]) -> Inbox:
    inbox = Inbox(jobs=JOBS)
    for file, new_batch in zip(files, breaks, strict=False):
        inbox.add(file.record, [dict(row) for row in file.rows], document=file.document)
        if new_batch:
            inbox.next_batch()
    return inbox


@pytest.mark.parametrize("kind", [job_files, use_files, invoice_files])
def test_how_receipts_fall_into_batches_changes_nothing_in_force(
    kind: st.SearchStrategy[Handed],
) -> None:
    breaks = st.lists(st.booleans(), min_size=4, max_size=4)

    @given(st.lists(kind, min_size=1, max_size=4), breaks)
    @run_settings(max_examples=25, deadline=None)
    def holds(files: list[Handed], breaks: list[bool]) -> None:
        record = files[0].record
        together = _in_batches(files, [False] * len(files)).judge()[record]
        apart = _in_batches(files, breaks).judge()[record]

        shown = SHOWN[record]
        assert in_force(together, record, *shown) == in_force(apart, record, *shown)
        assert Counter(together.outcomes["outcome"]) == Counter(apart.outcomes["outcome"])

    holds()
