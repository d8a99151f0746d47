"""Rows in force that the newest version of their document tells no more."""

import polars as pl

from pipelines.checking.told_keys import PLACE
from schemas.frames import shape_of

ASKED_ABOUT = (
    "materials", "suppliers", "prices", "jobs", "job_materials", "edges", "offcuts", "losses",
    "extras", "purchases", "orders", "stock_counts",
)  # fmt: skip
"""Records of which a row left out may mean one taken out; the others answer or decide once."""

_KEY = ["record", "key"]


def find_gone(told: pl.DataFrame, read: pl.DataFrame, withdrawn: pl.DataFrame) -> pl.DataFrame:
    """
    Return receipt.row_gone: a row for each key in force that no newest version tells.

    Args:
        told: every received row with the key that it tells, as judging gives it.
        read: receipt_no and document of the files that could be read whole.
        withdrawn: receipt.withdrawn_row; a key of which every row was taken back is answered.

    A row that was rejected is there, if not as it should be: its key is not asked about.

    """
    told = told.join(read.select("receipt_no"), on="receipt_no", how="semi")
    newest = read.group_by("document").agg(pl.col("receipt_no").max().alias("newest_no"))
    versions = told.join(newest, on="document")
    there = versions.filter(pl.col("receipt_no") == pl.col("newest_no"))
    unsound = there.filter(~pl.col("is_sound")).select("record", "bare_key")
    standing = told.filter("is_kept").join(withdrawn, on=["record", *PLACE], how="anti")
    gone = (
        versions.filter("is_sound")
        .join(standing.select(_KEY), on=_KEY, how="semi")
        .join(there.select(_KEY), on=_KEY, how="anti")
        .join(unsound, on=["record", "bare_key"], how="anti")
    )
    last = _last_told(gone)
    return last.join(_next_versions(last, read), on=["document", "receipt_no"]).select(
        list(shape_of("receipt.row_gone"))
    )


def _last_told(gone: pl.DataFrame) -> pl.DataFrame:
    """Return one row a key: the first row of the last file that told it, and how many did there."""
    last = gone.filter(pl.col("receipt_no") == pl.col("receipt_no").max().over(_KEY))
    return (
        last.sort(*PLACE)
        .with_columns(pl.len().over(_KEY).cast(pl.Int64).alias("gone_count"))
        .unique(_KEY, keep="first", maintain_order=True)
    )


def _next_versions(last: pl.DataFrame, read: pl.DataFrame) -> pl.DataFrame:
    """Return the version of the document that came next after each file in `last`."""
    later = read.select("document", pl.col("receipt_no").alias("gone_receipt_no"))
    return (
        last.select("document", "receipt_no")
        .unique()
        .join(later, on="document")
        .filter(pl.col("gone_receipt_no") > pl.col("receipt_no"))
        .group_by("document", "receipt_no")
        .agg(pl.col("gone_receipt_no").min())
    )
