"""Workbooks beside the pages: what a person has changed in them is never written over."""

import hashlib
import os
from collections.abc import Iterable
from pathlib import Path

LIST_NAME = "workbooks.txt"
"""Names and digests of the workbooks as a run wrote them, beside the pages."""

_ENDING = ".xlsx"
_MARK = ", changed by hand"


def list_changed(pages: Path) -> tuple[Path, ...]:
    """Return the published workbooks that differ from what a run wrote."""
    written = _read_list(pages)
    return tuple(path for path in _own_workbooks(pages) if _line(path) not in written)


def keep_changed(pages: Path) -> tuple[Path, ...]:
    """Put changed workbooks under a name of their own, and return where they stand now."""
    return tuple(path.rename(_free_name(path)) for path in list_changed(pages))


def announce(ready: Path, pages: Path) -> None:
    """
    Note the workbooks of the `ready` folder before they are published, beside those that stand.

    A run that is broken off while it publishes then leaves no workbook of its own that the next
    run would take for one changed by hand.
    """
    _write(pages, (*_read_list(pages), *map(_line, _own_workbooks(ready))))


def write_list(pages: Path) -> None:
    """Note the workbooks that stand now as the ones that a run wrote."""
    _write(pages, map(_line, _own_workbooks(pages)))


def _write(pages: Path, lines: Iterable[str]) -> None:
    half = pages / f".{LIST_NAME}"
    half.write_text("".join(f"{line}\n" for line in lines), encoding="utf-8")
    with half.open("rb+") as file:
        os.fsync(file.fileno())
    half.replace(pages / LIST_NAME)


def _own_workbooks(pages: Path) -> list[Path]:
    """Return the workbooks that a run writes: all but those kept for a person."""
    return [path for path in sorted(pages.glob(f"*{_ENDING}")) if _MARK not in path.stem]


def _free_name(path: Path) -> Path:
    number, kept = 1, path.with_name(f"{path.stem}{_MARK}{_ENDING}")
    while kept.exists():
        number += 1
        kept = path.with_name(f"{path.stem}{_MARK} ({number}){_ENDING}")
    return kept


def _read_list(pages: Path) -> tuple[str, ...]:
    file = pages / LIST_NAME
    return tuple(file.read_text(encoding="utf-8").splitlines()) if file.is_file() else ()


def _line(workbook: Path) -> str:
    return f"{hashlib.sha256(workbook.read_bytes()).hexdigest()}  {workbook.name}"
