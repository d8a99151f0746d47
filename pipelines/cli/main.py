"""From the command line to one function, and a fault to one line."""

import sys
from collections.abc import Sequence

from pipelines.cli.arguments import build_parser
from pipelines.errors import FolderError, RoofyieldError


def main(words: Sequence[str] | None = None) -> int:
    """Run the command in `words` (the command line if None) and return its exit code."""
    arguments = build_parser().parse_args(words)
    from pipelines.cli import commands  # noqa: PLC0415 - help must not wait for the libraries

    try:
        return commands.COMMANDS[arguments.command](arguments)
    except RoofyieldError as fault:
        sys.stderr.write(f"roofyield: {fault}\n")
        return fault.exit_code
    except OSError as fault:
        return _tell_disk(fault)
    except KeyboardInterrupt:
        sys.stderr.write("roofyield: stopped; what was published before stands\n")
        return 130


def _tell_disk(fault: OSError) -> int:
    """Say what the disk refused: it is full, may not be written on, or was taken away."""
    where = f"{fault.filename}: " if fault.filename else ""
    sys.stderr.write(
        f"roofyield: {where}{fault.strerror or fault}; what was published before stands: make "
        "room, or see that you may write here, and run again\n"
    )
    return FolderError.exit_code
