"""Suggested changes of what is allowed, each with its sentence; nothing changes by itself."""

from decimal import Decimal
from typing import Any

import polars as pl

from reports import words
from reports.decisions import FILE_NAME
from reports.page import Action, Frames, Section, Table

READS_TO_DECIDE = ("page.suggestion", "page.allowance")
READS = (*READS_TO_DECIDE, "page.suggestion_by_size")

_MOST_SHOWN = 10
_ENOUGH_JOBS = 3
_KEYS = ("material", "job_type")
_HOW_TO_READ = "The part for every job does not grow with the roof: the last bucket, the cut ends."


def to_decide(frames: Frames) -> pl.DataFrame:
    """
    Return the suggestions that wait for a decision, most money at stake first.

    Those whose allowance is off, then those for which the firm states no allowance yet.
    """
    return _judged(frames).filter(pl.col("is_off") | pl.col("is_unstated"))


def _judged(frames: Frames) -> pl.DataFrame:
    """Return the suggestions that are made, each with what is allowed and whether that is off."""
    offered = frames["page.suggestion"].filter("is_offered")
    rates = frames["page.allowance"].select(*_KEYS, "rate_label", "allowed_rate", "is_off")
    both = offered.join(rates, on=_KEYS, how="left", maintain_order="left")
    known = pl.col("rate_label").is_not_null() & (pl.col("job_count") >= _ENOUGH_JOBS)
    return both.with_columns(
        pl.col("is_off").fill_null(value=False),
        is_unstated=known & pl.col("allowed_rate").is_null(),
    ).sort("is_off", "at_stake_gbp", descending=True, nulls_last=True, maintain_order=True)


def make_section(frames: Frames) -> Section:
    """Return the suggested changes with their sentences, and what decides nothing by itself."""
    question = "What would the changes mean?"
    judged, open_rows = _judged(frames), to_decide(frames)
    held = frames["page.suggestion"].filter(~pl.col("is_offered"))
    shown, others = open_rows.head(_MOST_SHOWN), _others(judged, open_rows)
    by_size = _table_by_size(shown, frames["page.suggestion_by_size"])
    folded = (*by_size, *_table_others(others), *_table_held(held))
    if open_rows.is_empty():
        finding = _nothing_to_decide(frames["page.suggestion"], judged)
        return Section(question, finding, folded=folded)
    action = Action(
        "You decide",
        "Nothing changes by itself. In the workbook choose accept, keep as it is, or set your own "
        "figures, save it into the inbox and run. The next estimate uses it from that day.",
        ("The workbook of decisions", FILE_NAME),
    )
    notes = (" ".join([_HOW_TO_READ, *_need_none(judged)]),)
    finding = _find(shown, open_rows)
    return Section(
        question, finding, None, notes, (_table(shown),), action, is_wide=True, folded=folded
    )


def _find(shown: pl.DataFrame, whole: pl.DataFrame) -> str:
    count = words.start_upper(words.counted_in_words(shown.height, "change"))
    money, of_money = (
        sum(frame["at_stake_gbp"].drop_nulls().to_list(), Decimal(0)) for frame in (shown, whole)
    )
    if shown.height < whole.height:
        return (
            f"{count} of {whole.height} hold {words.pounds(money)} of the "
            f"{words.pounds(of_money)} at stake in a year."
        )
    first = shown.row(0, named=True)
    stake = f", {words.pounds(money)} at stake in a year" if money else ""
    return (
        f"{count} {words.is_or_are(shown.height)} suggested{stake}; the first is "
        f"{first['material']} for {words.plural(first['job_type'])}."
    )


def _nothing_to_decide(frame: pl.DataFrame, judged: pl.DataFrame) -> str:
    if judged.is_empty() and frame.is_empty():
        return "Nothing is suggested yet: too few finished jobs say what they took."
    return "Nothing needs a decision: what you allow stands."


def _need_none(judged: pl.DataFrame) -> list[str]:
    rest = judged.filter(~pl.col("is_off") & ~pl.col("is_unstated"))
    agree = rest.drop_nulls("allowed_rate").height
    said = []
    if agree:
        verb = "agrees" if agree == 1 else "agree"
        said.append(f"{agree} more {verb} with what you allow and need no decision.")
    if apart := rest.height - agree:
        said.append(f"{apart} have no recent job of their type.")
    return said


def _others(judged: pl.DataFrame, open_rows: pl.DataFrame) -> pl.DataFrame:
    shown = open_rows.head(_MOST_SHOWN).select(*_KEYS)
    return judged.join(shown, on=_KEYS, how="anti", maintain_order="left")


def _table(frame: pl.DataFrame) -> Table:
    rows = [
        (*_figures(row), row["sentence"] or "") for row in frame.iter_rows(named=True)
    ]  # fmt: skip
    heads = (*_HEADS, "In words")
    caption = "Suggested changes, most money first"
    return Table(caption, heads, tuple(rows), frozenset({4}))


_HEADS = (
    "Allowance", "You allow", "Suggested to charge", "Suggested to load", "At stake in a year",
)  # fmt: skip


def _figures(row: dict[str, Any]) -> tuple[str, ...]:
    label = row["rate_label"]
    allowed = row["allowed_rate"]
    return (
        f"{row['material']}, {row['job_type']}",
        "not stated" if allowed is None else words.rate_with_label(allowed, label),
        _suggested(row, "charge_rate", "charged_quantity"),
        _suggested(row, "load_rate", "loaded_quantity"),
        "" if row["at_stake_gbp"] is None else words.pounds(row["at_stake_gbp"]),
    )


def _suggested(row: dict[str, Any], rate: str, quantity: str) -> str:
    """Return "1.38 kg per m² + 1.6 kg a job"; without a rate, the whole of a usual job."""
    unit = row["base_unit"]
    if row[rate] is None or row["rate_label"] is None:
        need, whole = row["typical_base_quantity"], row[quantity]
        if need is None or whole is None:
            return ""
        return f"{_exact(whole, unit)} where {_exact(need, unit)} is needed"
    fixed = row["suggested_fixed_loss"]
    part = words.rate_with_label(row[rate], row["rate_label"])
    return f"{part} + {words.quantity(fixed, unit)} a job" if fixed else part


def _exact(quantity: float, unit: str) -> str:
    return f"{quantity:.1f}" if unit == "each" else words.quantity(quantity, unit)


def _table_by_size(shown: pl.DataFrame, sizes: pl.DataFrame) -> tuple[Table, ...]:
    """Return what the shown suggestions come to on roofs of four sizes, a row each."""
    own = shown.select(*_KEYS).join(sizes, on=_KEYS, how="inner", maintain_order="left")
    rows = [
        (f"{material}, {job_type}", size_label, *_by_size(part, base_unit))
        for (material, job_type, size_label, base_unit), part in own.group_by(
            *_KEYS, "size_label", "base_unit", maintain_order=True
        )
    ]
    if not rows:
        return ()
    caption = "The same on roofs of four sizes: as you allow, then as suggested"
    heads = ("Allowance", "Size in", *(str(size) for size in sorted(set(own["size"]))))
    return (Table(caption, heads, tuple(rows)),)


def _by_size(part: pl.DataFrame, unit: str) -> list[str]:
    """Return "15.0, then 16.6 to 18.6 kg" for each size: charged to loaded."""
    return [_of_size(row, unit) for row in part.sort("size").iter_rows(named=True)]


def _of_size(row: dict[str, Any], unit: str) -> str:
    charged, loaded = row["charged_quantity"], row["loaded_quantity"]
    suggested = f"{charged:.1f} to {loaded:.1f} {words.unit_sign(unit)}".rstrip()
    if row["allowed_quantity"] is None:
        return suggested
    return f"{row['allowed_quantity']:.1f}, then {suggested}"


def _table_others(frame: pl.DataFrame) -> tuple[Table, ...]:
    if frame.is_empty():
        return ()
    rows = [(*_figures(row), _state(row)) for row in frame.iter_rows(named=True)]
    caption = f"The other {words.counted(frame.height, 'suggestion')} as a table"
    return (Table(caption, (*_HEADS, "State"), tuple(rows), frozenset({4})),)


def _state(row: dict[str, Any]) -> str:
    if row["is_off"]:
        return "off"
    if row["rate_label"] is None:
        return "no recent job"
    return "not stated" if row["allowed_rate"] is None else "agrees"


def _stands_on(row: dict[str, Any]) -> str:
    said = [words.counted(row["job_count"], "job")]
    if row["held_back_count"]:
        copied = f" ({row['copied_count']} as allowed)" if row["copied_count"] else ""
        said.append(f"{row['held_back_count']} set aside{copied}")
    if row["whole_pack_count"]:
        said.append(f"{row['whole_pack_count']} in whole packs")
    return ", ".join(said)


def _table_held(frame: pl.DataFrame) -> tuple[Table, ...]:
    if frame.is_empty():
        return ()
    lines = [
        (
            f"{row['material']}, {row['job_type']}",
            _stands_on(row),
            row["why_not"] or "",
        )
        for row in frame.iter_rows(named=True)
    ]
    caption = f"No change suggested for {words.counted(frame.height, 'allowance')}, and why not"
    return (Table(caption, ("Allowance", "Stands on", "Why not"), tuple(lines)),)
