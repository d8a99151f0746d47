"""An estimate as a table and lines for the terminal."""

from collections.abc import Iterator
from decimal import Decimal

from rich.table import Table

from pipelines.estimating.first_estimate import NOTHING
from pipelines.month.estimated import Estimate, EstimatedLine

_NOT_KNOWN = "not known"
_PACKS_ONLY = "see tin"


def estimate_title(told: Estimate) -> str:
    """Return what was estimated, on which day's prices and allowances."""
    area = "area not given" if told.area_m2 is None else f"{_plain(told.area_m2)} m2"
    made = ", ".join(word for word in (told.job_type, told.work, told.lay_up, area) if word)
    return f"{told.reference}: {made}; prices and allowances of {told.as_of}"


def estimate_table(told: Estimate) -> Table:
    """Return the lines of an estimate as a table: what is in force."""
    table = _table("material", "unit", "bare need", "specified", "charge", "load", "packs", "GBP")
    for line in told.lines:
        table.add_row(
            line.material,
            line.base_unit,
            *_amounts(line, line.net_quantity, line.base_quantity),
            *_amounts(line, line.charged_quantity, line.loaded_quantity),
            _packs(line),
            _money(line.cost_gbp),
        )
    return table


def suggested_table(told: Estimate) -> Table:
    """Return what the suggested allowances would come to, for the materials that have one."""
    table = _table("as your jobs suggest", "unit", "charge", "load", "GBP")
    for line in told.lines:
        if line.suggested is not None:
            beside = line.suggested
            amounts = _amounts(line, beside.charged_quantity, beside.loaded_quantity)
            table.add_row(line.material, line.base_unit, *amounts, _money(beside.cost_gbp))
    return table


def _table(name: str, *heads: str) -> Table:
    table = Table(box=None, padding=(0, 2, 0, 0))
    table.add_column(name)
    for head in heads:
        table.add_column(head, justify="right", no_wrap=True)
    return table


def estimate_lines_below(told: Estimate) -> Iterator[str]:
    """Yield what stands below the table: the total, what is missing from it, notes, cautions."""
    total = _NOT_KNOWN if told.total_gbp is None else f"{told.total_gbp:,} GBP ex VAT"
    yield f"Materials charged: {total}, the sum of the lines."
    if told.unpriced:
        yield f"No price is known for: {', '.join(told.unpriced)}. They are not in the sum."
    if told.unknown:
        yield (
            f"How much is needed is not known for: {', '.join(told.unknown)}. They are not in the "
            "sum; say it under needs, or give the rate in the settings."
        )
    bare = [line.material for line in told.lines if line.how == NOTHING]
    if bare:
        yield f"No allowance is in force, so nothing is added, for: {', '.join(bare)}."
    yield from told.notes
    yield from told.cautions


def _amounts(line: EstimatedLine, *values: Decimal | None) -> Iterator[str]:
    """Yield quantities; none of catalyst, which beside the resin's would read as a dose."""
    for value in values:
        known = _NOT_KNOWN if value is None else f"{value:,.2f}"
        yield _PACKS_ONLY if line.kind == "catalyst" else known


def _packs(line: EstimatedLine) -> str:
    if line.packs_count is None or line.pack_size is None:
        return _NOT_KNOWN
    return f"{line.packs_count} of {_plain(line.pack_size)}"


def _money(value: Decimal | None) -> str:
    return _NOT_KNOWN if value is None else f"{value:,}"


def _plain(value: Decimal) -> str:
    return f"{value.normalize():f}"
