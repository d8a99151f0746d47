"""A text that begins like a formula is written with a mark, and read without it."""

import pytest

from pipelines.checking.escapes import escape_formula
from tests.unit.checking.judged_inbox import Inbox, in_force


@pytest.mark.parametrize("text", ["=1+1", "+44 20", "-3", "@home", "=cmd|'/c calc'!A1"])
def test_what_is_written_with_a_mark_is_read_without_it(text):
    escaped = escape_formula(text)
    rows = [{"job_ref": "2025-014", "job_type": "garage", "notes": escaped}]

    assert escaped == f"'{text}"
    judged = Inbox().add("jobs", rows).judge()["jobs"]
    assert in_force(judged, "jobs", "notes") == [(text,)]


@pytest.mark.parametrize("value", ["as agreed", "'quoted'", "1+1", 3, None])
def test_what_does_not_begin_like_a_formula_stays_as_it_is(value):
    assert escape_formula(value) == value
