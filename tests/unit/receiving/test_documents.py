"""Documents and versions, told by a file's name."""

import pytest

from pipelines.receiving.documents import name_document, order_naturally


@pytest.mark.parametrize(
    ("name", "document", "rank"),
    [
        ("Stock counts.xlsx", "stock counts", (0, 0, 0)),
        ("Stock counts (1).xlsx", "stock counts", (0, 0, 1)),
        ("Stock counts - Copy.xlsx", "stock counts", (0, 0, 1)),
        ("Stock counts copy 2.xlsx", "stock counts", (0, 0, 2)),
        ("Copy of stock  counts.xlsx", "stock counts", (0, 0, 1)),
        ("stock counts v2.csv", "stock counts", (0, 2, 0)),
        ("stock counts_V10.csv", "stock counts", (0, 10, 0)),
        ("stock counts final.csv", "stock counts", (1, 0, 0)),
        ("stock counts v2 final (1).csv", "stock counts", (1, 2, 1)),
        ("final.csv", "final", (0, 0, 0)),
        ("2026-05.csv", "2026-05", (0, 0, 0)),
        ("2025-014 quote.csv", "2025-014 quote", (0, 0, 0)),
    ],
)
def test_a_name_tells_document_and_version(
    name: str, document: str, rank: tuple[int, int, int]
) -> None:
    assert name_document(name) == (document, rank)


def test_versions_sort_plain_copy_numbered_final() -> None:
    names = ["q final.csv", "q v10.csv", "q v2.csv", "q (1).csv", "q.csv", "q v3.csv"]
    ranked = sorted(names, key=lambda name: name_document(name).rank)
    assert ranked == ["q.csv", "q (1).csv", "q v2.csv", "q v3.csv", "q v10.csv", "q final.csv"]


def test_week_nine_comes_before_week_ten() -> None:
    assert sorted(["week 10", "Week 9", "week"], key=order_naturally) == [
        "week",
        "Week 9",
        "week 10",
    ]
