"""Least lengths against every way to cut small jobs, and what must hold for any job."""

from collections.abc import Iterator
from itertools import combinations_with_replacement

from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.cutting.least_lengths import LeastLengths, least_lengths

STOCK_MM = 3000
KEEP_FROM_MM = 600

runs = st.lists(st.integers(101, 9500), min_size=1, max_size=12)
laps = st.integers(0, 100)
kerfs = st.integers(0, 5)


def plan(runs_mm: list[int], lap_mm: int, kerf_mm: int) -> LeastLengths:
    return least_lengths(
        runs_mm,
        stock_length_mm=STOCK_MM,
        lap_mm=lap_mm,
        kerf_mm=kerf_mm,
        keep_from_mm=KEEP_FROM_MM,
    )


@given(runs_mm=runs, lap_mm=laps, kerf_mm=kerfs)
@settings(max_examples=100, deadline=None)
def test_what_is_used_up_holds_runs_and_laps(runs_mm: list[int], lap_mm: int, kerf_mm: int) -> None:
    found = plan(runs_mm, lap_mm, kerf_mm)

    assert found.base_mm >= sum(runs_mm) + found.lap_mm
    assert 0 <= found.kept_mm <= found.leftover_mm < STOCK_MM
    assert found.base_mm + found.kept_mm == found.lengths_count * STOCK_MM


@given(runs_mm=runs, lap_mm=laps, kerf_mm=kerfs, order=st.randoms(use_true_random=False))
@settings(max_examples=50, deadline=None)
def test_the_order_of_runs_changes_nothing(
    runs_mm: list[int], lap_mm: int, kerf_mm: int, order: object
) -> None:
    shuffled = sorted(runs_mm, key=lambda _: order.random())  # type: ignore[attr-defined]

    assert plan(shuffled, lap_mm, kerf_mm) == plan(runs_mm, lap_mm, kerf_mm)


@given(runs_mm=runs, more_mm=st.integers(101, 9500), lap_mm=laps, kerf_mm=kerfs)
@settings(max_examples=100, deadline=None)
def test_one_run_more_never_takes_fewer_lengths(
    runs_mm: list[int], more_mm: int, lap_mm: int, kerf_mm: int
) -> None:
    before, after = plan(runs_mm, lap_mm, kerf_mm), plan([*runs_mm, more_mm], lap_mm, kerf_mm)

    assert after.lengths_count >= before.lengths_count


@given(
    runs_mm=st.lists(st.integers(4, 18), min_size=1, max_size=3),
    stock_mm=st.integers(7, 12),
    lap_mm=st.integers(0, 3),
    kerf_mm=st.integers(0, 2),
)
@settings(max_examples=40, deadline=None)
def test_no_way_of_cutting_takes_fewer_lengths(
    runs_mm: list[int], stock_mm: int, lap_mm: int, kerf_mm: int
) -> None:
    bound = _bound(runs_mm, stock_mm, lap_mm, kerf_mm)

    assert bound == 1 or not _can_cut(runs_mm, bound - 1, stock_mm, lap_mm, kerf_mm)


def test_nine_small_jobs_in_ten_are_cut_from_the_lengths_of_the_bound() -> None:
    jobs = [
        job for count in (1, 2, 3) for job in combinations_with_replacement(range(2, 13), count)
    ]
    reached = sum(_can_cut(job, _bound(job, 9, 1, 1), 9, 1, 1) for job in jobs)

    assert len(jobs) == 363
    assert reached / len(jobs) >= 0.9


def _bound(runs_mm: list[int] | tuple[int, ...], stock: int, lap: int, kerf: int) -> int:
    return least_lengths(
        runs_mm, stock_length_mm=stock, lap_mm=lap, kerf_mm=kerf, keep_from_mm=2
    ).lengths_count


def _can_cut(
    runs_mm: list[int] | tuple[int, ...], lengths: int, stock: int, lap: int, kerf: int
) -> bool:
    """Try every way to take every run, in whole mm, out of so many lengths."""
    rests: set[tuple[int, ...]] = {(stock,) * lengths}
    for run in runs_mm:
        rests = {tuple(sorted(after)) for rest in rests for after in _take(run, rest, 0, lap, kerf)}
    return bool(rests)


def _take(
    wanted: int, rest: tuple[int, ...], at: int, lap: int, kerf: int
) -> Iterator[tuple[int, ...]]:
    """Yield what is left of the lengths after a run; a piece that others follow gives its lap."""
    if at == len(rest):
        return
    yield from _take(wanted, rest, at + 1, lap, kerf)
    if lap < wanted <= rest[at]:
        yield _cut(rest, at, wanted, kerf)
    for piece in range(lap + 1, min(wanted - 1, rest[at]) + 1):
        yield from _take(wanted - piece + lap, _cut(rest, at, piece, kerf), at + 1, lap, kerf)


def _cut(rest: tuple[int, ...], at: int, piece: int, kerf: int) -> tuple[int, ...]:
    left = max(0, rest[at] - piece - kerf)
    return (*rest[:at], left, *rest[at + 1 :])
