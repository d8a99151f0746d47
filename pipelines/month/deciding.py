"""A decision on an allowance, written into the inbox as the record that the next run takes in."""

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import polars as pl

from pipelines.checking.escapes import escape_formula
from pipelines.checking.known import ALL_JOB_TYPES
from pipelines.checking.rules import find_faults
from pipelines.errors import DecisionError
from pipelines.month.folder import open_folder
from pipelines.warehouse.connection import Connection, open_for_reading
from pipelines.warehouse.tables import fetch
from schemas.columns import COLUMNS
from schemas.records import RECORDS

_RECORD = RECORDS["decisions"]
_FIGURES = ("fixed_loss", "price_ratio", "load_ratio")
_BASE_FIGURES = ("blend_ratio", "piece_shift")
_TAKEN_FROM = {"accept": "suggested", "keep": "in_force"}


@dataclass(frozen=True)
class Asked:
    """What is to be decided; `figures` are fixed loss, price ratio, load ratio, None if blank."""

    material: str
    job_type: str
    decision: str
    figures: tuple[Decimal | None, Decimal | None, Decimal | None]
    by: str | None = None
    reason: str | None = None


@dataclass(frozen=True)
class Decided:
    """What was written, and where; the figures as the decision keeps them."""

    path: Path
    material: str
    job_type: str
    decided_on: date
    decision: str
    base_unit: str
    fixed_loss: Decimal
    price_ratio: Decimal
    load_ratio: Decimal


def write_decision(root: Path, asked: Asked) -> Decided:
    """
    Write a decision into the inbox of the firm's folder `root`, as a CSV file of its own.

    It stands from the day of the published run. An accept takes the figures suggested there, a
    keep those in force, a set its own three.

    Raises:
        DecisionError: a name that is not known, a figure too many, too few or out of bounds, or
            nothing to accept or keep.

    """
    folder = open_folder(root)
    with open_for_reading(folder.warehouse) as published:
        base_unit = _find_unit(published, asked)
        figures = _find_figures(published, asked)
        decided_on = fetch(published, "run.run", ["as_of"])["as_of"][0]
    row = {
        "material": asked.material,
        "job_type": asked.job_type,
        "decided_on": decided_on,
        "decision": asked.decision,
        **figures,
        "decided_by": asked.by,
        "reason": asked.reason,
    }
    _refuse_unsound(row)
    folder.inbox.mkdir(exist_ok=True)
    path = _write_new(folder.inbox, row)
    names = (asked.material, asked.job_type, decided_on, asked.decision)
    taken = (figures[name] or Decimal(0) for name in _FIGURES)
    return Decided(path, *names, base_unit, *taken)


def _find_unit(published: Connection, asked: Asked) -> str:
    items = fetch(published, "ledger.materials", ["material", "base_unit"])
    units = dict(items.iter_rows())
    job_types = fetch(published, "setting.job_type", ["job_type"])["job_type"].to_list()
    _refuse_unknown("material", asked.material, sorted(units))
    _refuse_unknown("job type", asked.job_type, [*job_types, ALL_JOB_TYPES])
    _refuse_unknown("decision", asked.decision, [*_TAKEN_FROM, "set"])
    return str(units[asked.material])


def _refuse_unknown(what: str, name: str, known: Sequence[str]) -> None:
    if name not in known:
        raise DecisionError(f'"{name}" is no {what} on record; known are: {", ".join(known)}')


def _find_figures(published: Connection, asked: Asked) -> dict[str, Decimal | None]:
    taken = _TAKEN_FROM.get(asked.decision)
    typed = dict(zip(_FIGURES, asked.figures, strict=True))
    if taken is None:
        return {name: _exact(name, value) for name, value in typed.items()}
    if any(value is not None for value in typed.values()):
        raise DecisionError(
            f"{asked.decision} takes its figures by itself: leave out --fixed, --price and --load, "
            "or say set"
        )
    row = fetch(published, "page.decision").filter(
        pl.col("material") == asked.material, pl.col("job_type") == asked.job_type
    )
    if row.is_empty() or row[f"{taken}_price_ratio"][0] is None:
        raise DecisionError(_nothing_to_take(asked))
    found = {name: row[f"{taken}_{name}"][0] for name in (*_FIGURES, *_BASE_FIGURES)}
    return {
        name: None if value is None else _as_decimal(name, value) for name, value in found.items()
    }


def _nothing_to_take(asked: Asked) -> str:
    what = "suggested" if asked.decision == "accept" else "in force"
    if asked.job_type == ALL_JOB_TYPES:
        return f"figures {what} differ by job type: {asked.decision} one type at a time, or say set"
    return (
        f"nothing is {what} for {asked.material} on {asked.job_type}: "
        "say set with --fixed, --price and --load"
    )


def _exact(name: str, value: Decimal | None) -> Decimal:
    if value is None:
        raise DecisionError("set needs all three: --fixed, --price and --load")
    kept = round(value, _digits(name))
    if kept != value:
        raise DecisionError(f"{name} {value} has more than {_digits(name)} decimals")
    return value


def _as_decimal(name: str, value: float) -> Decimal:
    """Return a figure of the warehouse at the decimals that a decision keeps, no zeros behind."""
    plain = f"{value + 0.0:.{_digits(name)}f}"
    return Decimal(plain.rstrip("0").rstrip("."))


def _digits(name: str) -> int:
    return int(COLUMNS[name]["dtype"].scale)


def _refuse_unsound(row: dict[str, Any]) -> None:
    schema = {name: COLUMNS[name]["dtype"] for name in _RECORD.schema.columns}
    typed = pl.DataFrame([row], schema=schema).with_columns(row_id=pl.lit(0, pl.Int64))
    for fault in find_faults(_RECORD.schema, typed).iter_rows(named=True):
        raise DecisionError(f"{fault['column_name']} {fault['value']} {fault['reason']}")


def _write_new(inbox: Path, row: dict[str, Any]) -> Path:
    """Write beside whatever stands: a numbered name is the later version of the same document."""
    named = f"decisions {row['material']} {row['job_type']} {row['decided_on']}"
    stem = re.sub(r"[^\w .-]+", "-", named)
    number = 1
    while True:
        path = inbox / (f"{stem}.csv" if number == 1 else f"{stem} ({number}).csv")
        try:
            with path.open("x", encoding="utf-8", newline="") as file:
                writer = csv.DictWriter(file, list(row), lineterminator="\n")
                writer.writeheader()
                writer.writerow({name: escape_formula(value) for name, value in row.items()})
        except FileExistsError:
            number += 1
        else:
            return path
