"""Publishing: a run's next file and next pages take the place of the published ones."""

import os
import time
from pathlib import Path

from pipelines.errors import BusyError, FolderError, StoppedError
from pipelines.warehouse.connection import NEXT_ENDING, Connection, in_words, open_for_reading
from pipelines.warehouse.kept_workbooks import announce, keep_changed, write_list

PAUSE_SECONDS = 0.2
ATTEMPTS = 10


def next_path(published: Path) -> Path:
    """Give the path of the file that a run writes before it takes the place of `published`."""
    return published.with_name(published.name.removesuffix(".duckdb") + NEXT_ENDING)


def clear_next(published: Path) -> Path:
    """Remove what an unfinished run left of the next file, and give its path."""
    path = next_path(published)
    for left in (path, _log_of(path)):
        left.unlink(missing_ok=True)
    return path


def close_next(connection: Connection, path: Path) -> None:
    """
    Write everything into the next file itself, close it, and see it onto the disk.

    Raises:
        FolderError: the disk refused, or a log stayed beside the file.

    """
    with in_words(f"closing {path.name}"):
        connection.execute("CHECKPOINT")
        connection.close()
    if _log_of(path).exists():
        raise FolderError(f"{path.name} was not closed whole: {_log_of(path).name} is left")
    _flush(path)


def publish_warehouse(published: Path) -> None:
    """
    Put the closed next file in the place of the published one, in one step.

    Raises:
        FolderError: the next file is missing, or has a log beside it.
        BusyError: another program keeps the published file open (Windows); the next file stays.

    """
    ready = next_path(published)
    if not ready.is_file() or _log_of(ready).exists():
        raise FolderError(f"{ready.name} is not there or not closed: run again")
    _log_of(published).unlink(missing_ok=True)
    _replace(ready, published)
    _flush_folder(published.parent)


def publish_pages(ready: Path, published: Path) -> tuple[Path, ...]:
    """
    Put each page of the `ready` folder in its place, and take away pages of older runs.

    The last page comes after all else: from then on the pages agree with one another, and a run
    that was broken off before publishes them once more.

    A workbook that a person has changed is first put under a name of its own; those are
    returned. Files of other kinds that somebody keeps beside the pages stay.

    Raises:
        BusyError: another program keeps a page open (Windows); the rest stays in `ready`.

    """
    published.mkdir(exist_ok=True)
    kept = keep_changed(published)
    announce(ready, published)
    names = sorted(page.relative_to(ready) for page in ready.rglob("*") if page.is_file())
    last = [name for name in names if name.suffix == ".html"][-1:]
    for name in (each for each in names if each not in last):
        _put(ready / name, published / name)
    for page in sorted(published.rglob("*.html"), reverse=True):
        if page.relative_to(published) not in names:
            page.unlink()
    write_list(published)
    for name in last:
        _put(ready / name, published / name)
    _remove_empty_folders(ready)
    _flush_folder(published)
    return kept


def stored_fingerprint(path: Path) -> str | None:
    """
    Give the fingerprint of the inputs that a published warehouse stands for.

    None where there is no warehouse yet, or it cannot be read: then a run makes it anew.
    """
    try:
        with open_for_reading(path) as connection, in_words("reading the last run"):
            row = connection.execute("SELECT last.fingerprint FROM run.run AS last").fetchone()
    except (FolderError, StoppedError):
        return None
    return str(row[0]) if row else None


def _log_of(path: Path) -> Path:
    return path.with_name(f"{path.name}.wal")


def _put(page: Path, place: Path) -> None:
    place.parent.mkdir(parents=True, exist_ok=True)
    _flush(page)
    _replace(page, place)


def _replace(source: Path, target: Path) -> None:
    for attempt in range(ATTEMPTS):
        try:
            os.replace(source, target)  # noqa: PTH105 - the name says that it takes the place
        except PermissionError as error:
            if attempt == ATTEMPTS - 1:
                raise BusyError(
                    f"{target.name} is open in another program: close it and run again; what is "
                    f"new waits in {source.name}"
                ) from error
            time.sleep(PAUSE_SECONDS)
        else:
            return


def _flush(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def _flush_folder(folder: Path) -> None:
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _remove_empty_folders(root: Path) -> None:
    folders = [path for path in root.rglob("*") if path.is_dir()]
    for folder in [*sorted(folders, reverse=True), root]:
        folder.rmdir()
