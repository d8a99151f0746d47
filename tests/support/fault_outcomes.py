"""What must come of a case of the catalogue: of its files, of its rows, of all other rows."""

from collections.abc import Mapping, Sequence

import polars as pl

from schemas.records import RECORDS
from tests.support.fault_cases import CaseFile, CaseRow, FaultCase

ACCEPTED = ("clean", "repaired")
TOLD = ("row_outcome", "reject", "repair")

Tables = Mapping[str, pl.DataFrame]


def assert_told(
    file: CaseFile, faults: Sequence[tuple[str, str]], notes: Sequence[str], *, is_read: bool
) -> None:
    """Hold what was said of a file; `faults` are why and what would mend it."""
    said = " ".join(why for why, _ in faults)
    if file.not_read:
        assert not is_read
        assert all(word in said for word in file.not_read), said
        assert all(mend for _, mend in faults)
    else:
        assert not said, said
    assert all(any(word in note for note in notes) for word in file.notes), notes


def assert_row(row: CaseRow, case: FaultCase, tables: Tables) -> None:
    """Hold what becomes of a row, what was said of it, and what it says in the ledger."""
    name = case.files[row.file - 1].name
    found = {table: _of_row(tables, table, name, row.row) for table in TOLD}
    outcomes = found["row_outcome"]
    assert outcomes["outcome"].to_list() == [row.outcome], outcomes
    told = found["reject" if row.outcome == "rejected" else "repair"]
    if row.column:
        told = told.filter(pl.col("column_name") == row.column)
    if row.before is not None:
        told = told.filter(pl.col("value_before") == row.before)
    if row.column:
        assert told.height == 1, found
    words = told["reason" if row.outcome == "rejected" else "rule"]
    said = " ".join([*words, *outcomes["reason"].drop_nulls()])
    assert all(word in said for word in row.says), said
    if row.before is not None:
        assert told["value_after"].to_list() == [row.after]
    if row.outcome in ACCEPTED:
        _assert_becomes(row, name, tables, outcomes["record"][0])


def _of_row(tables: Tables, table: str, name: str, row_no: int) -> pl.DataFrame:
    files = tables["receipt.file"].filter(pl.col("file_name") == name).select("receipt_no")
    found = tables[f"receipt.{table}"].filter(pl.col("row_no") == row_no)
    return found.join(files, on="receipt_no")


def _assert_becomes(row: CaseRow, name: str, tables: Tables, record: str) -> None:
    files = tables["receipt.file"].filter(pl.col("file_name") == name).select("receipt_no")
    history = tables[f"history.{record}"].filter(pl.col("row_no") == row.row)
    (held,) = history.join(files, on="receipt_no").to_dicts()
    says = {name: "" if held[name] is None else str(held[name]) for name in row.becomes}
    assert says == row.becomes


def assert_counts_add_up(tables: Tables) -> None:
    """Hold the rows read of every file against what became of them."""
    files = tables["receipt.file"]
    outcome = (
        pl.col("accepted_count")
        + pl.col("rejected_count")
        + pl.col("already_held_count")
        + pl.col("skipped_count")
    )
    assert files.filter(outcome != pl.col("rows_read_count")).is_empty(), files


def assert_others_stand(tables: Tables, clean: Tables, own_count: int) -> None:
    """Hold the clean files' rows against what they were; no row of the case has a key of theirs."""
    for name in (name for name in clean if name.startswith("history.")):
        history = tables[name]
        assert history.filter(pl.col("receipt_no") <= own_count).equals(clean[name])
        key = list(RECORDS[name.removeprefix("history.")].key)
        keys = history.filter(pl.col("receipt_no") > own_count).select(key)
        assert keys.join(clean[name], on=key, nulls_equal=True, how="semi").is_empty(), keys
