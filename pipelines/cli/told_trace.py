"""A trace as lines for the terminal."""

from collections.abc import Iterator
from decimal import Decimal

from pipelines.month.traced import Figure, Older, Source, TracedJob, TracedMaterial

Line = tuple[int, str]
"""How far to step in, and what to say."""

_NOT_KNOWN = "not recorded"
_PRICE_PLACES = 4
_HOW = {
    "typed": "as typed",
    "derived": "worked out",
    "rule": "by the rule in the settings",
    "list": "from the price list",
}


def trace_lines(traced: TracedJob) -> Iterator[Line]:
    """Yield the lines of a trace: the job, its figures, then each material with its own."""
    yield 0, f"{traced.job_ref}, {traced.job_type}, {_stands(traced)}"
    for figure in traced.figures:
        yield from _figure_lines(figure)
    for material in traced.materials:
        yield from _material_lines(material)


def _stands(traced: TracedJob) -> str:
    on = traced.completed_on
    return traced.status if on is None else f"finished {on.day} {on:%B %Y}"


def _material_lines(material: TracedMaterial) -> Iterator[Line]:
    yield 0, ""
    yield 0, f"{material.material}, kept in {material.base_unit}"
    for reason in material.held_back:
        yield 1, f"set aside from learning: {reason}"
    for figure in material.figures:
        yield from _figure_lines(figure)
    blank = [figure.figure for figure in material.figures if _says_nothing(figure)]
    if blank:
        yield 1, f"{_NOT_KNOWN}: {', '.join(blank)}"


def _figure_lines(figure: Figure) -> Iterator[Line]:
    if _says_nothing(figure):
        return
    how = _HOW.get(figure.how, figure.how)
    if not how and figure.made_of:
        how = f"from {', '.join(figure.made_of)}"
    yield 1, f"{figure.figure}: {_value(figure)}{f' ({how})' if how else ''}"
    for source in figure.rests_on:
        yield from _source_lines(source)


def _says_nothing(figure: Figure) -> bool:
    return figure.value is None and not figure.rests_on


def _value(figure: Figure) -> str:
    if figure.value is None:
        return _NOT_KNOWN
    if figure.unit == "GBP":
        return f"£{figure.value:,.2f}".replace("£-", "-£")
    if figure.unit.startswith("GBP "):
        unit = figure.unit.removeprefix("GBP").replace("a each", "each")
        return f"£{_short(round(figure.value, _PRICE_PLACES))}{unit}"
    return f"{_short(figure.value)} {figure.unit}"


def _short(value: Decimal) -> str:
    return f"{value.normalize():,f}"


def _source_lines(source: Source) -> Iterator[Line]:
    told = {name: value for name, value in source.key.items() if name != "entry"}
    key = ", ".join(f"{_plain(name)} {value.replace('_', ' ')}" for name, value in told.items())
    beside = f" ({key})" if key else ""
    place = _place(source.file, source.sheet, source.row)
    yield 2, f"{_plain(source.column)} {source.value}{beside} - {place}"
    for mended in source.mended:
        yield 3, f"came as {mended.before}, kept as {mended.after}: {mended.rule}"
    for older in source.replaced:
        yield 3, _older(older, source)


def _older(older: Older, source: Source) -> str:
    place = _place(older.file, older.sheet, older.row)
    if older.taken_back:
        return f"was {older.value} - {place}, {older.taken_back} - {older.replaced_by}"
    if older.value == source.value:
        return f"the same - {place}"
    on = older.replaced_on
    when = "" if on is None else f" on {on.day} {on:%B %Y}"
    return f"was {older.value} - {place}, replaced{when} by {older.replaced_by}"


def _place(file: str, sheet: str, row: int | None) -> str:
    parts = (file, f"sheet {sheet}" if sheet else "", "" if row is None else f"row {row}")
    return ", ".join(part for part in parts if part)


def _plain(name: str) -> str:
    return name.replace("_", " ").replace(".", " ")
