"""Which key every received row tells, in the words in which a person names it."""

import polars as pl

from pipelines.checking.verdicts import Resolved
from schemas.record import Record

PLACE = ("receipt_no", "sheet", "row_no", "part_no")
_ENTRY = "entry"
_PARTS = ";"


def tell_keys(record: Record, rows: pl.DataFrame, resolved: Resolved) -> pl.DataFrame:
    """
    Return, for every row of `rows` (typed), its place and the key that it tells.

    `key` is as a withdrawal writes it; a value that would break that apart is named by its place
    instead. `bare_key` leaves out the entry, which a rejected row may not have. `is_kept`: the
    row says something new; `is_sound`: it was kept, or held already.
    """
    kept = resolved.kept_rows()
    held = pl.Series(list(resolved.already_held), dtype=pl.Int64)
    is_kept = pl.col("row_id").is_in(kept["row_id"].implode())
    told = rows.with_columns(
        pl.lit(record.name).alias("record"),
        is_kept.alias("is_kept"),
        (is_kept | pl.col("row_id").is_in(held.implode())).alias("is_sound"),
    )
    if record.adds_up:
        told = (
            told.join(resolved.first_told(), on="row_id", how="left", maintain_order="left")
            .with_columns(told_by=pl.coalesce("told_by", "row_id"))
            .join(
                kept.rename({"row_id": "told_by"}), on="told_by", how="left", maintain_order="left"
            )
            .with_columns(pl.coalesce(_ENTRY, "given_entry").alias(_ENTRY))
        )
    bare = [name for name in record.key if name != _ENTRY]
    return told.select(
        *PLACE,
        "batch_no",
        "file_name",
        "document",
        "record",
        _write_key(record.key).alias("key"),
        _write_key(bare).alias("bare_key"),
        "is_kept",
        "is_sound",
    )


def _write_key(names: tuple[str, ...] | list[str]) -> pl.Expr:
    values = [pl.col(name).cast(pl.String) for name in names]
    parts = [pl.lit(f"{name}=") + value for name, value in zip(names, values, strict=True)]
    breaks = pl.any_horizontal(value.str.contains(_PARTS, literal=True) for value in values)
    place = [pl.lit("file=") + pl.col("file_name"), _sheet(), pl.format("row={}", "row_no")]
    written = pl.concat_str(parts, separator="; ", ignore_nulls=True)
    by_place = pl.concat_str(place, separator="; ", ignore_nulls=True)
    return pl.when(breaks.fill_null(value=False)).then(by_place).otherwise(written)


def _sheet() -> pl.Expr:
    return pl.when(pl.col("sheet") != "").then(pl.lit("sheet=") + pl.col("sheet"))
