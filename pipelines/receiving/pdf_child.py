"""
The text of PDFs with its place, read in a process of its own.

A PDF is a program for a page, and one can be made to run for ever or to fill the memory. So this
module is run, never imported: it takes a path a line as JSON, and answers with a line of JSON.
"""

import json
import re
import sys
import tempfile
from collections import Counter
from pathlib import Path
from typing import Any

from pypdf import Configuration, PageObject, PdfReader, overwrite_configuration
from pypdf.errors import DependencyError, FileNotDecryptedError, LimitReachedError

_MOST_PAGES = 60
_MOST_WORDS = 40_000
_MOST_MEMORY_BYTES = 1_500_000_000
_FARTHEST_POINT = 20_000
_LIMITS = Configuration(
    stream_parsing_work_maximum_count=400_000,
    stream_decoding_work_maximum_length=60_000_000,
    zlib_maximum_output_length=20_000_000,
    lzw_maximum_output_length=20_000_000,
    run_length_maximum_output_length=20_000_000,
)
"""What no page of an invoice needs: operands, and bytes unpacked."""
_UNSEEN = 3
"""The way of writing text that leaves no mark on the page, as under a scan."""

Answer = dict[str, Any]


def _serve() -> None:
    _limit_memory()
    overwrite_configuration(_LIMITS)
    for line in sys.stdin:
        sys.stdout.write(json.dumps(_answer(Path(json.loads(line)))) + "\n")
        sys.stdout.flush()


def _limit_memory() -> None:
    """Bound the memory of this process, where the system knows how."""
    try:
        import resource  # noqa: PLC0415 - not on every system
    except ImportError:
        return
    _, most = resource.getrlimit(resource.RLIMIT_AS)
    least = _MOST_MEMORY_BYTES if most == resource.RLIM_INFINITY else min(most, _MOST_MEMORY_BYTES)
    resource.setrlimit(resource.RLIMIT_AS, (least, most))


def _answer(path: Path) -> Answer:
    try:
        return _read(PdfReader(path))
    except (DependencyError, FileNotDecryptedError):
        return {"fault": "locked"}
    except (LimitReachedError, MemoryError, RecursionError):
        return {"fault": "too large"}
    except Exception:  # noqa: BLE001 - whatever a broken file does to the library, it is broken
        return {"fault": "damaged"}


def _read(reader: PdfReader) -> Answer:
    if len(reader.pages) > _MOST_PAGES:
        return {"fault": "too many pages"}
    words: list[list[Any]] = []
    seen: Counter[str] = Counter()
    for number, page in enumerate(reader.pages, 1):
        plain, is_unseen = _read_plainly(page)
        if is_unseen:
            return {"fault": "read by machine"}
        seen.update(_letters(plain))
        words += [[number, *word] for word in _place_words(page)]
        if len(words) > _MOST_WORDS:
            return {"fault": "too large"}
    placed = Counter(_letters("".join(str(word[-1]) for word in words)))
    return {"words": words, "unplaced": sum((seen - placed).values())}


def _letters(text: str) -> str:
    return re.sub(r"\s", "", text)


def _read_plainly(page: PageObject) -> tuple[str, bool]:
    """Return all text of a page in any direction, and whether some of it leaves no mark."""
    unseen = []

    def look(operator: bytes, operands: list[Any], _cm: object, _tm: object) -> None:
        if operator == b"Tr" and operands and operands[0] == _UNSEEN:
            unseen.append(operator)

    return page.extract_text(visitor_operand_before=look), bool(unseen)


def _place_words(page: PageObject) -> list[list[Any]]:
    """Return left, right, base, height and text of what is written upright, as it is written."""
    with tempfile.TemporaryDirectory() as folder:
        page.extract_text(extraction_mode="layout", layout_mode_debug_path=Path(folder))
        told = Path(folder) / "tjs.json"
        shown = json.loads(told.read_text("utf-8")) if told.exists() else []
    return [
        [one["tx"], one["displaced_tx"], -one["ty"] if one["flip_vertical"] else one["ty"],
         one["font_height"], one["text"]]
        for one in shown
        if not one["rotated"] and one["text"].strip() and _is_on_paper(one)
    ]  # fmt: skip


def _is_on_paper(shown: dict[str, Any]) -> bool:
    places = (shown["tx"], shown["displaced_tx"], shown["ty"], shown["font_height"])
    return all(abs(place) < _FARTHEST_POINT for place in places)


if __name__ == "__main__":
    _serve()
