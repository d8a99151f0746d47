"""The text of a PDF with its place on the page, within bounds of time and memory."""

import atexit
import json
import os
import subprocess
import sys
from pathlib import Path
from threading import Lock, Timer
from typing import Any, NamedTuple

from pipelines.receiving.handed_over import FaultSort, Unreadable

_MOST_BYTES = 50_000_000
_LONGEST_S = 10.0
_CHILD = "pipelines.receiving.pdf_child"
TYPE_IT = "type its lines into the workbook of invoices to type in, and hand that in"
_TOO_LONG = "too long"
_FAULTS = {
    "locked": ("the PDF is locked with a password", "save it without one, or " + TYPE_IT),
    "damaged": ("the PDF is damaged or only half there", "hand in a whole copy"),
    "too many pages": ("the PDF has over 60 pages", "part it into one PDF an invoice"),
    "too large": ("the PDF holds more than an invoice does", "part it, or " + TYPE_IT),
    _TOO_LONG: (f"the PDF could not be read within {_LONGEST_S:.0f} seconds", TYPE_IT),
    "read by machine": (
        "a scan whose text a machine guessed, which is kept but not read", TYPE_IT,
    ),
    "no text": ("a PDF of pictures without text, which is kept but not read", TYPE_IT),
    "not placed": ("a PDF whose text can't be placed, which is kept but not read", TYPE_IT),
}  # fmt: skip
_TO_TYPE_IN = frozenset({"read by machine", "no text", "not placed"})


class Word(NamedTuple):
    """A stretch of text: its page from 1, ends, base line and height in points, and itself."""

    page: int
    left: float
    right: float
    base: float
    height: float
    text: str


class PdfText(NamedTuple):
    """The upright text of a PDF, and how many letters of it stand otherwise and are left out."""

    words: tuple[Word, ...]
    unplaced_count: int


def read_pdf_text(path: Path) -> PdfText:
    """
    Return the text of a PDF with its place.

    Raises Unreadable where it is locked, damaged, a scan, or more than an invoice: above 50 MB, 60
    pages, 10 seconds, or the memory that one may take.
    """
    if path.stat().st_size > _MOST_BYTES:
        raise _unreadable("too large")
    told = _CHILD_PROCESS.ask(path)
    if "fault" in told:
        raise _unreadable(told["fault"])
    words = tuple(Word(*word) for word in told["words"])
    if not words:
        raise _unreadable("not placed" if told["unplaced"] else "no text")
    return PdfText(words, told["unplaced"])


def _unreadable(fault: str) -> Unreadable:
    why, mend = _FAULTS[fault]
    sort = FaultSort.TO_TYPE_IN if fault in _TO_TYPE_IN else FaultSort.UNREADABLE
    return Unreadable(why, mend, sort=sort)


class _Child:
    """The process that reads PDFs: started at the first, ended with this one."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._process: subprocess.Popen[str] | None = None
        self._owner = 0

    def ask(self, path: Path) -> dict[str, Any]:
        """Return what the process answers; a fault where it ends or takes too long."""
        with self._lock:
            process = self._running()
            timer = Timer(_LONGEST_S, process.kill)
            timer.start()
            try:
                answer = _ask(process, path)
            finally:
                is_late = not timer.is_alive()
                timer.cancel()
            if not answer:
                self.end()
                return {"fault": _TOO_LONG if is_late else "too large"}
        told: dict[str, Any] = json.loads(answer)
        return told

    def end(self) -> None:
        """End the process, if it is this one's own."""
        process, self._process = self._process, None
        if process is None or self._owner != os.getpid():
            return
        process.kill()
        process.communicate()

    def _running(self) -> subprocess.Popen[str]:
        """Return the process; a fork of this program starts its own."""
        if self._process is None or self._owner != os.getpid():
            self._owner = os.getpid()
            self._process = subprocess.Popen(  # noqa: S603 - a module of our own
                [sys.executable, "-m", _CHILD],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
                encoding="utf-8",
            )
        return self._process


def _ask(process: subprocess.Popen[str], path: Path) -> str:
    """Return the line that the process answers, "" where it ended meanwhile."""
    if process.stdin is None or process.stdout is None:
        return ""
    try:
        process.stdin.write(json.dumps(str(path.resolve())) + "\n")
        process.stdin.flush()
        return process.stdout.readline()
    except (BrokenPipeError, UnicodeDecodeError):
        return ""


_CHILD_PROCESS = _Child()
atexit.register(_CHILD_PROCESS.end)
