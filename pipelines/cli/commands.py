"""One function a command: call, print, exit code."""

import argparse
import json
import sys
from collections.abc import Callable, Mapping
from dataclasses import asdict
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from pipelines.cli.terminal import Terminal
from pipelines.errors import (
    COLUMN_MISSING,
    CONTRADICTED,
    FILE_OF_ANOTHER_KIND,
    FILES_NOT_READ,
    NOTHING_TO_SHOW,
    FolderError,
)
from pipelines.month.allowances_shown import read_allowances
from pipelines.month.deciding import Asked, write_decision
from pipelines.month.demonstration import prepare_demonstration
from pipelines.month.drafting import write_draft
from pipelines.month.estimating_roof import estimate_roof
from pipelines.month.foretelling import foretell
from pipelines.month.new_firm import make_folder
from pipelines.month.run import run_month
from pipelines.month.summary import RunSummary
from pipelines.month.tracing import trace_job

DONE = 0
_FAULT_CODES = {
    "unreadable": FILES_NOT_READ,
    "another kind": FILE_OF_ANOTHER_KIND,
    "to type in": FILE_OF_ANOTHER_KIND,
    "column missing": COLUMN_MISSING,
}


def _run(arguments: argparse.Namespace) -> int:
    if arguments.orchestrated:
        from pipelines.flows.month import run_month_orchestrated  # noqa: PLC0415 - rarely wanted

        summary = run_month_orchestrated(arguments.folder, arguments.as_of)
        return _tell_run(Terminal(quiet=arguments.json), summary, arguments)
    return _finish_run(arguments)


def _demo(arguments: argparse.Namespace) -> int:
    prepare_demonstration(arguments.folder)
    _finish_run(arguments)
    return DONE


def _finish_run(arguments: argparse.Namespace) -> int:
    terminal = Terminal(quiet=arguments.json)
    with terminal.working() as progress:
        summary = run_month(arguments.folder, getattr(arguments, "as_of", None), progress)
    return _tell_run(terminal, summary, arguments)


def _tell_run(terminal: Terminal, summary: RunSummary, arguments: argparse.Namespace) -> int:
    if arguments.json:
        _print_json(asdict(summary))
    else:
        terminal.tell_run(summary, arguments.folder)
    return _run_code(summary)


def _run_code(summary: RunSummary) -> int:
    if summary.not_read:
        return min(_FAULT_CODES[note.sort] for note in summary.not_read)
    if summary.contradicted:
        return CONTRADICTED
    return NOTHING_TO_SHOW if summary.is_empty else DONE


def _new(arguments: argparse.Namespace) -> int:
    made = make_folder(arguments.new_folder, arguments.firm)
    if arguments.json:
        _print_json({"folder": made.root, "next": made.next_steps})
    else:
        Terminal().tell_new(made)
    return DONE


def _check(arguments: argparse.Namespace) -> int:
    if arguments.draft:
        return _draft(arguments)
    told = foretell(arguments.files, arguments.folder)
    if arguments.json:
        _print_json([asdict(file) for file in told])
    else:
        Terminal().tell_check(told)
    return FILES_NOT_READ if any(file.message for file in told) else DONE


def _draft(arguments: argparse.Namespace) -> int:
    if len(arguments.files) > 1:
        raise FolderError("--draft takes one file: a draft is made of one layout")
    write_draft(arguments.files[0], arguments.folder, arguments.draft)
    if arguments.json:
        _print_json({"draft": arguments.draft})
    else:
        Terminal().tell_draft(arguments.draft)
    return DONE


def _allowances(arguments: argparse.Namespace) -> int:
    if arguments.decide:
        return _decide(arguments)
    rows = read_allowances(arguments.folder, arguments.material)
    if arguments.json:
        _print_json(rows.to_dicts())
    else:
        Terminal().tell_allowances(rows)
    return DONE if rows.height else NOTHING_TO_SHOW


def _decide(arguments: argparse.Namespace) -> int:
    figures = (arguments.fixed, arguments.price, arguments.load)
    material, job_type, decision = arguments.decide
    asked = Asked(material, job_type, decision, figures, arguments.by, arguments.reason)
    decided = write_decision(arguments.folder, asked)
    if arguments.json:
        _print_json(asdict(decided))
    else:
        Terminal().tell_decided(decided)
    return DONE


def _estimate(arguments: argparse.Namespace) -> int:
    terminal = Terminal(quiet=arguments.json)
    with terminal.working() as progress:
        told = estimate_roof(
            arguments.folder,
            arguments.roof,
            arguments.as_of,
            with_suggested=arguments.with_suggested,
            progress=progress,
        )
    if arguments.json:
        _print_json(asdict(told))
    else:
        terminal.tell_estimate(told)
    return DONE


def _trace(arguments: argparse.Namespace) -> int:
    traced = trace_job(arguments.folder, arguments.job, arguments.material)
    if arguments.json:
        _print_json(asdict(traced))
    else:
        Terminal().tell_trace(traced)
    return DONE


def _print_json(value: Any) -> None:  # noqa: ANN401 - whatever JSON can say
    sys.stdout.write(json.dumps(value, indent=2, ensure_ascii=False, default=_as_json) + "\n")


def _as_json(value: object) -> str:
    if isinstance(value, (Decimal, Path)):
        return str(value)
    if isinstance(value, (date, datetime)):
        return value.isoformat()
    raise TypeError(f"{type(value)} has no JSON form")


COMMANDS: Mapping[str, Callable[[argparse.Namespace], int]] = {
    "run": _run,
    "demo": _demo,
    "new": _new,
    "check": _check,
    "allowances": _allowances,
    "trace": _trace,
    "estimate": _estimate,
}
