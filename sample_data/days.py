"""Working days and months."""

from calendar import monthrange
from datetime import date, timedelta

from sample_data.firm import FIRST_MONTH


def is_working(day: date) -> bool:
    """Return whether anybody works: not at weekends, not from 24 December to 1 January."""
    is_closed = (day.month, day.day) >= (12, 24) or (day.month, day.day) == (1, 1)
    return day.weekday() < 5 and not is_closed


def find_working(day: date) -> date:
    """Return the day itself or the first working day after it."""
    while not is_working(day):
        day += timedelta(1)
    return day


def list_months(months: int) -> list[date]:
    """Return the first days of the months that the files cover."""
    first = FIRST_MONTH.year * 12 + FIRST_MONTH.month - 1
    return [date(n // 12, n % 12 + 1, 1) for n in range(first, first + months)]


def end_month(month_on: date) -> date:
    """Return the last day of the month."""
    return month_on.replace(day=monthrange(month_on.year, month_on.month)[1])
