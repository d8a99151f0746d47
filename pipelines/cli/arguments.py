"""What can be typed, with an example for each command."""

import argparse
from datetime import date
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING

_EXIT_CODES = """exit codes:
  0  done
  3  done, but a file could not be read; the others were taken in
  4  nothing to show yet, or the inbox is empty
  5  done, but two files contradict each other
  6  as 3, for a file of another kind     7  as 3, for a column that is missing
 11  a setting is unknown or wrong        12  a mapping is wrong
 13  no firm's folder, or not writable    14  another run is at work
 15  a check on the figures failed        16  a quantity cannot be converted
 17  a decision cannot be taken as typed
 18  a roof cannot be estimated as written
"""


if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]  # noqa: SLF001 - its only name


def build_parser() -> argparse.ArgumentParser:
    """Return the parser of every command."""
    parser = argparse.ArgumentParser(
        prog="roofyield",
        description="What was allowed for material, beside what was used.",
        epilog=_EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    added = (
        _add_run, _add_demo, _add_new, _add_check, _add_allowances, _add_trace, _add_estimate,
    )  # fmt: skip
    for add in added:
        add(commands)
    return parser


def _add_run(commands: "Commands") -> None:
    run = _add(
        commands,
        "run",
        "do everything that is due: take in the inbox, work out, draw the pages",
        "roofyield run --folder our-firm",
    )
    run.add_argument(
        "--orchestrated",
        action="store_true",
        help="as a flow that keeps a history of runs; slower to start",
    )
    _add_as_of(run, "the day that the run stands for")


def _add_as_of(command: argparse.ArgumentParser, says: str) -> None:
    command.add_argument(
        "--as-of",
        type=date.fromisoformat,
        metavar="DATE",
        help=f"{says}, as 2026-06-01; the settings' own, else today, if not said",
    )


def _add_demo(commands: "Commands") -> None:
    _add(
        commands,
        "demo",
        "an invented firm's two years, from received files to pages, in a folder of its own",
        "roofyield demo --folder demo",
        folder="demo",
    )


def _add_new(commands: "Commands") -> None:
    new = _add(
        commands,
        "new",
        "an empty firm's folder with blank workbooks, settings and a starter to double-click",
        "roofyield new our-firm",
        folder=None,
    )
    new.add_argument("new_folder", type=Path, metavar="FOLDER", help="the folder to make")
    new.add_argument("--firm", default="", metavar="NAME", help="the firm's name")


def _add_check(commands: "Commands") -> None:
    check = _add(
        commands,
        "check",
        "what would become of these files; writes nothing but a draft asked for",
        "roofyield check 'jobs 2026-05.xlsx' --folder our-firm",
    )
    check.add_argument("files", type=Path, nargs="+", metavar="FILE", help="files to look at")
    check.add_argument(
        "--draft",
        type=Path,
        metavar="PATH",
        help="write a draft of a mapping for the file there, to finish; never over another file",
    )


def _add_allowances(commands: "Commands") -> None:
    allowances = _add(
        commands,
        "allowances",
        "what you allow beside what your jobs suggest, each with its reason; decide on it",
        "roofyield allowances --decide resin garage accept --by Sam",
    )
    allowances.add_argument("--material", metavar="NAME", help="only this material")
    allowances.add_argument(
        "--decide",
        nargs=3,
        metavar=("MATERIAL", "JOB_TYPE", "DECISION"),
        help="write a decision into the inbox: accept what is suggested, keep what is in force, "
        "or set your own three figures; the next run brings it into force",
    )
    for name, says in (
        ("--fixed", "with set: lost on any job, in the material's base unit"),
        ("--price", "with set: charged on top of what the roof needs, over it, as 0.12"),
        ("--load", "with set: loaded on top of it, the price's share included, as 0.20"),
    ):
        allowances.add_argument(name, type=_figure, metavar="FIGURE", help=says)
    allowances.add_argument("--by", metavar="NAME", help="who decided")
    allowances.add_argument("--reason", metavar="WORDS", help="why")


def _figure(text: str) -> Decimal:
    try:
        value = Decimal(text)
    except InvalidOperation:
        value = Decimal("nan")
    if not value.is_finite():
        raise argparse.ArgumentTypeError(f"{text!r} is no figure; write it as 0.12")
    return value


def _add_trace(commands: "Commands") -> None:
    trace = _add(
        commands,
        "trace",
        "every figure of a job back to file, sheet and row, and what these rows replaced",
        "roofyield trace 2025-014 resin --folder our-firm",
    )
    trace.add_argument("job", metavar="JOB", help="the job's reference")
    trace.add_argument("material", metavar="MATERIAL", nargs="?", help="only this material")


def _add_estimate(commands: "Commands") -> None:
    estimate = _add(
        commands,
        "estimate",
        "what a roof needs, what to charge and to load, packs and cost; writes nothing",
        "roofyield estimate roof.toml --folder our-firm",
    )
    estimate.add_argument(
        "roof", type=Path, metavar="ROOF", help="a roof as TOML, or as rows of jobs and edges"
    )
    estimate.add_argument(
        "--with-suggested",
        action="store_true",
        help="what your jobs suggest beside what is in force",
    )
    _add_as_of(estimate, "the day whose prices and allowances stand")


def _add(
    commands: "Commands",
    name: str,
    says: str,
    example: str,
    *,
    folder: str | None = ".",
) -> argparse.ArgumentParser:
    parser = commands.add_parser(
        name,
        help=says,
        description=f"{says[0].upper()}{says[1:]}.",
        epilog=f"example: {example}",
    )
    if folder is not None:
        parser.add_argument(
            "--folder",
            type=Path,
            default=Path(folder),
            help=f"the firm's folder; {'this one' if folder == '.' else folder} if not said",
        )
    parser.add_argument("--json", action="store_true", help="print the answer as JSON")
    return parser
