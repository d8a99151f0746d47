"""A run that ends at a counted step on the disk, as at a power cut: a process of its own."""

import os
import shutil
import sys
from collections.abc import Callable
from datetime import date, datetime, tzinfo
from pathlib import Path

from pipelines.month import run as month

KILLED = 9
AS_OF = date(2026, 6, 1)
STEPS = (
    (os, "replace"),
    (os, "rename"),
    (os, "fsync"),
    (os, "unlink"),
    (os, "rmdir"),
    (os, "mkdir"),
    (os, "write"),
    (shutil, "copyfile"),
    (month, "close_next"),
)
"""Calls after which something stands on the disk that did not before, or no longer stands."""


class FixedClock(datetime):
    """A clock that stands, so that two runs give their batch the same time."""

    @classmethod
    def now(cls, tz: tzinfo | None = None) -> "FixedClock":
        """Return the morning of the day that the run stands for."""
        return cls(AS_OF.year, AS_OF.month, AS_OF.day, 7, tzinfo=tz)


class _Counter:
    """Counts the steps of this process, and ends it before or after the one named."""

    def __init__(self, at: int, *, is_before: bool) -> None:
        self.seen, self.at, self.is_before = 0, at, is_before

    def wrap(self, step: Callable[..., object]) -> Callable[..., object]:
        def stepped(*args: object, **options: object) -> object:
            self.seen += 1
            at = self.seen
            if at == self.at and self.is_before:
                os._exit(KILLED)
            try:
                return step(*args, **options)
            finally:
                if at == self.at:
                    os._exit(KILLED)

        return stepped


def main(root: str, at: str, side: str) -> None:
    """Run the firm in `root`, dying `side` (before, after) step `at`; print the steps counted."""
    counter = _Counter(int(at), is_before=side == "before")
    for module, name in STEPS:
        setattr(module, name, counter.wrap(getattr(module, name)))
    month.datetime = FixedClock  # type: ignore[misc]
    month.run_month(Path(root), AS_OF)
    sys.stdout.write(f"{counter.seen}\n")
    sys.stdout.flush()
    os._exit(0)


if __name__ == "__main__":
    main(*sys.argv[1:])
