"""What a job of the invented firm might have used: the same roof cut and poured again."""

from collections import defaultdict
from dataclasses import replace
from random import Random

from sample_data.decking import fix_battens, lay_boards
from sample_data.diary import DECK_C_BY_MONTH, Job
from sample_data.firm import BY_NAME, CREWS, DECKED
from sample_data.habits import find_habits
from sample_data.laminate import brush_topcoat_g, count_cartridges, lay_mat, pour_resin
from sample_data.roofs import count_corners
from sample_data.trims import Cutter
from sample_data.work import History

THOUSANDTHS = 1000
Uses = dict[str, list[float]]


def draw_uses(history: History, job: Job, draws: int) -> Uses:
    """
    Return what so many runs of the job use, by material, in base units, one figure a run.

    The roof stays as it was fitted. What no drawing knows is drawn anew: which van comes, how
    warm it is, what lies on the rack and on the open roll.
    """
    rng = Random(f"{job.job_ref} again")  # noqa: S311 - seeded, not secret
    racks = [count.rack for count in history.counts[-3:]]
    uses: Uses = defaultdict(list)
    for _ in range(draws):
        again = replace(job, crew=rng.choice(CREWS), deck_c=_warm(rng, job))
        rack = {trim: list(pieces) for trim, pieces in rng.choice(racks).items()}
        for material, thousandths in _use(rng, again, rack).items():
            uses[material].append(thousandths / THOUSANDTHS)
    return uses


def _warm(rng: Random, job: Job) -> int:
    assert job.completed_on is not None
    usual = DECK_C_BY_MONTH[job.completed_on.month - 1]
    return max(5, min(34, usual + round(rng.gauss(0, 3))))


def _use(rng: Random, job: Job, rack: dict[str, list[int]]) -> dict[str, int]:
    assert job.completed_on is not None
    habits = find_habits(job.crew, job.completed_on)
    bars = Cutter(rng, habits, defaultdict(list, rack)).fit_edges(job.roof)
    used = {edge.trim: 0 for edge in job.roof.edges}
    for bar in bars:
        used[bar.trim] += bar.length_mm - bar.racked_mm
    packs = count_cartridges(rng, job) | {"batten": fix_battens(rng, habits, job.roof)}
    if job.work in DECKED:
        packs["deck board"] = lay_boards(rng, habits, job.roof)
    for piece, count in count_corners(job.roof).items():
        packs[piece] = count + sum(rng.random() < 0.04 for _ in range(count))
    used |= {name: count * BY_NAME[name].pack for name, count in packs.items()}
    mat = next(name for name in job.allowed if name.startswith("mat "))
    used[mat] = lay_mat(job, rng.randrange(BY_NAME[mat].pack), BY_NAME[mat].pack)
    return used | {"resin": pour_resin(rng, job).used_g, job.topcoat: brush_topcoat_g(rng, job)}
