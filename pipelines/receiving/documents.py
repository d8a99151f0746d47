"""Which document a file is a version of, and which of its versions came later."""

import re
from pathlib import PurePath
from typing import NamedTuple

VersionRank = tuple[int, int, int]
"""(final, version, copy): sorts plain < (1) < v2 < v3 < final."""

_FINAL = re.compile(r"[\s_.\-]+\(?final\)?$", re.IGNORECASE)
_VERSION = re.compile(r"[\s_.\-]+\(?(?:v|version|rev)[\s_.]?(\d{1,6})\)?$", re.IGNORECASE)
_NUMBERED = re.compile(r"\s*\((\d{1,3})\)$")
_COPY_AFTER = re.compile(r"[\s_\-]+copy(?:\s+(\d{1,3}))?$", re.IGNORECASE)
_COPY_BEFORE = re.compile(r"^copy(?:\s+\(?(\d{1,3})\)?)?\s+of\s+", re.IGNORECASE)


class DocumentVersion(NamedTuple):
    """The document that a file is a version of, and the version's rank."""

    document: str
    rank: VersionRank


def name_document(file_name: str) -> DocumentVersion:
    """
    Return the document and version rank told by a file's name.

    The document is the name in lower case without its ending and without "(1)", "copy", "v2",
    "final"; a name made of nothing else is its own document.
    """
    stem = " ".join(PurePath(file_name).stem.split())
    final, version, copy = 0, 0, 0
    while True:
        if _FINAL.search(stem):
            stem, final = _FINAL.sub("", stem), 1
        elif found := _VERSION.search(stem):
            stem, version = stem[: found.start()], max(version, int(found[1]))
        elif found := _NUMBERED.search(stem):
            stem, copy = stem[: found.start()], copy + int(found[1])
        elif found := _COPY_AFTER.search(stem):
            stem, copy = stem[: found.start()], copy + int(found[1] or 1)
        elif found := _COPY_BEFORE.match(stem):
            stem, copy = stem[found.end() :], copy + int(found[1] or 1)
        else:
            break
    document = stem.strip() or PurePath(file_name).stem
    return DocumentVersion(document.casefold(), (final, version, copy))


def order_naturally(name: str) -> tuple[tuple[int, int, str], ...]:
    """Return a sort key that puts "week 9" before "week 10"."""
    parts = re.split(r"(\d+)", name.casefold())
    return tuple(
        (0, int(part), part) if part.isdecimal() and part.isascii() else (1, 0, part)
        for part in parts
        if part
    )
