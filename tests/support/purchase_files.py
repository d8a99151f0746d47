"""Lists of suppliers' lines as long as asked for, every figure of which follows from its place."""

from pathlib import Path

import polars as pl

MATERIALS = """material,kind,unit,length_mm,width_mm
resin,resin,kg,,
topcoat,topcoat,kg,,
mat 450,mat,m2,,
deck board,board,sheet,2440,1220
drip trim,trim,m,,
"""
_GOODS = pl.DataFrame(
    {
        "material": ["resin", "topcoat", "mat 450", "deck board", "drip trim"],
        "description": ["Resin 20 kg, tin", "Topcoat grey", "Mat 450 g, roll", "Board", "Trim"],
        "pack_size": ["20", "10", "75", "1", "3"],
        "unit": ["kg", "kg", "m2", "sheet", "m"],
    }
)
_LINES_OF_A_DOCUMENT = 14
_JOBS = 900


def write_materials_and_jobs(folder: Path) -> list[Path]:
    """Write the materials and jobs that the lines name; return the files."""
    files = [folder / "materials.csv", folder / "jobs.csv"]
    files[0].write_text(MATERIALS)
    jobs = [f"2022-{100 + no},garage" for no in range(_JOBS)]
    files[1].write_text("\n".join(["job_ref,job_type", *jobs, ""]))
    return files


def write_purchases(path: Path, count: int, first: int = 0, **shares: float) -> Path:
    """
    Write `count` lines of 20 columns from number `first` on.

    A share `mended` of them has a pound sign in its total, a share `bad` words that are no figure.
    """
    number = pl.int_range(first, first + count, eager=True)
    document = number // _LINES_OF_A_DOCUMENT
    day = pl.date(2022, 1, 1) + pl.duration(days=document % 1000)
    packs, pence = number * 7919 % 40 + 1, number * 104729 % 19_500 + 500
    goods = _GOODS.select(pl.all().gather(number % _GOODS.height))
    lines = goods.with_columns(
        pl.lit("Saltbarrow").alias("supplier"),
        pl.lit("invoice").alias("document_type"),
        ("A-" + document.cast(pl.String)).alias("document_no"),
        day.alias("document_on"),
        (number % _LINES_OF_A_DOCUMENT + 1).alias("line_no"),
        packs.alias("packs"),
        _pounds(pence).alias("pack_price_gbp"),
        _total(_pounds(pence * packs), number, **shares).alias("line_net_gbp"),
        pl.lit("20").alias("vat_pct"),
        day.alias("delivered_on"),
        ("2022-" + (document % _JOBS + 100).cast(pl.String)).alias("job_ref"),
        pl.lit("goods").alias("line_kind"),
        ("P-" + (document % 5000).cast(pl.String)).alias("order_no"),
        ("lot " + (number * 31 % 99_991).cast(pl.String)).alias("lot"),
        pl.lit("2027-03-01").alias("expires_on"),
        pl.lit(None, pl.String).alias("credits_document_no"),
    )
    lines.write_csv(path)
    return path


def _pounds(pence: pl.Series) -> pl.Series:
    return (pence // 100).cast(pl.String) + "." + (pence % 100).cast(pl.String).str.zfill(2)


def _total(
    total: pl.Series, number: pl.Series, *, mended: float = 0.0, bad: float = 0.0
) -> pl.Series:
    place = number * 7919 % 1000
    is_mended = place < 1000 * mended
    is_bad = (place >= 1000 * mended) & (place < 1000 * (mended + bad))
    return ("£" + total).zip_with(is_mended, ("about " + total).zip_with(is_bad, total))
