"""
The independent count of a PDF's lines. It shares no code with the reader.

The unit is the line of text: the base lines of a page, those within half a letter's height as one.
"""

from collections import defaultdict
from collections.abc import Sequence

from pipelines.receiving.pdf_text import Word


def count_lines(words: Sequence[Word]) -> int:
    """Return how many lines of text stand on all pages together."""
    pages: dict[int, list[tuple[float, float, float]]] = defaultdict(list)
    for word in words:
        pages[word.page].append((word.base, -word.left, word.height))
    return sum(_count_page(sorted(places, reverse=True)) for places in pages.values())


def _count_page(places: Sequence[tuple[float, float, float]]) -> int:
    count, below = 0, float("inf")
    for base, _, height in places:
        if base < below:
            count += 1
            below = base - height / 2
    return count
