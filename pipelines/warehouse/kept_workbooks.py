"""Workbooks beside the pages: what a person has changed in them is never written over."""

import hashlib
from pathlib import Path

LIST_NAME = "workbooks.txt"
"""Names and digests of the workbooks as a run wrote them, beside the pages."""

_ENDING = ".xlsx"
_MARK = ", changed by hand"


def list_changed(pages: Path) -> tuple[Path, ...]:
    """Return the published workbooks that differ from what a run wrote."""
    written = _read_list(pages)
    return tuple(path for path in _own_workbooks(pages) if written.get(path.name) != _digest(path))


def keep_changed(pages: Path) -> tuple[Path, ...]:
    """Put changed workbooks under a name of their own, and return where they stand now."""
    return tuple(path.rename(_free_name(path)) for path in list_changed(pages))


def write_list(pages: Path) -> None:
    """Note the workbooks that stand now as the ones that a run wrote."""
    lines = [f"{_digest(path)}  {path.name}\n" for path in _own_workbooks(pages)]
    (pages / LIST_NAME).write_text("".join(lines), encoding="utf-8")


def _own_workbooks(pages: Path) -> list[Path]:
    """Return the workbooks that a run writes: all but those kept for a person."""
    return [path for path in sorted(pages.glob(f"*{_ENDING}")) if _MARK not in path.stem]


def _free_name(path: Path) -> Path:
    number, kept = 1, path.with_name(f"{path.stem}{_MARK}{_ENDING}")
    while kept.exists():
        number += 1
        kept = path.with_name(f"{path.stem}{_MARK} ({number}){_ENDING}")
    return kept


def _read_list(pages: Path) -> dict[str, str]:
    file = pages / LIST_NAME
    lines = file.read_text(encoding="utf-8").splitlines() if file.is_file() else []
    pairs = (line.partition("  ") for line in lines)
    return {name: digest for digest, _, name in pairs}


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
