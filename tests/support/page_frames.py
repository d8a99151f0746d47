"""Invented frames of all relations that the pages read, in several states of a firm."""

import math
import random
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import polars as pl

MONEY = pl.Decimal(12, 2)
PRICE = pl.Decimal(14, 4)
QUANTITY = pl.Decimal(18, 3)

_TYPES: dict[str, Any] = {
    "s": pl.String,
    "i": pl.Int64,
    "f": pl.Float64,
    "b": pl.Boolean,
    "d": pl.Date,
    "m": MONEY,
    "p": PRICE,
    "q": QUANTITY,
}

_COLUMNS = {
    "page.firm": "firm s, depot s, as_of d, month_end_on d, lately_from_on d, "
    "finished_job_count i, lately_job_count i, booked_job_count i, left_aim_ratio f, "
    "has_issues b, has_edges b, has_counts b, has_labour b, bears_vat b, vat_unknown_count i",
    "page.received": "source s, file_count i, rows_read_count i, accepted_count i, "
    "repaired_count i, held_back_count i, rejected_count i, already_held_count i, "
    "skipped_count i, last_on d",
    "page.unreadable_file": "file_name s, message s",
    "page.to_type_in": "file_name s, received_on d, message s, tied_to s",
    "page.unknown_description": "supplier s, description s, line_count i, net_gbp m, last_on d",
    "page.row_gone": "file_name s, batch_no i, record s, key s, told_in s, sheet s, row_no i, "
    "gone_count i, gone_on d, is_new b",
    "page.file_note": "file_note s, file_name s, file_count i",
    "page.reject": "file_name s, sheet s, row_no i, column_name s, value s, reason s, remedy s",
    "page.set_aside": "job_ref s, job_type s, completed_on d, material s, used_quantity q, "
    "base_unit s, reason s",
    "page.coverage": "order_no i, record_label s, with_record_count i, job_count i, answer s",
    "page.next_record": "sentence s",
    "page.first_look": "finding s, sentence s, gbp m, per s, found_at s, order_no i",
    "page.trust": "order_no i, is_good b, sentence s",
    "page.left_by_job_type": "job_type s, job_count i, price_gbp m, materials_gbp m, "
    "labour_gbp m, left_gbp m, left_ratio f, low_ratio f, high_ratio f, before_ratio f, "
    "before_job_count i, below_aim_gbp m, unpriced_count i",
    "page.left_by_month": "month_on d, job_count i, price_gbp m, materials_gbp m, left_gbp m, "
    "left_ratio f, unpriced_count i",
    "page.allowed_and_used": "material s, kind s, base_unit s, job_count i, allowed_quantity q, "
    "used_quantity q, difference_quantity q, difference_gbp m",
    "page.use_by_month": "material s, base_unit s, month_on d, job_count i, use_rate f, "
    "allowed_rate f, rate_label s, usual_low_rate f, usual_high_rate f, is_outside b",
    "page.job_to_ask_about": "job_ref s, job_type s, completed_on d, material s, base_unit s, "
    "used_quantity q, usual_low_quantity q, usual_high_quantity q, beyond_gbp m, ask s",
    "page.allowance": "material s, kind s, job_type s, job_count i, rate_label s, "
    "allowed_rate f, suggested_rate f, low_rate f, high_rate f, floor_rate f, is_off b, "
    "at_stake_gbp m",
    "page.suggestion": "material s, job_type s, base_unit s, job_count i, held_back_count i, "
    "suggested_fixed_loss f, suggested_price_ratio f, suggested_load_ratio f, "
    "typical_base_quantity f, charged_quantity f, loaded_quantity f, is_offered b, why_not s, "
    "sentence s, at_stake_gbp m, copied_count i, whole_pack_count i, charge_rate f, load_rate f",
    "page.suggestion_by_size": "material s, job_type s, base_unit s, size i, size_label s, "
    "allowed_quantity f, charged_quantity f, loaded_quantity f",
    "page.drift": "material s, since_month d, signal_on d, miss_ratio f, sentence s, "
    "is_rising b, is_acted_on b, is_lately b",
    "page.cold_month": "material s, cold_job_count i, warm_job_count i, cold_ratio f, "
    "tried_job_count i, is_told b, sentence s",
    "page.crew": "crew s, material s, job_count i, shrunken_ratio f, shrunken_low_ratio f, "
    "shrunken_high_ratio f, is_poured b, is_apart b",
    "page.firm_wide_rate": "material s, base_unit s, job_count i, source_label s, rate f, "
    "allowed_rate f, low_rate f, high_rate f",
    "page.score": "material s, is_all b, month_count i, line_count i, job_count i, "
    "suggested_error_gbp m, allowed_line_count i, allowed_error_gbp m, "
    "suggested_beside_allowed_gbp m, tenth_error_gbp m, ratio_error_gbp m, "
    "suggested_beyond_gbp m, tenth_beyond_gbp m, covered_line_ratio f, covered_job_ratio f",
    "page.load_setting": "load_basis s, load_share_ratio f, second_trip_share_ratio f, "
    "covered_job_ratio f, job_count i, mean_cost_gbp f, told_job_count i, trip_job_count i, "
    "ran_short_of s, short_job_count i",
    "page.score_way": "method s, line_count i, pinball_ratio f, suggested_pinball_ratio f, "
    "cost_error_gbp m, covered_line_ratio f, covered_job_ratio f",
    "page.decision": "material s, job_type s, base_unit s, decided_on d, suggested_fixed_loss f, "
    "suggested_price_ratio f, suggested_load_ratio f, how s, in_force_from d, "
    "in_force_fixed_loss f, in_force_price_ratio f, in_force_load_ratio f, is_offered b, "
    "sentence s, suggested_blend_ratio f, suggested_piece_shift f, in_force_blend_ratio f, "
    "in_force_piece_shift f",
    "page.measuring": "job_ref s, job_type s, quoted_area_m2 q, measured_area_m2 q, "
    "difference_ratio f",
    "page.cut_split": "material s, kind s, base_unit s, job_count i, written_count i, "
    "below_zero_count i, proven_count i, used_quantity q, net_quantity q, lap_quantity q, "
    "unavoidable_quantity q, avoidable_quantity q, unexplained_quantity q, "
    "beyond_plan_quantity q, lost_ratio f, beyond_gbp m",
    "page.cut_job": "job_ref s, job_type s, completed_on d, material s, base_unit s, "
    "used_quantity q, plan_quantity q, avoidable_quantity q, unexplained_quantity q, "
    "beyond_plan_quantity q, beyond_gbp m",
    "page.use_and_area": "job_ref s, job_type s, material s, area_m2 q, rate f",
    "page.use_by_size": "material s, base_unit s, size_no i, least_area_m2 q, most_area_m2 q, "
    "job_count i, rate f, rate_label s",
    "page.lay_up": "lay_up s, glass_g_per_m2 i, glass_ratio f, resin_kg_per_m2 q, thickness_mm f",
    "page.price_in_quotes": "material s, base_unit s, pack_label s, list_price_gbp p, "
    "list_from_on d, invoice_price_1_gbp p, invoice_on_1 d, invoice_price_2_gbp p, "
    "invoice_price_3_gbp p, supplier s, change_ratio f, lately_bought_gbp m, lately_gap_gbp m",
    "page.stock_as_counted": "material s, kind s, base_unit s, counted_on d, quantity q, "
    "place_count i, value_gbp m, to_come_quantity q, since_quantity q, short_quantity q, "
    "short_on d, short_gbp m, expected_quantity q, past_date_quantity q",
    "page.stock_date": "material s, lot s, places s, quantity q, base_unit s, expires_on d, "
    "days_left i, counted_on d",
    "page.bought_by_month": "material s, base_unit s, month_on d, packs q, quantity q, price_gbp p",
    "page.margin_part": "part_no i, part s, part_gbp m, known_count i, line_count i, job_count i, "
    "cost_gbp m, quoted_gbp m, charged_gbp m",
    "page.count_month": "month_on d, adds_up b, span_count i, not_tested_count i, no_job_gbp m, "
    "more_gbp m, sums_sentence s, evidence_sentence s, is_lately b",
    "page.count_test": "material s, kind s, base_unit s, from_on d, to_on d, "
    "difference_quantity q, difference_gbp m, signature s, because s, pack_count q, is_lately b",
    "page.shared_use": "material s, base_unit s, period_count i, use_ratio f, label s, note s, "
    "shared_quantity q, job_count i, low_ratio f, high_ratio f",
    "page.default_size": "material s, sizes s",
    "page.credit_apart": "supplier s, document_no s, credited_on d, material s, credit_gbp m",
    "page.place_as_counted": "material s, place s, base_unit s, counted_on d, quantity q, "
    "value_gbp m",
    "page.beside_margin": "item s, gbp m, item_count i, sentence s",
    "page.closed_month": "month_on d, closed_on d, closed_by s, as_closed_gbp m, as_now_gbp m",
    "page.restatement": "month_on d, job_ref s, figure s, as_closed_gbp m, as_now_gbp m, "
    "change_gbp m, records_gbp m, method_gbp m, cause s",
    "page.mix_yield": "kind s, mix_gbp m, yield_gbp m, job_count i",
    "page.delivery": "in_jobs_gbp m, own_line_gbp m",
    "page.month_bridge": "month_on d, opening_gbp m, first_count_gbp m, goods_gbp m, "
    "delivery_gbp m, outside_gbp m, found_gbp m, jobs_gbp m, not_booked_gbp m, losses_gbp m, "
    "scrapped_gbp m, returned_gbp m, missing_gbp m, not_in_stock_gbp m, closing_gbp m, "
    "difference_gbp m, own_line_gbp m, credited_gbp m, unpriced_materials s",
    "page.booked_load": "job_ref s, job_type s, planned_on d, material s, lengths_count i, "
    "rack_count i, rack_pieces_mm s, net_mm i, gap_mm i, problem s",
    "page.booked_job": "job_ref s, job_type s, planned_on d, area_m2 q",
    "page.bought_rate": "material s, base_unit s, month_count i, bought_quantity q, area_m2 q, "
    "rate f, low_rate f, high_rate f, allowed_rate f, rate_label s",
    "page.open_order": "order_no s, supplier s, material s, packs q, ordered_on d, due_on d, "
    "received_packs q",
}

SCHEMAS: dict[str, dict[str, Any]] = {
    relation: {
        part.split()[0]: _TYPES[part.split()[1]] for part in columns.replace("\n", "").split(", ")
    }
    for relation, columns in _COLUMNS.items()
}
"""Columns of every relation that a page reads, with their types."""

AS_OF = date(2026, 6, 1)
COUNTED = date(2026, 5, 29)
HOSTILE = "</script><script>alert(1)</script><!-- =1+1 \"quoted\" & 'single'"
LONG = "raised edge with a double upstand beside the neighbour's glazed lantern, dark grey"

Frames = dict[str, pl.DataFrame]


def frame_of(relation: str, rows: Sequence[Sequence[Any]]) -> pl.DataFrame:
    """Return the rows, columns in the order of the contract, with its types."""
    schema = SCHEMAS[relation]
    typed = [
        [_exact(value, schema[name]) for name, value in zip(schema, row, strict=True)]
        for row in rows
    ]
    return pl.DataFrame(typed, schema=schema, orient="row")


def _exact(value: Any, dtype: Any) -> Any:
    if isinstance(dtype, pl.Decimal) and value is not None:
        return Decimal(str(value)).quantize(Decimal(1).scaleb(-(dtype.scale or 0)))
    return value


def empty() -> Frames:
    """Return a firm that has handed in nothing yet."""
    frames = {relation: frame_of(relation, []) for relation in SCHEMAS}
    firm = ("Wrenfold Roofing", "", AS_OF, date(2026, 5, 31), date(2026, 3, 1))
    counts = (0, 0, 0, None, False, False, False, False, False, 0)
    frames["page.firm"] = frame_of("page.firm", [firm + counts])
    return frames


def full() -> Frames:
    """Return a firm with two years of records."""
    rows = {**_start_rows(), **_owner_rows(), **_estimator_rows(), **_buyer_rows()}
    frames = empty()
    frames.update({relation: frame_of(relation, each) for relation, each in rows.items()})
    frames["page.bought_rate"] = frame_of("page.bought_rate", [])
    frames["page.suggestion_by_size"] = _by_size(frames["page.suggestion"])
    return frames


def _by_size(suggestions: pl.DataFrame) -> pl.DataFrame:
    own = ("material", "job_type", "base_unit", "suggested_fixed_loss", "charge_rate", "load_rate")
    rows = [
        (
            material,
            job_type,
            unit,
            size,
            "m²",
            1.5 * size,
            fixed + charge * size,
            fixed + load * size,
        )
        for material, job_type, unit, fixed, charge, load in suggestions.select(own)
        .drop_nulls()
        .iter_rows()
        for size in (5, 10, 20, 40)
    ]
    return frame_of("page.suggestion_by_size", rows)


def one_job() -> Frames:
    """Return a firm after its first finished job."""
    frames = full()
    kept = {name: frame.head(1) for name, frame in frames.items()}
    thin = [("garage", 1, 2100, 540, None, 1560, 0.743, None, None, None, 0, None, 0)]
    kept["page.left_by_job_type"] = frame_of("page.left_by_job_type", thin)
    kept["page.use_by_month"] = kept["page.use_by_month"].with_columns(
        usual_low_rate=pl.lit(None, pl.Float64), usual_high_rate=pl.lit(None, pl.Float64)
    )
    kept["page.allowance"] = kept["page.allowance"].with_columns(
        suggested_rate=pl.lit(None, pl.Float64),
        low_rate=pl.lit(None, pl.Float64),
        high_rate=pl.lit(None, pl.Float64),
        is_off=pl.lit(value=False),
        job_count=pl.lit(1, pl.Int64),
    )
    for relation in ("page.use_by_size", "page.suggestion", "page.suggestion_by_size"):
        kept[relation] = frame_of(relation, [])
    return kept


def invoices_only() -> Frames:
    """Return a firm that hands in invoices and finished jobs, and no return cards."""
    frames = full()
    kept = (
        "page.firm", "page.received", "page.coverage", "page.next_record", "page.trust",
        "page.price_in_quotes", "page.bought_by_month", "page.left_by_month",
    )  # fmt: skip
    bare = {**empty(), **{name: frames[name] for name in kept}}
    bare["page.firm"] = frames["page.firm"].with_columns(
        has_issues=pl.lit(value=False), has_edges=pl.lit(value=False),
        has_counts=pl.lit(value=False), has_labour=pl.lit(value=False),
    )  # fmt: skip
    bare["page.bought_rate"] = frame_of(
        "page.bought_rate",
        [
            ("resin", "kg", 14, 3410, 2012, 1.695, 1.61, 1.78, 1.50, "kg per m²"),
            ("450 mat", "m2", 14, 2395, 2012, 1.19, 1.12, 1.26, 1.10, "m² per m²"),
            ("light grey topcoat", "kg", 9, 702, 1280, 0.55, 0.48, 0.61, None, "kg per m²"),
        ],
    )
    return bare


def busy() -> Frames:
    """Return a firm with more materials, lots and jobs than a page has room for."""
    frames = full()
    frames["page.allowed_and_used"] = _more(frames["page.allowed_and_used"], 4)
    frames["page.allowance"] = _more(frames["page.allowance"], 3)
    frames["page.suggestion"] = _suggested(frames["page.allowance"])
    frames["page.suggestion_by_size"] = _by_size(frames["page.suggestion"])
    frames["page.price_in_quotes"] = _more(frames["page.price_in_quotes"], 4)
    frames["page.stock_as_counted"] = _more(frames["page.stock_as_counted"], 3).sort(
        "short_on", nulls_last=True, maintain_order=True
    )
    frames["page.stock_date"] = _more(frames["page.stock_date"], 3)
    frames["page.bought_by_month"] = _more(frames["page.bought_by_month"], 2)
    frames["page.set_aside"] = pl.concat([frames["page.set_aside"]] * 12)
    return frames


def _more(frame: pl.DataFrame, times: int) -> pl.DataFrame:
    """Return the rows again under other names of their materials."""
    again = [
        frame.with_columns(material=pl.format("{} {}", "material", pl.lit(number)))
        for number in range(2, times + 1)
    ]
    return pl.concat([frame, *again])


def _suggested(allowances: pl.DataFrame) -> pl.DataFrame:
    like = full()["page.suggestion"].head(1)
    keys = allowances.filter(pl.col("suggested_rate").is_not_null())
    own = ["material", "job_type", "job_count", "at_stake_gbp"]
    return keys.select(own).join(like.drop(own), how="cross").select(like.columns)


def hostile() -> Frames:
    """Return the full firm with every text of a record replaced by one that attacks the page."""
    return _reworded(HOSTILE)


def long_names() -> Frames:
    """Return the full firm with long names of materials, job types and files."""
    return _reworded(LONG)


_KEPT_WORDS = {"base_unit", "rate_label", "kind"}


def _reworded(text: str) -> Frames:
    frames = full()
    for relation, frame in frames.items():
        names = [n for n, t in frame.schema.items() if t == pl.String and n not in _KEPT_WORDS]
        frames[relation] = frame.with_columns(
            pl.concat_str(pl.lit(text + " "), pl.col(name)).alias(name) for name in names
        )
    return frames


STATES: Mapping[str, Any] = {
    "empty": empty,
    "full": full,
    "busy": busy,
    "one job": one_job,
    "invoices only": invoices_only,
    "hostile": hostile,
    "long names": long_names,
}
"""How to make each state, by its name."""


def _months(count: int) -> list[date]:
    numbers = range(2026 * 12 + 4 - count + 1, 2026 * 12 + 5)
    return [date(number // 12, number % 12 + 1, 1) for number in numbers]


def _start_rows() -> dict[str, list[tuple[Any, ...]]]:
    firm = ("Wrenfold Roofing", "", AS_OF, date(2026, 5, 31), date(2026, 3, 1))
    jobs = "jobs 2026-05.xlsx"
    return {
        "page.row_gone": [
            (jobs, 9, "jobs", "job_ref=2026-019", jobs, "jobs", 12, 1, AS_OF, True),
            (jobs, 9, "job_materials", "job_ref=2026-019; material=resin; entry=jobs/1", jobs,
             "cards", 40, 2, AS_OF, True),
            ("invoices.csv", 7, "purchases", f"supplier={HOSTILE}", "invoices.csv", "", 3, 6,
             date(2026, 5, 4), False),
        ],
        "page.firm": [(*firm, 67, 27, 4, 0.66, True, True, True, True, False, 0)],
        "page.received": [
            ("own columns", 31, 2140, 2087, 61, 19, 12, 33, 8, date(2026, 5, 29)),
            ("quayside sales lines", 14, 418, 391, 22, 0, 2, 25, 0, date(2026, 5, 28)),
            ("return cards", 24, 1204, 1180, 88, 11, 7, 0, 17, date(2026, 5, 29)),
        ],
        "page.unreadable_file": [("card 3.pdf", "The PDF is locked: save it without a password.")],
        "page.to_type_in": [
            ("roof 2026-031.jpg", date(2026, 5, 28), "A picture: type it in.", "2026-031"),
            ("IMG_0007.heic", date(2026, 5, 29), "A picture: type it in.", None),
        ],
        "page.unknown_description": [
            ("Quayside Resins", "misc.", 2, 64.20, date(2026, 5, 28)),
        ],
        "page.file_note": [('column "Rep" is not used', "quayside may lines.csv", 14)],
        "page.reject": [
            ("count may.xlsx", "stock_counts", 14, "quantity", "a few", "is no number",
             "Write the quantity as a number."),
            ("return cards may.xlsx", "cards", 9, "Resin out kg", "03/04", "is no number",
             "Write kilograms as a number."),
            ("quayside may lines.csv", "", 77, "Description", "misc.", "is not known yet",
             "Name the material here or in the mapping."),
        ],
        "page.set_aside": [
            ("2026-031", "dormer", date(2026, 5, 6), "resin", 5.1, "kg",
             "Less than the laminate can hold: may be under-built. Look at the roof."),
            ("2026-014", "garage", date(2026, 3, 19), "resin", 96, "kg",
             "Six kilograms for a square metre is not likely."),
        ],
        "page.coverage": [
            (1, "Jobs with a price", 27, 27, "what is left after materials"),
            (2, "Labour days", 26, 27, "what is left after labour"),
            (3, "Edges of the roof", 25, 27, "lengths needed"),
            (4, "Return card", 24, 27, "use by job type"),
            (5, "Measured again", 19, 27, "bigger roof or more used"),
            (6, "Pieces put on the rack", 11, 27, "what cutting could save"),
        ],
        "page.next_record": [
            (("Pieces put on the rack, longest first: then the pages can tell what cutting could "
             "have saved."),)
        ],
        "page.first_look": [
            ("price", ("resin: the list that your quotes are made with says £3.10 a kg, the last 3 "
             "invoices ask £3.30: 6.5 % more than the list."), 72.47, "a month, at what you buy",
             "Quayside Resins, 90417 of 26 May 2026", 1),
            ("edge", ("Edge 2 of 2026-058 runs 6010 mm: its last 60 mm open another length of drip "
             "trim beyond 2 whole ones. Measure again, and look for a leftover that serves; a join "
             "is never shortened."), 9.85, "one length", "2026-058, quoted", 2),
            ("date", ("9 kg of light grey topcoat, lot 0311: past its date of 29 May 2026, so no "
             "usable stock: ask the maker, or dispose of it as the label says."), None,
             "its price", "yard", 3),
        ],
        "page.trust": [
            (1, True, "The sums add up."),
            (2, False, "£212 of material bought from March to May has no job against it."),
            (3, True, "Last count: 29 May."),
        ],
    }  # fmt: skip


def _owner_rows() -> dict[str, list[tuple[Any, ...]]]:
    april, late = date(2026, 4, 1), "late card.csv, row 2"
    return {
        "page.beside_margin": [
            ("retention", 1240, 3, "Owed, not lost."),
            ("vat", None, 12, "Of 12 the figure is not known."),
        ],
        "page.closed_month": [
            (april, date(2026, 5, 8), "office", 11900, 11862),
            (date(2026, 3, 1), date(2026, 4, 8), None, 12080, 12080),
        ],
        "page.restatement": [
            (april, None, "left", 11900, 11862, -38, -38, 0, late),
            (april, "2026-021", "left", 1562, 1524, -38, None, None, late),
        ],
        "page.left_by_job_type": [
            ("dormer", 7, 14700, 6115, 4200, 8585, 0.584, 0.53, 0.635, 0.62, 6, 1117, 0),
            ("bay", 3, 5400, 2322, 1400, 3078, 0.57, 0.46, 0.67, 0.63, 4, 486, 2),
            ("porch", 2, 2300, 805, 700, 1495, 0.65, None, None, 0.66, 1, 23, 0),
            ("balcony", 1, 3200, 1056, 900, 2144, 0.67, None, None, None, 0, None, 0),
            ("extension", 8, 31200, 9672, 8000, 21528, 0.69, 0.66, 0.72, 0.688, 9, None, 0),
            ("garage", 6, 17400, 5046, 4800, 12354, 0.71, 0.67, 0.745, 0.70, 7, None, 0),
        ],
        "page.left_by_month": [
            (month, 6 + i % 5, 18000 + 450 * i, 6100 + 170 * i, 11900 + 280 * i,
             round(0.67 + 0.02 * math.sin(i), 3), 3 if i == 20 else 0)
            for i, month in enumerate(_months(24))
        ],
        "page.allowed_and_used": [
            ("resin", "resin", "kg", 24, 702, 766.4, 64.4, 217.67),
            ("drip trim", "trim", "m", 24, 312, 324, 12, 39.4),
            ("light grey topcoat", "topcoat", "kg", 22, 214, 231, 17, 69.7),
            ("450 mat", "mat", "m2", 24, 520, 531, 11, 12.98),
            ("deck board", "board", "m2", 20, 468, 461.2, -6.8, -50.52),
            ("wall fillet", "trim", "m", 19, 160, 156, -4, -11.2),
        ],
        "page.use_by_month": _use_by_month(),
        "page.job_to_ask_about": [
            ("2026-044", "dormer", date(2026, 5, 12), "resin", "kg", 32.5, 14.2, 23.0, 141,
             "Is a return missing? No card came back."),
            ("2026-041", "extension", date(2026, 5, 8), "drip trim", "m", 27, 12, 18, 104,
             "Were whole lengths brought back?"),
            ("2026-047", "bay", date(2026, 5, 21), "resin", "kg", 24, 11, 19, 73,
             "Was the roof measured again?"),
        ],
    }  # fmt: skip


def _use_by_month() -> list[tuple[Any, ...]]:
    chance = random.Random(7)  # noqa: S311 - invented figures
    rows: list[tuple[Any, ...]] = []
    for material, unit, label, allowed, spread in (
        ("resin", "kg", "kg per m²", 1.50, 0.04),
        ("450 mat", "m2", "m² per m²", 1.10, 0.02),
        ("light grey topcoat", "kg", "kg per m²", 0.50, 0.02),
        ("drip trim", "m", "m per 10 m needed", 10.5, 0.25),
    ):
        for i, month in enumerate(_months(24)):
            rate = allowed + spread * chance.uniform(-1, 1.2)
            rate += 0.2 if material == "resin" and i == 23 else 0.0
            low, high = allowed - 1.5 * spread, allowed + 2 * spread
            known = None if material == "light grey topcoat" else allowed
            rows.append(
                (material, unit, month, 6 + i % 4, round(rate, 3), known, label, low, high,
                 not low <= rate <= high)
            )  # fmt: skip
    return rows


def _estimator_rows() -> dict[str, list[tuple[Any, ...]]]:
    return {
        "page.allowance": _allowances(),
        "page.suggestion": [
            ("resin", "dormer", "kg", 14, 2, 1.8, 0.04, 0.21, 9.0, 11.2, 12.6, True, None,
             ("Dormers: allow 1.75 kg of resin per m² instead of 1.50: 1.5 kg more on a 6 m² "
             "dormer, and one short job in seven instead of one in two."), 318.4, 1, 0, 1.45, 1.62),
            ("450 mat", "dormer", "m2", 14, 0, 0.7, 0.02, 0.09, 6.6, 7.4, 8.0, True, None,
             "Dormers: allow 1.17 m² of mat per m² instead of 1.10.", 61.0, 0, 0, 1.05, 1.12),
            ("drip trim", "extension", "m", 21, 1, 0.0, 0.02, 0.04, 24.0, 24.5, 25.0, True, None,
             "Extensions: allow 10.2 m of drip trim for 10 m instead of 10.5.", 44.2, 0, 0, 10.2,
             10.4),
            ("resin", "porch", "kg", 2, 0, None, None, None, None, None, None, False,
             "Two jobs are too few.", None, None, 0, 2, None, None),
        ],
        "page.drift": [
            ("resin", date(2026, 3, 1), date(2026, 5, 12), 0.07,
             ("Resin use has been creeping up since March 2026: lately about 7 in 100 of the need "
             "more than the jobs before say. Jobs finished before 12 February 2026 count a tenth."),
             True, True, True),
        ],
        "page.cold_month": [
            ("resin", 70, 150, 0.04, 120, True,
             "Resin takes about 4 in 100 of the need more in cold months than in warm."),
            ("light grey topcoat", 3, 12, None, 0, False, ("Light grey topcoat: no difference "
             "between cold and warm months that the jobs can show.")),
        ],
        "page.crew": [
            ("first van", "resin", 60, -0.012, -0.021, -0.003, True, True),
            ("second van", "resin", 58, 0.012, 0.003, 0.021, True, True),
            ("first van", "450 mat", 60, 0.001, -0.004, 0.006, False, False),
            ("second van", "450 mat", 58, -0.001, -0.006, 0.004, False, False),
        ],
        "page.firm_wide_rate": [
            ("nails", "each", 220, "bought", 9.5, 8.7, 5.5, 13.5),
            ("primer", "kg", 47, "counted", 0.17, None, 0.15, 0.19),
            ("solvent", "l", 220, "booked to jobs", 0.119, 0.12, 0.109, 0.129),
        ],
        "page.score": [
            ("all", True, 12, 262, 96, 940.1, 250, 1402.5, 901.3, 1310.4, 1182.2, -0.4, -3.1,
             0.84, 0.41),
            ("resin", False, 12, 96, 96, 426.1, 96, 810.2, 426.1, 790.7, 555.6, -2.1, -6.6, 0.71,
             None),
            ("light grey topcoat", False, 12, 70, 70, 372.2, 58, 380.0, 333.4, 323.1, 480.4, 0.9,
             1.0, 0.93, None),
            ("450 mat", False, 12, 96, 96, 141.8, 96, 212.3, 141.8, 196.6, 146.2, 0.2, -1.9, 0.9,
             None),
        ],
        "page.load_setting": [
            ("share of jobs with a second trip", 0.9731, 0.1, 0.912, 110, None, 84, 11, "resin", 6),
        ],
        "page.score_way": [
            ("as suggested", 262, 0.041, 0.041, 940.1, 0.84, 0.41),
            ("one ratio", 262, 0.073, 0.041, 1182.2, 0.58, 0.03),
            ("as allowed", 250, 0.088, 0.042, 1402.5, 0.47, 0.01),
            ("a tenth on top", 262, 0.092, 0.041, 1310.4, 0.53, 0.01),
        ],
        "page.decision": [
            ("resin", "dormer", "kg", AS_OF, 1.8, 0.04, 0.21, "decided", date(2026, 1, 5), 1.2, 0.1,
             0.2, True, "Dormers used more than all jobs.", None, None, None, None),
            ("resin", "porch", "kg", AS_OF, None, None, None, "as quoted", None, 0.0, 0.066632,
             0.066632, False, "Two jobs are too few.", None, None, 0.3, 0.5),
        ],
        "page.measuring": _measuring(),
        "page.cut_split": [
            ("raised edge trim", "trim", "m", 30, 28, 1, 29, 260.0, 200.0, 4.0, 21.0, 30.0, 3.0,
             2.0, 0.30, 140.0),
            ("drip trim", "trim", "m", 30, 30, 0, 30, 190.0, 160.0, 2.0, 20.0, 6.0, 2.0, 0.0,
             0.1875, 32.0),
            ("batten", "batten", "m", 28, 0, 4, 28, 300.0, 301.0, 0.0, 9.0, 0.0, 0.0, -10.0,
             -0.0033, -11.0),
            ("deck board", "board", "m2", 12, 0, 0, 9, 330.0, 300.0, 6.0, 14.0, 0.0, 0.0, 10.0,
             0.1, None),
        ],
        "page.cut_job": [
            ("2026-014", "dormer", AS_OF, "raised edge trim", "m", 15.0, 9.2, 5.8, 0.0, 5.8, 23.2),
            ("2026-002", "garage", AS_OF, "drip trim", "m", 12.0, 9.0, None, None, 3.0, 12.0),
        ],
        "page.use_and_area": _use_and_area(),
        "page.use_by_size": [
            ("resin", "kg", 1, 4.2, 11.8, 12, 1.71, "kg per m²"),
            ("resin", "kg", 2, 12.0, 22.5, 12, 1.52, "kg per m²"),
            ("resin", "kg", 3, 23.1, 41.0, 12, 1.44, "kg per m²"),
        ],
        "page.lay_up": [
            ("450 single", 450, 0.30, 1.05, 1.05),
            ("600 single", 600, 0.30, 1.40, 1.40),
            ("450 and 300", 750, 0.30, 1.75, 1.75),
        ],
    }  # fmt: skip


def _allowances() -> list[tuple[Any, ...]]:
    types = (("dormer", 14), ("bay", 6), ("porch", 2), ("extension", 21), ("garage", 17))
    shifts = (0.25, 0.12, 0.1, 0.02, -0.03)
    rows: list[tuple[Any, ...]] = []
    for material, kind, label, allowed, scale, floor in (
        ("resin", "resin", "kg per m²", 1.50, 1.0, 1.20),
        ("450 mat", "mat", "m² per m²", 1.10, 0.3, 1.03),
        ("light grey topcoat", "topcoat", "kg per m²", None, 0.2, 0.40),
        ("drip trim", "trim", "m per 10 m needed", 10.5, 1.6, None),
    ):
        for (job_type, count), shift in zip(types, shifts, strict=True):
            mean = (allowed or 0.5) + shift * scale
            half = 0.5 * scale / math.sqrt(count)
            thin = count < 3
            low, high = mean - half, mean + half
            off = not thin and allowed is not None and not low <= allowed <= high
            rate = (None, None, None) if thin else (round(mean, 3), low, high)
            stake = round(abs(mean - (allowed or mean)) * count * 60, 2)
            known = (material, kind, job_type, count, label, allowed)
            rows.append((*known, *rate, floor, off, stake))
    return rows


def _measuring() -> list[tuple[Any, ...]]:
    chance = random.Random(3)  # noqa: S311 - invented figures
    rows: list[tuple[Any, ...]] = []
    for i in range(24):
        is_dormer = i < 4
        area = round(chance.uniform(5, 9) if is_dormer else chance.uniform(6, 38), 1)
        ratio = round(chance.uniform(0.1, 0.16) if is_dormer else chance.uniform(-0.04, 0.04), 3)
        kind = "dormer" if is_dormer else "garage"
        rows.append((f"2025-{i + 10:03}", kind, area, round(area * (1 + ratio), 1), ratio))
    return rows


def _use_and_area() -> list[tuple[Any, ...]]:
    chance = random.Random(5)  # noqa: S311 - invented figures
    rows: list[tuple[Any, ...]] = []
    for i in range(36):
        area = 4.2 + i * 1.05
        rate = 1.25 + 2.2 / area + chance.uniform(-0.12, 0.14)
        rows.append((f"2025-{i + 40:03}", "garage", "resin", round(area, 1), round(rate, 3)))
    return rows


def _buyer_rows() -> dict[str, list[tuple[Any, ...]]]:
    listed, billed = date(2025, 9, 1), date(2026, 5, 26)
    return {
        "page.price_in_quotes": [
            ("resin", "kg", "20 kg", 3.10, listed, 3.38, billed, 3.30, 3.22, "Quayside Resins",
             0.0903, 2590.1, 217.4),
            ("light grey topcoat", "kg", "20 kg", 3.86, listed, 4.10, billed, 4.06, 3.98,
             "Quayside Resins", 0.0622, 947.1, 55.4),
            ("deck board", "m2", "sheet", 7.13, listed, 7.34, billed, 7.28, None, "Osmer Timber",
             0.0295, 3385.2, 86.2),
            ("450 mat", "m2", "roll", 1.18, listed, 1.18, billed, 1.19, 1.17, "Quayside Resins",
             0.0, 626.6, 0.0),
            ("nails", "each", "1 kg", None, None, 0.0312, billed, None, None, "Osmer Timber",
             None, 31.2, None),
        ],
        "page.stock_as_counted": [
            ("resin", "resin", "kg", date(2026, 5, 29), 48, 2, 162.24, 92, 20, 24,
             date(2026, 6, 9), 81.12, 68, None),
            ("light grey topcoat", "topcoat", "kg", date(2026, 5, 29), 38, 1, 155.8, 28, -3, None,
             None, None, 35, 9),
            ("drip trim", "trim", "m", date(2026, 4, 30), 15, 1, 49.25, 36, 12, 9,
             date(2026, 6, 16), 29.55, 27, None),
            ("wall fillet", "trim", "m", date(2026, 5, 29), 24, 1, 67.2, 12, 0, None, None,
             None, 24, None),
            ("450 mat", "mat", "m2", date(2026, 5, 29), 88, 1, 103.84, 66, 0, None, None, None,
             88, None),
            ("catalyst", "catalyst", "kg", date(2026, 5, 29), 4.5, 2, 40.5, 1.9, 0, None, None,
             None, 4.5, None),
        ],
        "page.stock_date": [
            ("light grey topcoat", "0311", "yard", 9, "kg", AS_OF - timedelta(3), -3, COUNTED),
            ("light grey topcoat", "0417", "yard", 11, "kg", AS_OF + timedelta(31), 31, COUNTED),
            ("resin", None, "first van", 18, "kg", AS_OF + timedelta(42), 42, COUNTED),
            ("resin", "0606", "yard", 40, "kg", AS_OF + timedelta(127), 127, COUNTED),
            ("bonding adhesive", "0420", "yard", 5320, "ml", AS_OF + timedelta(141), 141, COUNTED),
        ],
        "page.bought_by_month": [
            (material, unit, month, 4 + i % 5, 80 + 20 * (i % 5), round(price + rise * i, 4))
            for material, unit, price, rise in (
                ("resin", "kg", 2.95, 0.018),
                ("light grey topcoat", "kg", 3.70, 0.017),
                ("450 mat", "m2", 1.16, 0.001),
                ("deck board", "m2", 7.00, 0.014),
            )
            for i, month in enumerate(_months(24))
            if i % 3 != 1
        ],
        "page.margin_part": [
            (1, "price list out of date", 120.0, 90, 90, 14, 4310.0, 3990.0, None),
            (2, "buying price", -40.5, 90, 90, 14, 4310.0, 3990.0, None),
            (3, "bigger or different", 85.0, 70, 90, 14, 4310.0, 3990.0, 240.0),
            (4, "laps", 0.0, 20, 90, 14, 4310.0, 3990.0, None),
            (7, "liquid waste", 0.0, 0, 90, 14, 4310.0, 3990.0, None),
            (9, "not split", 155.5, 90, 90, 14, 4310.0, 3990.0, None),
        ],
        **_count_rows(),
        "page.mix_yield": [("mat", 12.4, -30.0, 2)],
        "page.delivery": [(61.4, 0.0)],
        "page.month_bridge": [
            (date(2026, 4, 1), 2490.5, 0.0, 1900.0, 180.0, 0.0, 15.0,
             2600.25, 0.0, 0.0, 12.5, 0.0, 147.5, 0.0, 1825.25, 0.0, 30.0, 0.0, None),
            (date(2026, 5, 1), 1825.25, 0.0, 2000.0, 180.0, 0.0, 15.0,
             2900.5, 0.0, 0.0, 12.5, 0.0, 16.5, 0.0, 1090.75, 0.0, 30.0, 0.0, None),
        ],
        "page.booked_load": [
            ("2026-021", "garage", date(2026, 6, 4), "drip trim", 2, 1, "1200", 6000, 0, None),
            ("2026-021", "garage", date(2026, 6, 4), "wall fillet", 0, 2, "850, 2400", 3100, 0,
             None),
            ("2026-024", "dormer", None, "drip trim", None, None, None, None, None,
             "edge 4: a run of 30 mm"),
        ],
        "page.booked_job": [
            ("2026-051", "double garage", date(2026, 6, 9), 32.5),
            ("2026-052", "dormer", date(2026, 6, 15), 6.2),
            ("2026-053", "garage", date(2026, 6, 16), 17),
            ("2026-055", "extension", date(2026, 6, 24), None),
        ],
        "page.open_order": [
            ("2026-17", "Quayside Resins", "450 mat", 2, date(2026, 5, 27), date(2026, 6, 3), 0),
            ("2026-18", "Osmer Timber", "deck board", 12, date(2026, 5, 20), None, 4),
        ],
    }  # fmt: skip


def _count_rows() -> dict[str, list[tuple[Any, ...]]]:
    april, may = date(2026, 4, 30), date(2026, 5, 31)
    because = "The next count does not bring it back."
    return {
        "page.count_month": [
            (month, True, 12, 2, 212.4 if i == 11 else 0, 151.2 if i == 10 else 0,
             "The sums add up.", "All material this month has a job or a loss against it.", i > 8)
            for i, month in enumerate(_months(12))
        ],
        "page.count_test": [
            ("drip trim", "trim", "m", april, may, -36, -151.2, "missing delivery note",
             "It is what was ordered as 2026-17, and no invoice of it is held.", 12, True),
            ("resin", "resin", "kg", april, may, 40.7, 135.33, "lasting loss", because, 2.035,
             True),
            ("450 mat", "mat", "m2", april, may, 20.2, None, "cannot say", "We cannot say.", None,
             False),
        ],
        "page.shared_use": [
            ("primer", "kg", 11, 0.12, "shared out, not measured", None, 96.5, 31, 0.08, 0.16),
            ("solvent", "l", 2, None, "shared out, not measured", "Too few counts.", 11, 4, None,
             None),
        ],
        "page.default_size": [
            ("drip trim", "length 3000 mm, overlap 50 mm"),
            ("flat flashing", "length 3000 mm"),
        ],
        "page.credit_apart": [
            ("Quayside Resins", "90398", may, "resin", 12.5),
            ("Quayside Resins", "90402", may, None, 30),
        ],
        "page.place_as_counted": [
            ("resin", "yard", "kg", may, 180, 594),
            ("resin", "van", "kg", april, 12.4, 40.92),
            ("solvent", "yard", "l", may, 20, None),
        ],
    }  # fmt: skip
