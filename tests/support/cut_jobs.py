"""Invented jobs of runs for tests of cutting: what edges of small flat roofs are like."""

from random import Random

SHORT, USUAL, LONG = (600, 1500), (1500, 5000), (5000, 9000)
"""Edges of bays and porches, of most roofs, of extensions, in mm."""


def draw_job(chance: Random, least_count: int, most_count: int) -> list[int]:
    """
    Draw the runs of one job, in mm.

    15 in 100 are short, 60 usual, 25 long; 35 in 100 stand in equal pairs, as opposite sides do.
    """
    count = chance.randint(least_count, most_count)
    runs: list[int] = []
    while len(runs) < count:
        (span,) = chance.choices((SHORT, USUAL, LONG), weights=(15, 60, 25))
        run = chance.randint(*span)
        runs += [run, run] if chance.random() < 0.35 / (2 - 0.35) else [run]
    return runs[:count]
