"""Whole boards and battens: laid row by row and run by run, as many as the crew opens."""

from math import ceil
from random import Random

from sample_data.firm import WALL_TRIMS
from sample_data.habits import Habits
from sample_data.roofs import Roof

BOARD_MM = 2400
COVER_MM = 590
START_FROM_MM = 400
BATTEN_MM = 4800


def lay_boards(rng: Random, habits: Habits, roof: Roof) -> int:
    """Return the boards that a roof takes: offcuts above 400 mm may start the next row."""
    boards = 0
    for width_mm, depth_mm in roof.fitted:
        rest_mm = 0
        for _ in range(ceil(depth_mm / COVER_MM)):
            reuses = rest_mm > START_FROM_MM and rng.random() < habits.looks_at_leftovers + 0.1
            need_mm = width_mm - (rest_mm if reuses else 0)
            opened = max(0, ceil(need_mm / BOARD_MM))
            boards += opened
            rest_mm = opened * BOARD_MM - need_mm
    return boards + sum(rng.random() < 0.015 for _ in range(boards))


def fix_battens(rng: Random, habits: Habits, roof: Roof) -> int:
    """Return the batten lengths that the drip, raised and face edges of a roof take."""
    rests: list[int] = []
    lengths = 0
    for edge in roof.edges:
        if edge.trim in WALL_TRIMS:
            continue
        need_mm = edge.fitted_mm
        while need_mm > 0:
            fits = sorted(rest for rest in rests if rest >= min(need_mm, 600))
            if fits and rng.random() < habits.looks_at_leftovers:
                piece_mm = fits[0]
                rests.remove(piece_mm)
            else:
                piece_mm = BATTEN_MM
                lengths += 1
            rests.append(max(0, piece_mm - need_mm))
            need_mm -= piece_mm
    return lengths
