"""What a line counts by how its use was found out."""

import numpy as np
import polars as pl

from pipelines.calibration.gates import LEAST_LINES, find_scatter

LINE_WEIGHT = "line_weight"
"""Column of what a line counts beside its age; where it is not there, every line counts 1."""

SPREAD_OF_PACK = 1 / np.sqrt(12)
"""Standard error of a use that is only known to the pack, over the pack: any rest is as likely."""


def weigh_readings(use_lines: pl.DataFrame) -> pl.DataFrame:
    """
    Let lines that were booked in whole packs count less, the small jobs least.

    A job scatters by s in itself and a line in whole packs by pack / base / sqrt(12) more, so it
    counts s^2 / (s^2 + that^2) of one that was weighed. s is the scatter of the material's other
    lines, or of all of them where fewer than 8 others speak.

    Args:
        use_lines: material, base_quantity, used_quantity above 0, and whole_pack_quantity: the
            pack of a line in whole packs, else null.

    Returns:
        The lines in their order, with `line_weight` above 0 and up to 1.

    """
    if use_lines["whole_pack_quantity"].is_null().all():
        return use_lines.with_columns(pl.lit(1.0).alias(LINE_WEIGHT))
    scatters = pl.DataFrame(
        [
            {"material": material, "scatter": _find_scatter(own)}
            for (material,), own in use_lines.partition_by("material", as_dict=True).items()
        ]
    )
    coarse = pl.col("whole_pack_quantity") / pl.col("base_quantity") * SPREAD_OF_PACK
    own = pl.col("scatter") ** 2
    weight = (own / (own + coarse**2)).fill_null(1.0).alias(LINE_WEIGHT)
    return (
        use_lines.join(scatters, on="material", how="left", maintain_order="left")
        .with_columns(weight)
        .drop("scatter")
    )


def _find_scatter(lines: pl.DataFrame) -> float:
    poured = lines.filter(pl.col("used_quantity") > 0)
    others = poured.filter(pl.col("whole_pack_quantity").is_null())
    asked = others if others.height >= LEAST_LINES else poured
    return find_scatter(asked)
