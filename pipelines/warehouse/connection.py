"""Connections to the warehouse: who may write, and what a fault of the file means in words."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import duckdb

from pipelines.errors import BusyError, FolderError, RoofyieldError, StoppedError

NEXT_ENDING = ".next.duckdb"
"""A run writes into a file of this ending only; the published file is only ever replaced."""

Connection = duckdb.DuckDBPyConnection


def open_for_writing(path: Path, *, threads: int = 1) -> Connection:
    """
    Open or make the next file of a run.

    Args:
        path: must end in `.next.duckdb`.
        threads: how many the database may use.

    Raises:
        FolderError: another ending, or a file that cannot be made or written.
        BusyError: another program has the file open.

    """
    if not path.name.endswith(NEXT_ENDING):
        raise FolderError(
            f"{path.name} is not written in place: a run works on a file that ends in {NEXT_ENDING}"
        )
    return _open(path, threads=threads, read_only=False)


def open_for_reading(path: Path, *, threads: int = 1) -> Connection:
    """
    Open a warehouse without the right to change it.

    Raises:
        FolderError: there is no such file, or it is no warehouse.
        BusyError: another program is writing it.

    """
    if not path.is_file():
        raise FolderError(f"{path.name} does not exist yet: run `roofyield run` first")
    return _open(path, threads=threads, read_only=True)


def open_in_memory() -> Connection:
    """Open an empty database without a file, for reading SQL."""
    return _set_up(duckdb.connect(":memory:"), threads=1)


_NOT_WRITTEN = ("Could not write", "No space left", "Failed to create checkpoint")
"""What the database says of a disk within an error of another class: a commit, a checkpoint."""


@contextmanager
def in_words(doing: str) -> Iterator[None]:
    """
    Turn a fault of the database into an error of the project.

    Args:
        doing: what was being done, as in "writing history.jobs".

    Raises:
        StoppedError: the database refused a row or a statement.
        FolderError: the disk refused.

    """
    try:
        yield
    except duckdb.IOException as error:
        raise FolderError(f"{doing}: the file could not be used: {_first_line(error)}") from error
    except duckdb.Error as error:
        if any(words in str(error) for words in _NOT_WRITTEN):
            raise FolderError(
                f"{doing}: the disk is full or can't be written on; what was published stands: "
                "make room and run again"
            ) from error
        raise StoppedError(f"{doing}: {_first_line(error)}") from error


def _open(path: Path, *, threads: int, read_only: bool) -> Connection:
    try:
        connection = duckdb.connect(str(path), read_only=read_only)
    except duckdb.Error as error:
        raise _why_not_open(path, error) from error
    return _set_up(connection, threads=threads)


def _why_not_open(path: Path, error: duckdb.Error) -> RoofyieldError:
    said = str(error)
    if "lock" in said or "different configuration" in said or "being used" in said:
        return BusyError(f"{path.name} is open in another program: wait until it has finished")
    if "WAL" in said:
        return FolderError(
            f"{path.name} has the unfinished log of another file beside it ({path.name}.wal): "
            "delete both and run again; nothing received is lost"
        )
    return FolderError(f"{path.name} could not be opened: {_first_line(error)}")


def _set_up(connection: Connection, *, threads: int) -> Connection:
    connection.execute("SET TimeZone = 'UTC'")
    connection.execute("SET enable_progress_bar = false")
    connection.execute(f"SET threads = {int(threads)}")
    return connection


def _first_line(error: duckdb.Error) -> str:
    return str(error).splitlines()[0]
