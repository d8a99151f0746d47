"""The four pages as files, and the workbook of decisions beside them."""

import re
from collections.abc import Callable, Mapping
from pathlib import Path

from reports import buyer, decisions, estimator, owner, start, wordings
from reports.markup import write_html
from reports.page import Frames, Page

_FINGERPRINT = re.compile(r'<meta name="fingerprint" content="([^"]*)">')
_HEAD_LETTERS = 20_000

_BUILD: Mapping[str, Callable[[Frames], Page]] = {
    "start": start.build,
    "owner": owner.build,
    "estimator": estimator.build,
    "buyer": buyer.build,
}

PAGE_READS: Mapping[str, tuple[str, ...]] = {
    "start": start.READS,
    "owner": owner.READS,
    "estimator": estimator.READS,
    "buyer": buyer.READS,
    "allowances": decisions.READS,
    "descriptions": wordings.READS,
}
"""Relations that each page, and each workbook beside them, reads."""


def write_pages(frames: Frames, folder: Path, fingerprint: str) -> list[Path]:
    """
    Write the four pages and the workbook of decisions into `folder` and return their paths.

    Args:
        frames: every relation of `PAGE_READS`, by name.
        folder: an existing folder; files of the same names are replaced.
        fingerprint: what the figures were made from; it stands in each page's head.

    """
    pages = [_write(build(frames), folder, fingerprint) for build in _BUILD.values()]
    return [*pages, decisions.write_decision_workbook(frames, folder / decisions.FILE_NAME)]


def read_pages_fingerprint(folder: Path) -> str | None:
    """Return the fingerprint that all pages in `folder` carry, None where they do not agree."""
    found = {_read_fingerprint(folder / f"{name}.html") for name in _BUILD}
    return found.pop() if len(found) == 1 else None


def _read_fingerprint(path: Path) -> str | None:
    if not path.is_file():
        return None
    with path.open(encoding="utf-8") as page:
        told = _FINGERPRINT.search(page.read(_HEAD_LETTERS))
    return told[1] if told else None


def _write(page: Page, folder: Path, fingerprint: str) -> Path:
    path = folder / page.file_name
    path.write_text(write_html(page, fingerprint), encoding="utf-8", newline="\n")
    return path
