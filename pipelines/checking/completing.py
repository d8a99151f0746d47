"""Rows in base units, with what a blank means filled in."""

from collections.abc import Mapping

import polars as pl

from pipelines.checking.conversions import convert_quantities
from pipelines.checking.counts import add_counted_quantity
from pipelines.checking.decisions import complete_decisions
from pipelines.checking.findings import Findings
from pipelines.checking.items import read_items
from pipelines.checking.known import FirmLists
from pipelines.checking.lengths import prove_lengths
from pipelines.checking.purchases import TYPED_UNIT, add_purchase_quantity, complete_documents
from pipelines.quantities import Item
from schemas.columns import FIRST_DAY
from schemas.record import Record

_BLANK_MEANS = {"min_packs": 1, "valid_from": FIRST_DAY}
"""What a blank key column means where it is more than "not given"."""


def complete(
    record: Record,
    rows: pl.DataFrame,
    lists: FirmLists,
    items: Mapping[str, Item],
    findings: Findings,
) -> pl.DataFrame:
    """Return typed `rows` in base units, with what a blank means filled in."""
    meant = {**_BLANK_MEANS, "place": lists.yard}
    rows = rows.with_columns(
        pl.col(name).fill_null(pl.lit(value, rows.schema[name]))
        for name, value in meant.items()
        if name in record.key
    )
    rows = prove_lengths(record, rows, items, findings)
    if record.name == "purchases":
        rows = rows.with_columns(pl.col("unit").alias(TYPED_UNIT))
    converted = convert_quantities(record, rows, _known_items(record, rows, items), findings)
    if record.name == "purchases":
        return add_purchase_quantity(complete_documents(converted, findings), items, findings)
    if record.name == "decisions":
        return complete_decisions(converted, findings)
    if record.name == "stock_counts":
        return add_counted_quantity(converted, items, findings)
    return converted


def _known_items(
    record: Record, rows: pl.DataFrame, items: Mapping[str, Item]
) -> Mapping[str, Item]:
    """Return the items; of the list of materials itself, those that it makes bar its packs."""
    if record.name != "materials":
        return items
    bare = rows.drop_nulls("material").drop("pack_size").sort("receipt_no", "sheet", "row_no")
    return read_items(bare)
