"""Judging all rows received: each kind of record after the ones that it refers to."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import polars as pl

from pipelines.checking.cells import FirmWords, clear_blanks, kept_columns, type_columns
from pipelines.checking.completing import complete
from pipelines.checking.findings import Fault, Findings, Repair
from pipelines.checking.known import FirmLists, Known
from pipelines.checking.places import IN_ORDER, put_in_order
from pipelines.checking.soundness import apply_rules, find_never_filled
from pipelines.checking.taken_back import TakenBack, find_taken_back, refuse_taken_back
from pipelines.checking.told_keys import tell_keys
from pipelines.checking.verdicts import Resolved
from pipelines.checking.versions import ANSWERS, find_twins, resolve
from pipelines.checking.withdrawals import Held, find_withdrawn, refuse_unknown
from pipelines.checking.wordings import name_lines, read_wordings
from pipelines.receiving.row_texts import tell_rows
from schemas.record import Record
from schemas.records import JUDGED_IN_ORDER, RECORDS
from schemas.units import BASE_UNIT_OF_KIND

__all__ = ["FirmLists", "JudgedRecord", "judge"]


@dataclass(frozen=True)
class JudgedRecord:
    """
    One kind of record, judged.

    history: the kept rows in the shape of history.<record>. outcomes: one row a received row with
    `outcome` (clean, repaired, rejected, already held) and `reason`. repairs, rejects: as in
    receipt.repair and receipt.reject. told: one row a received row with the key that it tells,
    none where nothing came in twice and nothing was taken back.
    """

    history: pl.DataFrame
    outcomes: pl.DataFrame
    repairs: pl.DataFrame
    rejects: pl.DataFrame
    told: pl.DataFrame


def judge(received: Mapping[str, pl.DataFrame], lists: FirmLists) -> dict[str, JudgedRecord]:
    """
    Return every kind of record judged; once more where a job or material was taken back whole.

    `received` holds, by record, all its rows of all receipts as text: the record's columns,
    `receipt_no`, `batch_no`, `document`, `file_name`, `sheet`, `row_no`, `part_no`, `date_order`,
    `fault` (the reader's own, or null) and `row_text`; where a mapping changed cells, `mended`;
    where there is a last day that a row can tell of, `latest_on`; and where rows came back mended,
    `answers` (the place of the row that one answers, or null) and `answers_receipt_no`.
    """
    judged, held = _judge_all(received, lists, TakenBack())
    if "withdrawn" not in judged:
        return judged
    withdrawn = find_withdrawn(judged["withdrawn"].history, held)
    told = pl.concat([one.told for one in judged.values()])
    taken = find_taken_back(told, withdrawn)
    return _judge_all(received, lists, taken)[0] if taken else judged


def _judge_all(
    received: Mapping[str, pl.DataFrame], lists: FirmLists, taken: TakenBack
) -> tuple[dict[str, JudgedRecord], Held]:
    known = Known(lists, taken)
    known.is_told_again = "withdrawn" in received or _has_versions(received)
    judged = {}
    for name in JUDGED_IN_ORDER:
        if name not in received:
            continue
        judged[name] = _judge_record(RECORDS[name], received[name], lists, known)
        known.learn(name, judged[name].history)
        known.held.remember(name, judged[name].history, received[name])
        if name == "descriptions":
            known.wordings = read_wordings(judged[name].history, received[name])
    return judged, known.held


def _has_versions(received: Mapping[str, pl.DataFrame]) -> bool:
    """Return whether a document came in more than once: else no key is needed in words."""
    if not received:
        return False
    files = pl.concat(
        [rows.select("document", "receipt_no").unique() for rows in received.values()]
    )
    return bool((files.unique().group_by("document").len()["len"] > 1).any())


def _judge_record(
    record: Record, received: pl.DataFrame, lists: FirmLists, known: Known
) -> JudgedRecord:
    findings = Findings()
    numbered = _with_answers(received).with_row_index("row_id").cast({"row_id": pl.Int64})
    rows = clear_blanks(record, numbered)
    findings.reject(_reader_faults(rows))
    findings.mend(_reader_repairs(rows))
    if record.name == "purchases":
        rows = name_lines(rows, known.wordings, findings)
    words = FirmWords(known.names_for(record, rows), lists.day_first)
    rows = type_columns(record, rows, words, findings)
    rows = complete(record, rows, lists, known.items, findings)
    apply_rules(record, rows, known.items, findings)
    findings.reject(refuse_taken_back(record, rows, known.taken, known.held.histories))
    if record.name == "withdrawn":
        findings.reject(refuse_unknown(rows, known.held))
    anew = _find_anew(record, rows, known.taken)
    resolved = _resolve(record, rows, (find_twins(record, numbered), anew), findings)
    return JudgedRecord(
        _history(record, rows, resolved.kept_rows()),
        _outcomes(record, rows, findings, resolved.already_held),
        _placed(record, rows, findings.repairs().drop("mends")),
        _rejects(record, numbered, rows, findings),
        tell_keys(record, rows, resolved)
        if known.is_told_again
        else tell_keys(record, rows.clear(), Resolved()),
    )


def _rejects(
    record: Record, received: pl.DataFrame, rows: pl.DataFrame, findings: Findings
) -> pl.DataFrame:
    """Return the faults with the row as received, and in the record's own columns as text."""
    dates = [name for name in record.columns if rows.schema[name] == pl.Date]
    names = [name for name in record.columns if name in received.columns]
    is_faulty = pl.col("row_id").is_in(findings.faulty().implode())
    read = rows.filter(is_faulty).select(
        "row_id", *(pl.col(name).cast(pl.String) for name in dates)
    )
    faulty = received.filter(is_faulty)
    faulty = (
        faulty.with_columns(tell_rows(faulty))
        .join(read, on="row_id", suffix="_read", maintain_order="left")
        .with_columns(
            pl.coalesce(f"{name}_read", name).alias(name) for name in set(dates) & {*names}
        )
        .with_columns(pl.struct(names).struct.json_encode().alias("columns_text"))
    )
    return _placed(record, faulty, findings.faults(), "row_text", "columns_text")


def _with_answers(received: pl.DataFrame) -> pl.DataFrame:
    absent = {"answers": pl.String, ANSWERS: pl.Int64, "latest_on": pl.Date, "mended": pl.String}
    return received.with_columns(
        pl.lit(None, dtype).alias(name)
        for name, dtype in absent.items()
        if name not in received.columns
    )


def _reader_faults(rows: pl.DataFrame) -> Iterable[Fault]:
    for row_id, reason in rows.select("row_id", "fault").drop_nulls("fault").iter_rows():
        yield Fault(row_id, None, None, reason, "correct the row and hand it in again")


def _reader_repairs(rows: pl.DataFrame) -> Iterable[Repair]:
    for row_id, told in rows.select("row_id", "mended").drop_nulls("mended").iter_rows():
        yield from (Repair(row_id, *change) for change in json.loads(told))


def _find_anew(record: Record, rows: pl.DataFrame, taken: TakenBack) -> frozenset[int]:
    again = taken.anew.filter(record=record.name)
    return frozenset(rows.join(again, on=IN_ORDER, how="semi")["row_id"])


def _resolve(
    record: Record,
    rows: pl.DataFrame,
    others: tuple[Mapping[int, int], frozenset[int]],
    findings: Findings,
) -> Resolved:
    """
    Resolve sound rows; again without those whose needed columns only rejected rows fill.

    `others`: the twins of rows, and the rows that say something anew, as `resolve` takes them.
    """
    while True:
        sound = rows.filter(~pl.col("row_id").is_in(findings.faulty().implode()))
        resolved = resolve(record, sound, *others)
        held = pl.Series("row_id", list(resolved.already_held), dtype=pl.Int64)
        standing = pl.concat([resolved.kept_rows()["row_id"], held])
        lacking = list(find_never_filled(record, sound, standing))
        if not lacking:
            findings.reject(resolved.faults)
            return resolved
        findings.reject(lacking)


def _history(record: Record, rows: pl.DataFrame, kept: pl.DataFrame) -> pl.DataFrame:
    if kept["row_id"].equals(rows["row_id"]):
        history = rows.with_columns(kept["given_entry"])
    else:
        history = rows.join(kept, on="row_id", maintain_order="left")
    if record.adds_up:
        history = history.with_columns(pl.col("entry").fill_null(pl.col("given_entry")))
    history = put_in_order(history)
    columns = list(kept_columns(record))
    if record.name == "materials":
        base = pl.col("kind").replace_strict(BASE_UNIT_OF_KIND, return_dtype=pl.String)
        return history.with_columns(base.alias("base_unit")).select(*columns, "base_unit")
    return history.select(columns)


def _outcomes(
    record: Record, rows: pl.DataFrame, findings: Findings, held: Mapping[int, str]
) -> pl.DataFrame:
    faults = findings.faults().group_by("row_id").agg(pl.col("reason").first().alias("why"))
    mended = findings.repairs().filter("mends")["row_id"].unique()
    already = pl.DataFrame(
        {"row_id": list(held), "held": list(held.values())},
        schema={"row_id": pl.Int64, "held": pl.String},
    )
    return (
        rows.select("row_id", *IN_ORDER)
        .join(faults, on="row_id", how="left", maintain_order="left")
        .join(already, on="row_id", how="left", maintain_order="left")
        .select(
            *IN_ORDER,
            pl.lit(record.name).alias("record"),
            pl.when(pl.col("why").is_not_null())
            .then(pl.lit("rejected"))
            .when(pl.col("held").is_not_null())
            .then(pl.lit("already held"))
            .when(pl.col("row_id").is_in(mended.implode()))
            .then(pl.lit("repaired"))
            .otherwise(pl.lit("clean"))
            .alias("outcome"),
            pl.coalesce("why", "held").alias("reason"),
        )
    )


def _placed(record: Record, rows: pl.DataFrame, found: pl.DataFrame, *more: str) -> pl.DataFrame:
    columns = [name for name in found.columns if name != "row_id"]
    return (
        found.join(rows.select("row_id", *IN_ORDER, *more), on="row_id", how="left")
        .with_columns(pl.lit(record.name).alias("record"))
        .select(*IN_ORDER, "record", *columns, *more)
    )
