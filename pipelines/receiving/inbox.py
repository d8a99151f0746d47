"""What lies in the inbox: whole files, and what is left there with what to do about it."""

import zipfile
from dataclasses import dataclass
from pathlib import Path

from pipelines.receiving.file_kinds import FileKind, tell_kind

_OF_THE_SYSTEM = ("desktop.ini", "thumbs.db", ".ds_store")
_UNFINISHED_ENDINGS = (
    ".tmp", ".temp", ".part", ".partial", ".filepart", ".crdownload", ".download",
)  # fmt: skip
_LOCK_BEGINNINGS = ("~$", ".~lock")
_CONFLICT_WORDS = ("conflicted copy", "conflict copy", "sync-conflict", "(conflict", "[conflict")
_EDGE_BYTES = 512


@dataclass(frozen=True)
class LeftFile:
    """A file or folder left in the inbox: why, and what to do."""

    name: str
    why: str
    mend: str


def look_through(inbox: Path) -> tuple[list[Path], tuple[LeftFile, ...]]:
    """Return the inbox's whole files, and what is left where it is."""
    entries = sorted(inbox.iterdir()) if inbox.is_dir() else []
    whole, left = [], []
    for path in entries:
        reason = find_reason_to_leave(path, {entry.name for entry in entries})
        if reason is None:
            whole.append(path)
        else:
            left.append(reason)
    return whole, tuple(left)


def find_reason_to_leave(path: Path, beside: set[str]) -> LeftFile | None:
    """Return why a file is not taken in, None where it is; `beside` are the names next to it."""
    name = path.name
    if path.is_symlink():
        return LeftFile(name, "a link, not a file", "put the file itself here")
    if path.is_dir():
        return LeftFile(name, "a folder", "put its files straight into the inbox")
    if not path.is_file():
        return LeftFile(name, "not a file", "take it out of the inbox")
    return _judge_name(name, beside) or _judge_content(path)


def _judge_name(name: str, beside: set[str]) -> LeftFile | None:
    lower = name.lower()
    if lower.startswith(_LOCK_BEGINNINGS):
        return LeftFile(name, "the mark of a file that is open", "close it where it is open")
    if lower in _OF_THE_SYSTEM or lower.startswith("._"):
        return LeftFile(name, "a file of the computer's own", "nothing to do")
    if lower.endswith(_UNFINISHED_ENDINGS) or lower.startswith("."):
        return LeftFile(name, "a file that is still arriving", "let it finish")
    if any(words in lower for words in _CONFLICT_WORDS):
        return LeftFile(
            name, "a conflict copy: two people changed one file", "keep the right one, name it so"
        )
    locks = {f"~${name}", f".~lock.{name}#"} & beside
    if locks:
        return LeftFile(
            name, "still open", f"save and close it; if nobody has it open, delete {min(locks)}"
        )
    return None


def _judge_content(path: Path) -> LeftFile | None:
    try:
        if not path.stat().st_size:
            return LeftFile(path.name, "empty", "let it finish arriving, or hand in a whole copy")
        kind = tell_kind(path, path.name)
        hollow = _is_hollow(path)
    except OSError:
        return LeftFile(path.name, "still open or locked", "save and close it")
    if hollow:
        return LeftFile(path.name, "only half there: room is kept for it", "let it finish arriving")
    half = kind is FileKind.WORKBOOK and not zipfile.is_zipfile(path)
    if half or kind is FileKind.BROKEN_WORKBOOK:
        return LeftFile(
            path.name,
            "a workbook that is only half there",
            "let it finish, or hand in a whole copy",
        )
    return None


def _is_hollow(path: Path) -> bool:
    """Return whether a file begins or ends in a stretch of nothing, as half of one does."""
    with path.open("rb") as stream:
        head = stream.read(_EDGE_BYTES)
        stream.seek(max(0, path.stat().st_size - _EDGE_BYTES))
        tail = stream.read(_EDGE_BYTES)
    return len(head) == _EDGE_BYTES and not (any(head) and any(tail))
