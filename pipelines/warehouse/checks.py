"""Checks on the figures: SELECTs of sql/checks, each of whose rows is a fault in words."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import polars as pl

from pipelines.errors import StoppedError
from pipelines.warehouse.connection import Connection, in_words, open_in_memory
from pipelines.warehouse.selects import read_select
from schemas.frames import shape_of

_HEADER = re.compile(r"^-- (?P<says>.+)$")
_SEVERITY = re.compile(r"^-- Severity:\s+(stop|warn)$", re.MULTILINE)


@dataclass(frozen=True)
class Check:
    """One check: what it looks for, whether a fault stops the run, and where it looks."""

    name: str
    says: str
    severity: str
    select: str
    reads: frozenset[str]


@cache
def checks() -> Mapping[str, Check]:
    """
    Give every check of sql/checks by name.

    Raises:
        StoppedError: a file that is no plain SELECT or does not say its severity.

    """
    with open_in_memory() as parser:
        return {
            name: _read_check(name, text, read_select(parser, f"checks.{name}", text))
            for name, text in _files().items()
        }


def run_checks(connection: Connection) -> pl.DataFrame:
    """
    Run every check over the warehouse.

    Returns:
        One row per check, by name, shaped as `result.check_outcome`: fault_count, and the first
        fault in words.

    Raises:
        StoppedError: a check that stops found a fault; the message names the check and the fault.

    """
    outcomes = [_run(connection, check) for check in checks().values()]
    for outcome in outcomes:
        if outcome["severity"] == "stop" and outcome["fault_count"]:
            says = checks()[str(outcome["check_name"])].says
            raise StoppedError(
                f"the figures do not hold together. {says} {outcome['fault']}. "
                "What was published before stands."
            )
    return pl.DataFrame(outcomes, schema=shape_of("result.check_outcome"))


def _run(connection: Connection, check: Check) -> dict[str, str | int | None]:
    with in_words(f"checking {check.name}"):
        faults = connection.sql(check.select).pl()["fault"].to_list()
    return {
        "check_name": check.name,
        "severity": check.severity,
        "fault_count": len(faults),
        "fault": _sum_up(faults),
    }


def _sum_up(faults: list[str]) -> str | None:
    if not faults:
        return None
    more = len(faults) - 1
    return f"{faults[0]} (and {more} more)" if more else faults[0]


def _read_check(name: str, text: str, reads: frozenset[str]) -> Check:
    says, severity = _HEADER.match(text.splitlines()[0]), _SEVERITY.search(text)
    if not says or not severity:
        raise StoppedError(f"checks.{name}: the header must say what it finds, and its Severity")
    return Check(name, says["says"], severity[1], text, reads)


def _files() -> dict[str, str]:
    found = {
        file.name.removesuffix(".sql"): file.read_text(encoding="utf-8")
        for file in (files("sql") / "checks").iterdir()
        if file.name.endswith(".sql")
    }
    return dict(sorted(found.items()))
