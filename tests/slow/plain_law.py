"""Invented histories by the plain law: a fixed loss, a rate by type, scatter, a rare slip."""

from dataclasses import dataclass
from datetime import date

import numpy as np
import polars as pl

TYPE_SHARES = np.array([0.30, 0.22, 0.16, 0.12, 0.09, 0.06, 0.035, 0.015])
MONTHS = 36
DRAWS = 200
EVEN = np.ones(MONTHS)
SEASON = 1 + 0.15 * np.cos(2 * np.pi * np.arange(MONTHS) / 12)
STEP_DOWN = np.where(np.arange(MONTHS) < 20, 1, 0.6)
STEP_UP = np.where(np.arange(MONTHS) < 20, 1, 1.5)


@dataclass(frozen=True)
class History:
    """One material: `month`, `kind`, `base`, `used` of each job, and `draws` of its use again."""

    month: np.ndarray
    kind: np.ndarray
    base: np.ndarray
    used: np.ndarray
    draws: np.ndarray


def invent(seed: int, jobs_a_year: int) -> list[History]:
    """Return a firm's materials; the rates of types and the fixed losses are drawn anew."""
    chance = np.random.default_rng(seed)
    count = jobs_a_year * MONTHS // 12
    month = np.sort(chance.integers(0, MONTHS, count))
    kind = chance.choice(len(TYPE_SHARES), count, p=TYPE_SHARES)
    base = np.exp(chance.normal(3, 0.6, count))
    of_type = np.exp(chance.normal(0, 0.3, len(TYPE_SHARES)))
    return [
        _invent_material(chance, month, kind, base, of_type, course)
        for course in (EVEN, EVEN, EVEN, SEASON * STEP_DOWN, SEASON * STEP_UP)
    ]


def _invent_material(chance, month, kind, base, of_type, course) -> History:  # noqa: PLR0917 - the law's parts, in order
    own = of_type * np.exp(chance.normal(0, 0.3, len(of_type)))
    walk = np.exp(np.cumsum(chance.normal(0, 0.04, MONTHS)))
    crew = np.exp(chance.normal(0, 0.15, 4))
    level, scatter = chance.uniform(0.06, 0.09), chance.uniform(0.05, 0.09)
    fixed = chance.uniform(0.03, 0.08) * np.median(base)
    slip, slip_quantity = chance.uniform(0.02, 0.04), 0.15 * np.median(base)
    shape = (DRAWS + 1, len(base))
    rate = level * own[kind] * (course * walk)[month] * crew[chance.integers(0, 4, shape)]
    used = base * (1 + rate) * np.exp(chance.normal(0, scatter, shape))
    used += chance.gamma(4, fixed / 4, shape) + slip_quantity * (chance.random(shape) < slip)
    return History(month, kind, base, used[0], used[1:])


def lay_lines(history: History, before: int) -> pl.DataFrame:
    """Return the lines of the jobs finished before a month, as they are fitted."""
    known = history.month < before
    month = history.month[known]
    return pl.DataFrame(
        {
            "material": "resin",
            "kind": "resin",
            "base_unit": "kg",
            "job_ref": [f"{number:05}" for number in np.flatnonzero(known)],
            "job_type": [f"type {number}" for number in history.kind[known]],
            "completed_on": [date(2023 + m // 12, m % 12 + 1, 1) for m in month.tolist()],
            "base_quantity": history.base[known],
            "used_quantity": history.used[known],
        }
    )
