"""A suggested allowance in the words of the trade."""

from collections.abc import Mapping
from typing import Any

from pipelines.calibration.misses import rank_of_share

NUMBER_WORDS = (
    *("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen"),
    *("nineteen", "twenty"),
)
PRINTED_UNITS = {"m2": "m²", "each": "pieces"}
TENTHS = 10
FEW_TYPE_JOBS = 3
OFTEN_SHORT = 0.25
SMALL_BASE = 10
_STEPS = "A decided allowance moves by three in a hundred a month"
_AT_ONCE = "Set your own figures to go there at once."


def write_sentence(row: Mapping[str, Any]) -> str | None:
    """
    Say what the jobs used, how far they are leaned on, and what the suggestion comes to.

    Args:
        row: a row of `result.proposal` with own_ratio, trust_ratio, others_ratio,
            mean_error_ratio, line_count, load_share_ratio, is_thin, capped_count,
            charged_in_full, loaded_in_full, piece_shift, short_count beside it.

    Returns:
        Sentences on a job of the usual size, in base units; None where nothing is fitted. Every
        quantity is base + fixed loss + ratio x base from the row's own figures.

    """
    if row["suggested_price_ratio"] is None:
        return None
    load = [] if row["why_not"] else [_say_load(row)]
    return " ".join([_say_use(row), _say_spread(row), *load, *_say_limits(row)])


def _say_use(row: Mapping[str, Any]) -> str:
    need = _show(row, row["typical_base_quantity"])
    of_all = _show_use(row, row["others_ratio"])
    if row["job_count"] == 0:
        return (
            f"No {row['job_type']} jobs on record: on a usual need of {need} all your jobs used "
            f"{of_all}, {_say_charge(row)}"
        )
    return (
        f"{_count_jobs(row)} used {_show_use(row, row['own_ratio'])} on a usual need of {need}; "
        f"all your jobs would have used {of_all}. {_say_lean(row)}, {_say_charge(row)}"
    )


def _say_lean(row: Mapping[str, Any]) -> str:
    tenths = round(row["trust_ratio"] * TENTHS)
    if tenths == TENTHS:
        return f"We lean almost wholly on the {row['job_type']} jobs"
    own, rest = NUMBER_WORDS[tenths], NUMBER_WORDS[TENTHS - tenths]
    parts = "part" if tenths == 1 else "parts"
    return f"We lean about {own} {parts} in ten on them and {rest} on all your jobs"


def _say_charge(row: Mapping[str, Any]) -> str:
    charged = f"{_show(row, row['charged_in_full'])}{_odd_jobs(row)}"
    if row["why_not"]:
        return f"which comes to {charged}. Not suggested: {row['why_not']}."
    if row["is_step_limited"]:
        step = _show(row, row["charged_quantity"])
        return f"which comes to {charged}. {_STEPS}, so {step} is suggested to charge for now."
    return f"so {charged} is suggested to charge."


def _odd_jobs(row: Mapping[str, Any]) -> str:
    change = row["mean_error_ratio"] * row["typical_base_quantity"]
    shown = _show(row, abs(change))
    if shown == _show(row, 0):
        return ""
    return f" ({shown} {'more' if change > 0 else 'less'}, as odd jobs count in part)"


def _say_spread(row: Mapping[str, Any]) -> str:
    low, high = _show_use(row, row["low_ratio"]), _show_use(row, row["high_ratio"])
    return f"Eight jobs in ten used between {low} and {high}."


def _say_load(row: Mapping[str, Any]) -> str:
    loaded, share = _show(row, row["loaded_in_full"]), row["load_share_ratio"]
    if row["is_step_limited"]:
        now = f"{_show(row, row['loaded_quantity'])} to load for now, {loaded} in the end"
        past = f"; with the load for now {_say_past(row)}" if row["job_count"] else ""
        return f"{now}{past}. {_AT_ONCE}"
    if rank_of_share(row["line_count"], share) > row["line_count"]:
        return (
            f"{loaded} loaded is what the worst of your {row['line_count']} jobs calls for; they "
            f"are too few to say how often a job runs short."
        )
    if row["piece_shift"] is not None and row["job_count"]:
        return f"With loads in whole ones, here {loaded}, {_say_past(row)}."
    return f"With {loaded} loaded {_say_short(share)} short."


def _say_past(row: Mapping[str, Any]) -> str:
    """Say how many jobs of the type took more than would have been loaded on each."""
    count, short = row["job_count"], row["short_count"]
    if count == 1:
        return f"the one {row['job_type']} job would {'' if short else 'not '}have run short"
    said = {0: "none", count: "each"}.get(short, str(short))
    return f"{said} of the {count} {row['job_type']} jobs would have run short"


def _say_short(load_share: float) -> str:
    short = 1 - load_share
    if short > OFTEN_SHORT:
        count = max(1, min(round(short * TENTHS), TENTHS - 1))
        return f"about {NUMBER_WORDS[count]} jobs in ten run"
    one_in = round(1 / short)
    word = NUMBER_WORDS[one_in] if one_in < len(NUMBER_WORDS) else str(one_in)
    return f"about one job in {word} runs"


def _say_limits(row: Mapping[str, Any]) -> list[str]:
    limits = []
    if 0 < row["job_count"] < FEW_TYPE_JOBS:
        limits.append(f"Too few {row['job_type']} jobs to say much of their own.")
    if row["is_thin"]:
        limits.append(f"Only {row['line_count']} jobs with {row['material']} so far: a start.")
    if row["capped_count"]:
        limits.append(_say_odd(row["capped_count"], row["material"]))
    if row["held_back_count"]:
        limits.append(_say_held_back(row["held_back_count"], row["copied_count"]))
    if row["whole_pack_count"]:
        limits.append(_say_whole_packs(row["whole_pack_count"]))
    return limits


def _say_held_back(count: int, copied_count: int) -> str:
    said = "One line was set aside" if count == 1 else f"{count} lines were set aside"
    if not copied_count:
        return f"{said}."
    if copied_count == count:
        return f"{said}: only what was allowed, written once more."
    return f"{said}, {copied_count} of them only what was allowed, written once more."


def _say_whole_packs(count: int) -> str:
    if count == 1:
        return "One line is in whole packs and counts less."
    return f"{count} lines are in whole packs and count less."


def _say_odd(count: int, material: str) -> str:
    jobs = "One odd job" if count == 1 else f"{count} odd jobs"
    return f"{jobs} with {material} {'was' if count == 1 else 'were'} given less weight."


def _count_jobs(row: Mapping[str, Any]) -> str:
    count = row["job_count"]
    return f"{count} {row['job_type']} {'job' if count == 1 else 'jobs'}"


def _show_use(row: Mapping[str, Any], ratio: float) -> str:
    base = row["typical_base_quantity"]
    return _show(row, base + row["full_fixed_loss"] + ratio * base)


def _show(row: Mapping[str, Any], quantity: float) -> str:
    digits = 2 if row["typical_base_quantity"] < SMALL_BASE else 1
    unit = PRINTED_UNITS.get(row["base_unit"], row["base_unit"])
    return f"{quantity:.{digits}f} {unit}"
