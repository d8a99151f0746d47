"""Two papers of one invoice: a list with line numbers, and the invoice itself, which says more."""

from itertools import permutations

import pytest

from pipelines.checking.same_lines import pair_lines, say_nothing_new
from pipelines.checking.verdicts import Row
from tests.unit.checking.judged_inbox import Inbox, in_force, outcomes

LIST = """
supplier|document_no|document_on|line_no|description|material|packs|line_net_gbp|line_kind
Quay    |12         |2026-03-01 |1      |resin tin  |resin   |2    |82.00       |
Quay    |12         |2026-03-01 |2      |delivery   |        |1    |12.00       |carriage
"""
OWN = """
supplier|document_no|document_on|description|material|packs|line_net_gbp|line_kind|lot|order_no
Quay    |12         |2026-03-01 |by lorry   |        |     |12.00       |carriage |   |yard-9
Quay    |12         |2026-03-01 |resin tins |resin   |2    |82.00       |         |217|yard-9
"""
DEARER = OWN.replace("82.00", "83.00")
OTHER_LOT = OWN.replace("217", "218")


def _judged(*papers: str, in_one_batch: bool):
    inbox = Inbox()
    for number, paper in enumerate(papers):
        inbox.add("purchases", paper, document=f"paper {number}")
        if not in_one_batch:
            inbox.next_batch()
    return inbox.judge()["purchases"]


@pytest.mark.parametrize("in_one_batch", [True, False])
@pytest.mark.parametrize("papers", [(LIST, OWN), (OWN, LIST)])
def test_a_list_and_the_invoice_that_say_nothing_else_are_booked_once(papers, in_one_batch):
    judged = _judged(*papers, in_one_batch=in_one_batch)

    assert outcomes(judged) == ["clean"] * 2 + ["already held"] * 2


@pytest.mark.parametrize("in_one_batch", [True, False])
def test_the_invoice_that_says_more_stands_before_a_copy_that_says_less(in_one_batch):
    poorer = OWN.replace("217", "   ").replace("yard-9", "      ")

    for papers in permutations((OWN, poorer)):
        judged = _judged(*papers, in_one_batch=in_one_batch)
        assert in_force(judged, "purchases", "lot") == [("217",), (None,)]
        assert "rejected" not in outcomes(judged)
    assert outcomes(_judged(OWN, poorer, in_one_batch=in_one_batch))[2:] == ["already held"] * 2


@pytest.mark.parametrize("other", [DEARER, OTHER_LOT])
def test_one_filled_cell_that_differs_makes_it_another_document(other):
    assert outcomes(_judged(OWN, other, in_one_batch=True)) == ["rejected"] * 4
    assert outcomes(_judged(OWN, other, in_one_batch=False)) == ["clean"] * 4


def test_a_list_that_differs_is_refused_and_a_line_too_few_too():
    fewer = LIST.rstrip().rsplit("\n", 1)[0]

    assert outcomes(_judged(LIST, DEARER, in_one_batch=False))[2:] == ["rejected"] * 2
    assert outcomes(_judged(fewer, OWN, in_one_batch=False))[1:] == ["rejected"] * 2


def _row(number: int, **filled: object) -> Row:
    return Row(number, 1, 1, "paper", "paper.csv", "", number, {"line_net_gbp": 5, **filled}, None)


def test_lines_of_one_sum_are_paired_so_that_each_finds_its_own():
    """Lot 1 with no order could take either line: it takes the one that the other leaves."""
    lines = [_row(1, lot="1"), _row(2, lot="1", order_no="a"), _row(3)]
    held = [_row(4, lot="1", order_no="a"), _row(5, lot="2"), _row(6, lot="1", order_no="b")]

    for ordered in permutations(lines):
        pairs = pair_lines(ordered, held)
        assert {(line.row_no, same.row_no) for line, same in pairs} == {(1, 6), (2, 4), (3, 5)}
        assert say_nothing_new(pairs)

    assert pair_lines([*lines[:2], _row(3, lot="3")], held) is None
    assert not say_nothing_new(pair_lines(held, lines))
