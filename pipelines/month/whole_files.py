"""Files that stand whole or not at all."""

import os
from collections.abc import Callable
from pathlib import Path


def write_whole(path: Path, write: Callable[[Path], object]) -> None:
    """Write a file beside its place with `write`, then put it there in one step."""
    path.parent.mkdir(parents=True, exist_ok=True)
    half = path.with_name(f".{path.name}")
    write(half)
    with half.open("rb+") as file:
        os.fsync(file.fileno())
    half.replace(path)
