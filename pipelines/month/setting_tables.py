"""The firm's settings as tables, so that views can read them."""

from collections.abc import Mapping
from dataclasses import asdict
from datetime import date, timedelta
from typing import Any

import polars as pl

from pipelines.estimating.laminate import laminate
from pipelines.setting_load import Load
from pipelines.settings import LayUp, Settings
from schemas.frames import shape_of
from schemas.units import (
    DEFAULT_DENSITY_KG_PER_L,
    DEFAULT_KEEP_FROM_MM,
    DEFAULT_KERF_MM,
    DEFAULT_LAP_MM,
    DEFAULT_LEAST_PIECE_MM,
    DEFAULT_STOCK_LENGTH_MM,
)


def month_end_before(day: date) -> date:
    """Return the last day of a month that lies before `day`."""
    return day.replace(day=1) - timedelta(days=1)


def tabulate_settings(settings: Settings, as_of: date) -> dict[str, pl.DataFrame]:
    """Return the setting.* tables by relation name."""
    rows: Mapping[str, list[dict[str, Any]]] = {
        "setting.firm": [_firm(settings, as_of)],
        "setting.job_type": [
            {"job_type": kind.job_type, "lay_up": kind.lay_up} for kind in settings.job_types
        ],
        "setting.cutting": [asdict(settings.cutting)],
        "setting.lay_up": [_lay_up(lay_up) for lay_up in settings.lay_ups],
        "setting.lay_up_mat": [row for lay_up in settings.lay_ups for row in _mats(lay_up)],
        "setting.soak": [
            {"work": work, "soak_kg_per_m2": kg} for work, kg in settings.soak_kg_per_m2.items()
        ],
        "setting.allow": [asdict(allow) for allow in settings.allow],
        "setting.need": [asdict(need) for need in settings.need],
        "setting.supplier_for": [
            {"material": material, "supplier": supplier}
            for material, supplier in settings.supplier_for.items()
        ],
        "setting.compared_van": [
            {"crew": crew} for crew in settings.crews if settings.compare_crews
        ],
        "setting.cold_month": [{"month_no": month} for month in settings.cold_months],
        "setting.kind_default": _kind_defaults(),
        "setting.counting": [asdict(settings.counting)],
        "setting.load": [_load(settings.load)],
    }
    return {name: pl.DataFrame(found, schema=shape_of(name)) for name, found in rows.items()}


def _firm(settings: Settings, as_of: date) -> dict[str, Any]:
    return {
        "firm": settings.firm,
        "depot": settings.depot,
        "as_of": as_of,
        "month_end_on": month_end_before(as_of),
        "yard": settings.yard,
        "labour_day_gbp": settings.labour_day_gbp,
        "left_aim_ratio": settings.left_aim_ratio,
        "load_share_ratio": settings.load.load_share,
        "carriage": settings.carriage,
        "vat": settings.vat,
        "reuse_share_ratio": settings.reuse_share,
    }


def _load(load: Load) -> dict[str, Any]:
    share, surplus = load.second_trip_share, load.surplus_ratio
    return {
        "second_trip_share_ratio": None if share is None else float(share),
        "trip_gbp": load.trip_gbp,
        "surplus_ratio": None if surplus is None else float(surplus),
    }


def _lay_up(lay_up: LayUp) -> dict[str, Any]:
    holds = laminate(lay_up.mats_g_per_m2, lay_up.glass_ratio)
    return {
        "lay_up": lay_up.lay_up,
        "glass_g_per_m2": sum(lay_up.mats_g_per_m2),
        "glass_ratio": lay_up.glass_ratio,
        "resin_kg_per_m2": holds.resin_kg_per_m2,
        "thickness_mm": holds.thickness_mm,
    }


def _mats(lay_up: LayUp) -> list[dict[str, Any]]:
    return [
        {
            "lay_up": lay_up.lay_up,
            "mat_g_per_m2": mat,
            "layer_count": lay_up.mats_g_per_m2.count(mat),
        }
        for mat in sorted(set(lay_up.mats_g_per_m2))
    ]


def _kind_defaults() -> list[dict[str, Any]]:
    kinds = sorted({*DEFAULT_STOCK_LENGTH_MM, *DEFAULT_DENSITY_KG_PER_L})
    return [
        {
            "kind": kind,
            "stock_length_mm": DEFAULT_STOCK_LENGTH_MM.get(kind),
            "lap_mm": DEFAULT_LAP_MM.get(kind),
            "kerf_mm": DEFAULT_KERF_MM.get(kind),
            "least_piece_mm": DEFAULT_LEAST_PIECE_MM.get(kind),
            "keep_from_mm": DEFAULT_KEEP_FROM_MM.get(kind),
            "density_kg_per_l": DEFAULT_DENSITY_KG_PER_L.get(kind),
        }
        for kind in kinds
    ]
