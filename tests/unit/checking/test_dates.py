"""The order of day and month is proven by mapping, column or setting, or the date is refused."""

from datetime import date

import pytest

from pipelines.checking.dates import proven_order, read_day
from pipelines.checking.judging import FirmLists
from tests.unit.checking.judged_inbox import Inbox, in_force, outcomes, reasons

THIRD_OF_APRIL = date(2026, 4, 3)
FOURTH_OF_MARCH = date(2026, 3, 4)


@pytest.mark.parametrize(
    ("texts", "told", "day_first", "order"),
    [
        (["03/04/2026"], "mdy", True, "mdy"),
        (["03/04/2026", "25/04/2026"], None, None, "dmy"),
        (["03/04/2026", "04/25/2026"], None, None, "mdy"),
        (["03/04/2026", "04/25/2026"], None, True, "mdy"),
        (["03/04/2026"], None, True, "dmy"),
        (["03/04/2026"], None, False, "mdy"),
        (["03/04/2026"], None, None, None),
        (["25/04/2026", "04/25/2026"], None, True, None),
    ],
)
def test_the_mapping_proves_then_the_column_then_the_setting(
    texts: list[str],
    told: str | None,
    day_first: bool | None,  # noqa: FBT001 - a parameter of the cases
    order: str | None,
) -> None:
    assert proven_order(texts, told, day_first=day_first) == order


def test_the_setting_is_no_proof_where_another_column_of_the_file_disproves_it() -> None:
    elsewhere = frozenset({"mdy"})

    assert proven_order(["03/04/2026"], None, day_first=True, elsewhere=elsewhere) is None
    assert proven_order(["03/04/2026"], None, day_first=False, elsewhere=elsewhere) == "mdy"


@pytest.mark.parametrize(
    ("text", "order", "day"),
    [
        ("2026-04-03", None, THIRD_OF_APRIL),
        ("2026-04-03 00:00:00", None, THIRD_OF_APRIL),
        ("2026/04/03", None, THIRD_OF_APRIL),
        ("03/04/2026", "dmy", THIRD_OF_APRIL),
        ("03.04.2026", "dmy", THIRD_OF_APRIL),
        ("03-04-2026", "mdy", FOURTH_OF_MARCH),
        ("26/04/03", "ymd", THIRD_OF_APRIL),
        ("05/05/2026", None, date(2026, 5, 5)),
        ("3 April 2026", None, THIRD_OF_APRIL),
        ("Fri, 3rd Apr 26", None, THIRD_OF_APRIL),
        ("3-Apr-2026", None, THIRD_OF_APRIL),
        ("4 Sept 2026", None, date(2026, 9, 4)),
        ("46115", None, THIRD_OF_APRIL),
    ],
)
def test_a_date_that_can_only_be_one_day_is_read(text: str, order: str | None, day: date) -> None:
    assert read_day(text, order).value == day


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("46115", "day number of a spreadsheet that counts from 1900"),
        ("03/04/26", "two figures of a year read as 2026"),
        ("03/04/2026", None),
    ],
)
def test_a_day_number_and_a_year_of_two_figures_are_mended_on_record(
    text: str, rule: str | None
) -> None:
    found = read_day(text, "dmy")

    assert (found.value, found.rule) == (THIRD_OF_APRIL, rule)


@pytest.mark.parametrize(
    ("text", "order", "fault"),
    [
        ("31/02/2026", "dmy", "is no day of the calendar"),
        ("2026-13-01", None, "is no day of the calendar"),
        ("03/25/2026", "dmy", "is no day of the calendar"),
        ("03/04/2026", None, "could be day first or month first"),
        ("25/04/2026", None, "dates day first and dates month first"),
        ("03/04/2026", "ymd", "does not begin with its year"),
        ("3 Marble 2026", None, "is not a date"),
        ("before 3 April 2026", None, "is not a date"),
        ("2026-04-03 14:30", None, "is not a date"),
        ("next week", None, "is not a date"),
    ],
)
def test_what_is_no_day_or_could_be_two_is_refused(
    text: str, order: str | None, fault: str
) -> None:
    found = read_day(text, order)

    assert found.value is None
    assert fault in str(found.fault)


JOBS = """
    job_ref  | job_type | quoted_on  | completed_on
    2025-014 | garage   | 03/04/2026 | 25/04/2026
"""


def test_a_date_without_proof_rejects_its_row_and_one_with_it_does_not() -> None:
    unproven = Inbox().add("jobs", JOBS).judge()["jobs"]
    by_setting = Inbox().add("jobs", JOBS).judge(FirmLists(day_first=True))["jobs"]
    disproved = Inbox().add("jobs", JOBS).judge(FirmLists(day_first=False))["jobs"]
    by_mapping = Inbox().add("jobs", JOBS, date_order="dmy").judge()["jobs"]

    assert reasons(unproven) == [
        "quoted_on: could be day first or month first, and nothing in the file proves which"
    ]
    assert outcomes(disproved) == ["rejected"]
    for judged in (by_setting, by_mapping):
        assert in_force(judged, "jobs", "quoted_on", "completed_on") == [
            (THIRD_OF_APRIL, date(2026, 4, 25))
        ]


def test_a_date_outside_the_calendar_of_the_firm_is_rejected() -> None:
    judged = Inbox().add("jobs", "job_ref|job_type|quoted_on\n2025-014|garage|20000").judge()

    assert reasons(judged["jobs"]) == ["quoted_on: lies outside 1990-01-01 to 2099-12-31"]
