"""How large the jobs of a type are, in base units of a material."""

import polars as pl

KEY = ("material", "job_type")
_SIZES = ("typical_base_quantity", "largest_base_quantity", "largest_specified_quantity")


def size_jobs(use_lines: pl.DataFrame, grid: pl.DataFrame) -> pl.DataFrame:
    """
    Find the usual and the largest base of each job type.

    Args:
        use_lines: one row per material and job: material, kind, base_unit, job_type,
            base_quantity, specified_quantity (what the roof is specified to hold), and
            piece_quantity where it is known.
        grid: the pairs of material and job_type that are asked about.

    Returns:
        `grid` with kind, base_unit, piece_quantity, job_count, typical_base_quantity (median
        base), largest_base_quantity and largest_specified_quantity. A type without a job has the
        figures of all jobs with the material, and a job_count of 0.

    """
    base = pl.col("base_quantity")
    figures = (
        base.median().alias("typical_base_quantity"),
        base.max().alias("largest_base_quantity"),
        pl.col("specified_quantity").max().alias("largest_specified_quantity"),
    )
    by_type = use_lines.group_by(KEY).agg(pl.len().cast(pl.Int64).alias("job_count"), *figures)
    of_all = use_lines.group_by("material").agg(
        pl.col("kind").first(), pl.col("base_unit").first(), _piece(use_lines), *figures
    )
    known = grid.join(of_all, on="material", how="left").join(
        by_type, on=KEY, how="left", suffix="_of_type"
    )
    return known.with_columns(
        pl.col("job_count").fill_null(0),
        *(pl.coalesce(f"{name}_of_type", name).round(3).alias(name) for name in _SIZES),
    ).drop(f"{name}_of_type" for name in _SIZES)


def _piece(use_lines: pl.DataFrame) -> pl.Expr:
    if "piece_quantity" in use_lines.columns:
        return pl.col("piece_quantity").first()
    return pl.lit(None, pl.Float64).alias("piece_quantity")
