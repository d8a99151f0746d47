"""What can be typed, with an example for each command."""

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

_EXIT_CODES = """exit codes:
  0  done
  3  done, but a file could not be read; the others were taken in
  4  nothing to show yet, or the inbox is empty
  5  done, but two files contradict each other
  6  as 3, for a file of another kind     7  as 3, for a column that is missing
 11  a setting is unknown or wrong        12  a mapping is wrong
 13  this is no firm's folder             14  another run is at work
 15  a check on the figures failed        16  a quantity cannot be converted
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
    for add in (_add_run, _add_demo, _add_new, _add_check, _add_allowances):
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
    run.add_argument(
        "--as-of",
        type=date.fromisoformat,
        metavar="DATE",
        help="the day that the run stands for, as 2026-06-01; today if not said",
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
        "what would become of these files; writes nothing",
        "roofyield check 'jobs 2026-05.xlsx' --folder our-firm",
    )
    check.add_argument("files", type=Path, nargs="+", metavar="FILE", help="files to look at")


def _add_allowances(commands: "Commands") -> None:
    allowances = _add(
        commands,
        "allowances",
        "what you allow beside what your jobs suggest, each with its reason",
        "roofyield allowances --material resin",
    )
    allowances.add_argument("--material", metavar="NAME", help="only this material")


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
