"""What a roof drinks and is covered with: resin in mixes, strips of mat, topcoat, the rest."""

from dataclasses import dataclass
from math import ceil
from random import Random

from sample_data.diary import Job
from sample_data.firm import LAY_UPS, MAT_LAP_MM, ROLL_WIDTH_MM, SOAK_KG_PER_M2, WALL_TRIMS
from sample_data.habits import MIX_LOSS_G, find_habits, raise_resin
from sample_data.trims import Bar

RESIN_TO_GLASS = 0.70 / 0.30
RESIN_TO_GLASS_UPSTAND = 0.75 / 0.25
STRIP_TRIMMING_MM = 60
JOIN_FROM_MM = 1000
HOT_DECK_C = 24


@dataclass(frozen=True)
class Pour:
    """The resin of one job in grams: all that left the tin, and what set in the bucket."""

    used_g: int
    gone_off_g: int


def lay_mat(job: Job, open_roll: int, roll: int) -> int:
    """Return the mat used in thousandths of a square metre, roll ends thrown away included."""
    used, rest = 0, open_roll
    for area in _cut_strips(job):
        if rest >= area:
            used, rest = used + area, rest - area
            continue
        used += rest
        joins = rest >= JOIN_FROM_MM * ROLL_WIDTH_MM // 1000
        fresh = area - rest + MAT_LAP_MM * ROLL_WIDTH_MM // 1000 if joins else area
        while fresh > roll:
            used, fresh = used + roll, fresh - roll
        used, rest = used + fresh, roll - fresh
    return used


def _cut_strips(job: Job) -> list[int]:
    """Areas of the strips of all layers, in thousandths of a square metre."""
    strips = []
    cover_mm = ROLL_WIDTH_MM - MAT_LAP_MM
    ripped = 0
    for width_mm, depth_mm in job.roof.fitted:
        count = max(1, ceil((depth_mm - MAT_LAP_MM) / cover_mm))
        strips += [(width_mm + STRIP_TRIMMING_MM) * ROLL_WIDTH_MM // 1000] * count
        ripped += (count * cover_mm + MAT_LAP_MM - depth_mm) * width_mm // 1000
    upstand = sum(edge.fitted_mm * edge.upstand_mm for edge in job.roof.edges) // 1000
    if upstand > ripped:
        strips.append(upstand - ripped)
    return strips * len(LAY_UPS[job.lay_up])


def pour_resin(rng: Random, job: Job) -> Pour:
    """Return the resin of a job: laminate, laps, bandage, soak, a loss for every mix."""
    if job.completed_on is None:
        raise ValueError(f"{job.job_ref} is not finished")
    habits = find_habits(job.crew, job.completed_on)
    ratio = job.kind.resin_ratio + raise_resin(job.crew, job.completed_on, job.deck_c)
    need_g = _specify_resin_g(rng, job) * (1 + ratio + rng.gauss(0, 0.02))
    mixes = ceil(need_g / habits.mix_g)
    chance = 0.03 if job.deck_c > HOT_DECK_C else 0.006
    lost = sum(rng.random() < chance for _ in range(mixes))
    gone_off_g = sum(100 * rng.randint(8, 30) for _ in range(lost))
    film_g = sum(MIX_LOSS_G * rng.uniform(0.6, 1.4) for _ in range(mixes))
    return Pour(round(need_g + film_g + job.kind.resin_fixed_g) + gone_off_g, gone_off_g)


def _specify_resin_g(rng: Random, job: Job) -> float:
    """Grams in the laminate, its laps, its bandage and the deck."""
    glass_g = sum(LAY_UPS[job.lay_up])
    area = job.roof.fitted_area_m2
    cover_mm = ROLL_WIDTH_MM - MAT_LAP_MM
    laps = sum(
        (ceil((depth - MAT_LAP_MM) / cover_mm) - 1) * MAT_LAP_MM * width / 1e6
        for width, depth in job.roof.fitted
    )
    upstand = sum(edge.fitted_mm * edge.upstand_mm for edge in job.roof.edges) / 1e6
    bandage = job.roof.trim_m() * 0.075 * 450 * RESIN_TO_GLASS
    soak = SOAK_KG_PER_M2[job.work] * 1000 * area * rng.uniform(0.85, 1.15)
    flat = (area + laps) * glass_g * RESIN_TO_GLASS
    return flat + upstand * glass_g * RESIN_TO_GLASS_UPSTAND + bandage + soak


def brush_topcoat_g(rng: Random, job: Job) -> int:
    """Return the topcoat of a job in grams: half a kilogram on a square metre, and losses."""
    upstand = sum(edge.fitted_mm * edge.upstand_mm for edge in job.roof.edges) / 1e6
    need_g = (job.roof.fitted_area_m2 + upstand) * 500
    need_g *= 1 + job.kind.topcoat_ratio + rng.gauss(0, 0.03)
    return round(need_g + job.kind.topcoat_fixed_g + 60 * ceil(need_g / 5000))


def dose_catalyst_g(rng: Random, job: Job, poured_g: int) -> int:
    """Return the catalyst in grams: between 1 and 4 per cent of what was poured, by warmth."""
    ratio = min(0.038, max(0.011, 0.043 - 0.0011 * job.deck_c + rng.gauss(0, 0.001)))
    return round(poured_g * ratio)


def prime_deck_g(rng: Random, job: Job) -> int:
    """Return the primer of an overlay in grams, else 0."""
    if job.work != "overlay":
        return 0
    return round(job.roof.fitted_area_m2 * 150 * rng.uniform(1.0, 1.15) + 80)


def use_sundries(rng: Random, job: Job, bars: list[Bar]) -> dict[str, int]:
    """Return what goes from opened packs, in thousandths: bandage m, nails, solvent l."""
    joints = max(0, sum(bar.fitted_mm > 0 for bar in bars) - len(job.roof.edges))
    bandage = job.roof.trim_m() * rng.uniform(1.02, 1.08) + 0.15 * joints
    nails = round(job.roof.trim_m() * 7 * rng.uniform(1.04, 1.18)) + 4
    solvent = 0.4 + job.roof.fitted_area_m2 * rng.uniform(0.06, 0.11)
    return {
        "bandage": round(bandage * 1000),
        "nails": nails * 1000,
        "solvent": round(solvent * 1000),
    }


def count_cartridges(rng: Random, job: Job) -> dict[str, int]:
    """Return whole cartridges: an opened one goes off before the next job."""
    adhesive_ml = job.roof.trim_m() * 36 * rng.uniform(1.05, 1.15)
    sealant_ml = job.roof.trim_m((WALL_TRIMS[1],)) * 36 * rng.uniform(1.05, 1.2)
    return {"adhesive": ceil(adhesive_ml / 310), "sealant": ceil(sealant_ml / 310)}
