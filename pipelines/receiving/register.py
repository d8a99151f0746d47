"""The register: untouched copies of what was received, each listed by its own name."""

import hashlib
import os
import re
import shutil
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from pipelines.receiving.documents import name_document, order_naturally
from pipelines.receiving.inbox import LeftFile, look_through

_STAMP = "%Y%m%dT%H%M%SZ"
_COPY_NAME = re.compile(r"(\d{6,})_(\d{8}T\d{6}Z)_([0-9a-f]{12})_(.+)", re.DOTALL)
_NOT_IN_NAMES = re.compile(r'[<>:"/\\|?*\x00-\x1f\x7f]')
_LONGEST_NAME_BYTES = 200
_UNFINISHED = ".part"
_UNDER_WAY = ".batch"


@dataclass(frozen=True)
class Receipt:
    """One received copy: its number, the UTC time of its batch, its digest's first 12, its name."""

    receipt_no: int
    batch_at: datetime
    digest: str
    name: str
    path: Path


@dataclass(frozen=True)
class TakenFile:
    """A file of the inbox and the receipt that holds its bytes."""

    path: Path
    receipt: Receipt


@dataclass(frozen=True)
class Batch:
    """
    What one look into the inbox came to.

    `taken` were copied now, `held` are in the register already under either name, `left` stay
    where they are, each with what to do.
    """

    batch_at: datetime
    taken: tuple[TakenFile, ...]
    held: tuple[TakenFile, ...]
    left: tuple[LeftFile, ...]


def list_receipts(received: Path) -> tuple[Receipt, ...]:
    """Return the register in the order of receipt numbers, told by the folder's listing alone."""
    found = []
    for path in received.iterdir() if received.is_dir() else ():
        said = _COPY_NAME.fullmatch(path.name)
        if said and path.is_file():
            batch_at = datetime.strptime(said[2], _STAMP).replace(tzinfo=UTC)
            found.append(Receipt(int(said[1]), batch_at, said[3], said[4], path))
    return tuple(sorted(found, key=lambda receipt: receipt.receipt_no))


def take_in(inbox: Path, received: Path, now: datetime) -> Batch:
    """
    Copy the inbox's new files into the register as one batch, and leave the inbox as it is.

    The batch's time is `now` in whole seconds, always later than the last batch's; a batch that was
    broken off is gone on with, as files of one batch contradict each other where those of two
    correct each other. Receipt numbers follow document, version rank and name. Raises OSError where
    the register can't be written.
    """
    received.mkdir(parents=True, exist_ok=True)
    for unfinished in received.glob(f".*{_UNFINISHED}"):
        unfinished.unlink()
    receipts = list(list_receipts(received))
    whole, left = look_through(inbox)
    batch_at = _begin_batch(received, receipts, now)
    taken, held, changing = [], [], []
    for path in sorted(whole, key=_order):
        digest = _digest(path)
        holder = _find_holder(path, digest, receipts)
        if holder is not None:
            held.append(TakenFile(path, holder))
            continue
        receipt_no = receipts[-1].receipt_no + 1 if receipts else 1
        receipt = _copy(path, digest, received, receipt_no, batch_at)
        if receipt is None:
            changing.append(LeftFile(path.name, "a file that is still arriving", "let it finish"))
            continue
        receipts.append(receipt)
        taken.append(TakenFile(path, receipt))
    _end_batch(received, batch_at)
    return Batch(batch_at, tuple(taken), tuple(held), (*left, *changing))


def keep_own(received: Path, name: str, content: bytes, batch_at: datetime) -> Receipt:
    """
    Write a file of the run's own into the register, under the time of a batch that stands there.

    The file stands whole or not at all. Raises OSError where the register can't be written.
    """
    receipts = list_receipts(received)
    receipt_no = receipts[-1].receipt_no + 1 if receipts else 1
    unfinished = received / f".{receipt_no}{_UNFINISHED}"
    unfinished.write_bytes(content)
    return _finish(unfinished, _digest(unfinished), name, receipt_no, batch_at)


def clear_inbox(batch: Batch) -> tuple[Path, ...]:
    """Remove the batch's files from the inbox; return those left, as they were changed since."""
    changed = []
    for file in (*batch.taken, *batch.held):
        if not file.path.exists():
            continue
        if _same_bytes(file.path, file.receipt.path):
            file.path.unlink()
        else:
            changed.append(file.path)
    return tuple(changed)


def make_safe(name: str) -> str:
    """Return a file's name without what some system forbids, its ending kept, 200 bytes at most."""
    plain = _NOT_IN_NAMES.sub("-", unicodedata.normalize("NFC", name)).strip(" .") or "file"
    stem, dot, ending = plain.rpartition(".")
    if not stem or len(ending) > len("xlsxxlsx"):
        stem, dot, ending = plain, "", ""
    room = _LONGEST_NAME_BYTES - len(f"{dot}{ending}".encode())
    return stem.encode("utf-8", "replace")[:room].decode("utf-8", "ignore") + dot + ending


def _begin_batch(received: Path, receipts: Sequence[Receipt], now: datetime) -> datetime:
    """Note on the disk that a batch is under way; give its time, or that of one broken off."""
    for mark in received.glob(f".*{_UNDER_WAY}"):
        return datetime.strptime(mark.stem.removeprefix("."), _STAMP).replace(tzinfo=UTC)
    batch_at = _time_batch(receipts, now)
    _mark(received, batch_at).touch()
    _sync_folder(received)
    return batch_at


def _end_batch(received: Path, batch_at: datetime) -> None:
    _mark(received, batch_at).unlink()
    _sync_folder(received)


def _mark(received: Path, batch_at: datetime) -> Path:
    return received / f".{batch_at:{_STAMP}}{_UNDER_WAY}"


def _time_batch(receipts: Sequence[Receipt], now: datetime) -> datetime:
    at = now.astimezone(UTC).replace(microsecond=0)
    last = max((receipt.batch_at for receipt in receipts), default=None)
    return at if last is None or at > last else last + timedelta(seconds=1)


def _order(path: Path) -> tuple[object, ...]:
    document, rank = name_document(path.name)
    return order_naturally(document), rank, order_naturally(path.name), path.name


def _find_holder(path: Path, digest: str, receipts: Sequence[Receipt]) -> Receipt | None:
    for receipt in receipts:
        if receipt.digest == digest and _same_bytes(path, receipt.path):
            return receipt
    return None


def _copy(
    path: Path, digest: str, received: Path, receipt_no: int, batch_at: datetime
) -> Receipt | None:
    """Copy a file into the register; None where it is no longer what `digest` was taken of."""
    unfinished = received / f".{receipt_no}{_UNFINISHED}"
    shutil.copyfile(path, unfinished)
    if _digest(unfinished) != digest:
        unfinished.unlink()
        return None
    return _finish(unfinished, digest, path.name, receipt_no, batch_at)


def _finish(
    unfinished: Path, digest: str, name: str, receipt_no: int, batch_at: datetime
) -> Receipt:
    """Bring a copy to the disk for good, then give it its name."""
    with unfinished.open("r+b") as stream:
        os.fsync(stream.fileno())
    safe = make_safe(name)
    path = unfinished.with_name(f"{receipt_no:06}_{batch_at:{_STAMP}}_{digest}_{safe}")
    unfinished.rename(path)
    _sync_folder(path.parent)
    return Receipt(receipt_no, batch_at, digest, safe, path)


def _sync_folder(folder: Path) -> None:
    if os.name == "nt":
        return  # a folder can't be opened there; the rename is on record with the file
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _digest(path: Path) -> str:
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()[:12]


def _same_bytes(one: Path, other: Path) -> bool:
    if one.stat().st_size != other.stat().st_size:
        return False
    with one.open("rb") as first, other.open("rb") as second:
        return hashlib.file_digest(first, "sha256").digest() == (
            hashlib.file_digest(second, "sha256").digest()
        )
