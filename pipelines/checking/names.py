"""Names that must be known: matched as written, by spelling, or not at all."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rapidfuzz import process
from rapidfuzz.distance import Levenshtein

_LOOK_ALIKE = str.maketrans({"o": "0", "i": "1", "l": "1", "_": "-", "/": "-", " ": "-"})
_LEAST_WORD = 4
_SUGGESTIONS = 3
_SUGGESTED_FOR = 50
"""After so many unknown names the list itself is missing, and looking for near ones takes long."""


@dataclass(frozen=True)
class Match:
    """The known name, how it was mended, or the fault with what would mend it."""

    name: str | None = None
    rule: str | None = None
    fault: str | None = None
    remedy: str | None = None


def fold(text: str) -> str:
    """Return `text` with case and spaces folded."""
    return " ".join(text.casefold().split())


def fold_reference(text: str) -> str:
    """Return a job's reference with look-alike letters folded, and one mark for what parts it."""
    parts = text.casefold().translate(_LOOK_ALIKE).split("-")
    return "-".join(part for part in parts if part)


class Names:
    """The known names of one sort, in the order in which they came."""

    def __init__(
        self,
        known: Iterable[str],
        sort: str,
        *,
        references: bool = False,
        other_words: Mapping[str, Iterable[str]] | None = None,
        open_list: bool = False,
        first_stands: bool = False,
    ) -> None:
        """
        Know `known` names and `other_words` (name -> words) for them.

        `sort` is what people call one ("material"). References fold look-alike letters too. With
        an open list a name that is not known stands as it is written. Where `first_stands`, known
        names of one spelling are one name, the first: so a list is read against itself.
        """
        self._sort = sort
        self._fold = fold_reference if references else fold
        self._references = references
        self._open = open_list
        self._by_fold: dict[str, list[str]] = {}
        for name in known:
            self._know(name, name, first_stands=first_stands)
        for name, words in (other_words or {}).items():
            for word in words:
                self._know(word, name, first_stands=False)
        self._names = {name: None for names in self._by_fold.values() for name in names}
        self._suggested = 0

    def _know(self, word: str, name: str, *, first_stands: bool) -> None:
        names = self._by_fold.setdefault(self._fold(word), [])
        if name not in names and not (names and first_stands):
            names.append(name)

    def match(self, text: str) -> Match:
        """Return the one known name that `text` can be, or a fault."""
        if text in self._names:
            return Match(text)
        same = self._by_fold.get(self._fold(text), [])
        if len(same) == 1:
            return Match(same[0], rule=f"spelling with one match among the {self._sort}s")
        if self._open and not same:
            return Match(text)
        near = same or ([] if self._references else self._near(fold(text)))
        if len(near) == 1:
            return Match(near[0], rule=f"one letter off, with one match among the {self._sort}s")
        return self._unknown(text, near)

    def _near(self, folded: str) -> list[str]:
        near = {
            name: None
            for known, names in self._by_fold.items()
            if Levenshtein.distance(folded, known, score_cutoff=1) == 1 and _is_slip(folded, known)
            for name in names
        }
        return list(near)

    def _unknown(self, text: str, near: list[str]) -> Match:
        if near:
            return Match(fault=f"could be {' or '.join(sorted(near))}", remedy="write which")
        likely = self._likely(text)
        meant = f"; did you mean {', '.join(likely)}?" if likely else ""
        return Match(
            fault=f"is no {self._sort} that is known{meant}",
            remedy=f"hand in the {self._sort}, or correct the spelling; "
            "the row is judged again at every run",
        )

    def _likely(self, text: str) -> list[str]:
        self._suggested += 1
        if self._suggested > _SUGGESTED_FOR:
            return []
        found = process.extract(text, list(self._names), limit=_SUGGESTIONS, score_cutoff=60)
        return [name for name, *_ in found]


def _is_slip(text: str, known: str) -> bool:
    """Return whether one letter more, less or other is a slip: never in a figure or short word."""
    one, two = text.split(), known.split()
    if len(one) != len(two):
        return text.replace(" ", "") == known.replace(" ", "")
    changed = [word for pair in zip(one, two, strict=True) if pair[0] != pair[1] for word in pair]
    return all(word.isalpha() and len(word) >= _LEAST_WORD for word in changed)
