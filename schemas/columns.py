"""Every column of a record, described once: type, meaning, limits and where a limit comes from."""

from collections.abc import Sequence
from datetime import date
from typing import Any

import pandera.polars as pa
import polars as pl

from schemas import vocabulary as words

QUANTITY = pl.Decimal(18, 3)
MONEY = pl.Decimal(12, 2)
UNIT_PRICE = pl.Decimal(14, 4)
FACTOR = pl.Decimal(18, 6)
EXACT = pl.Decimal(18, 6)  # a square metre to the square millimetre

FIRST_DAY = date(1990, 1, 1)
LAST_DAY = date(2099, 12, 31)
COMMON = "common sense of the trade, no source"

Described = dict[str, Any]


def _column(dtype: Any, description: str, *checks: pa.Check, source: str = "") -> Described:  # noqa: ANN401 - a polars type or class
    return {"dtype": dtype, "description": description, "checks": checks, "source": source}


def _text(description: str) -> Described:
    return _column(pl.String, description)


def _word(description: str, allowed: Sequence[str]) -> Described:
    said = f"is none of: {', '.join(allowed)}"
    return _column(pl.String, description, pa.Check.isin(list(allowed), error=said))


def _date(description: str) -> Described:
    said = f"lies outside {FIRST_DAY} to {LAST_DAY}"
    return _column(pl.Date, description, pa.Check.in_range(FIRST_DAY, LAST_DAY, error=said))


def _at_least(dtype: Any, description: str, least: int, source: str = COMMON) -> Described:  # noqa: ANN401
    return _column(dtype, description, pa.Check.ge(least, error=f"is below {least}"), source=source)


def _between(dtype: Any, description: str, least: float, most: float, source: str) -> Described:  # noqa: ANN401
    said = f"lies outside {least} to {most}"
    return _column(dtype, description, pa.Check.in_range(least, most, error=said), source=source)


def _mm(description: str, least: int = 1, most: int = 100_000) -> Described:
    return _between(pl.Int64, description, least, most, COMMON)


def _any(dtype: Any, description: str) -> Described:  # noqa: ANN401
    return _column(dtype, description)


COLUMNS: dict[str, Described] = {
    # what a material is
    "material": _text("The firm's own name of the material."),
    "kind": _word("What sort of material it is; the base unit follows from it.", words.KINDS),
    "unit": _text("The unit that the row's quantities are written in."),
    "description": _text("The words on the supplier's document."),
    "colour": _text("Colour, where it makes a separate stock."),
    "learn_with": _text("Materials that share one allowance carry the same word here."),
    "stock_length_mm": _mm("Length of a new length as sold.", 100, 20_000),
    "length_mm": _mm("Length of a board, or of an offcut or counted piece.", 1, 200_000),
    "width_mm": _mm("Width of a board, roll or strip.", 1, 10_000),
    "cover_width_mm": _mm("Width that a laid board covers.", 1, 10_000),
    "corner_piece": _text("The material that is this trim's corner piece."),
    "corner_cover_mm": _mm("Length of an edge that one corner piece covers.", 0, 2_000),
    "pack_size": _column(
        QUANTITY,
        "What one pack holds, in the row's unit (materials: in the base unit).",
        pa.Check.gt(0, error="is not above 0"),
        source=COMMON,
    ),
    "pieces_per_kg": _at_least(FACTOR, "Pieces in a kilogram, for fixings.", 1),
    "density_kg_per_l": _between(FACTOR, "Mass of a litre.", 0.5, 3, COMMON),
    "g_per_m2": _between(
        FACTOR,
        "Mass of a square metre of mat or bandage.",
        50,
        2_000,
        "mats of 225 to 900 g/m2 are sold (a mat maker's specification); wider for bandage",
    ),
    "mass_kg_per_unit": _column(
        FACTOR, "Mass of one piece.", pa.Check.gt(0, error="is not above 0"), source=COMMON
    ),
    "coverage_per_m2": _at_least(FACTOR, "Base units needed for a square metre of roof.", 0),
    "coverage_basis": _word(
        "Whether the coverage is bare need (net) or has losses inside (gross).",
        words.COVERAGE_BASES,
    ),
    "lap_mm": _mm("Overlap of a join.", 0, 1_000),
    "kerf_mm": _mm("What a cut takes away.", 0, 20),
    "least_piece_mm": _mm("Shortest piece allowed in a jointed run.", 0, 5_000),
    "keep_from_mm": _mm("Shortest rest worth keeping.", 0, 20_000),
    "shelf_life_days": _at_least(pl.Int64, "Days from delivery to its date.", 1),
    "store_class": _text("Where it may be stored: flammable, peroxide, long rack, dry."),
    "costing": _word("How its stock is costed.", words.COSTINGS),
    "tare_kg": _at_least(QUANTITY, "Mass of the empty tin or drum.", 0),
    # jobs
    "job_ref": _text("The job's reference, as on the job sheet."),
    "job_type": _text("What was roofed, from the firm's own list."),
    "work": _word("What kind of work it was.", words.WORKS),
    "status": _word("Where the job stands; follows from its dates.", words.STATUSES),
    "crew": _text("Which van laid it."),
    "quoted_on": _date("Day of the quote."),
    "valid_until": _date("Last day of the quote's price."),
    "planned_on": _date("Day the work is booked for."),
    "completed_on": _date("Day the roof was finished."),
    "quoted_area_m2": _at_least(QUANTITY, "Area of the quote.", 0),
    "measured_area_m2": _at_least(QUANTITY, "Area measured on the roof.", 0),
    "as_drawn": _word("Whether the edges were as in the quote.", words.YES_NO),
    "lay_up": _text("Mats of the laminate, from the firm's own list."),
    "quoted_price_gbp": _at_least(MONEY, "Price of the quote, ex VAT.", 0),
    "extras_gbp": _at_least(MONEY, "Extras charged, ex VAT.", 0),
    "labour_days": _at_least(QUANTITY, "Days of labour, all people together.", 0),
    "labour_cost_gbp": _at_least(MONEY, "Cost of labour, where it is not days by rate.", 0),
    "other_cost_gbp": _at_least(MONEY, "Skip, scaffold, hire and the like.", 0),
    "retention_gbp": _at_least(MONEY, "Held back by the customer: owed, not lost.", 0),
    "deck_temp_c": _between(QUANTITY, "Temperature of the boards at the start.", -30, 80, COMMON),
    "second_trips": _at_least(pl.Int64, "Trips for something that ran short.", 0),
    "ran_short_of": _text("What ran short."),
    "remedial_of": _text("The earlier job that this one puts right."),
    "notes": _text("Notes."),
    # use on a job
    "entry": _text("Tells rows of one key apart that add up."),
    "quoted_net_quantity": _at_least(QUANTITY, "Bare need of the quote's drawing.", 0),
    "estimated_quantity": _at_least(QUANTITY, "Bare need with what the quote allowed.", 0),
    "fitted_net_quantity": _at_least(QUANTITY, "Bare need of the roof as built.", 0),
    "issued_quantity": _at_least(QUANTITY, "Taken to the job.", 0),
    "returned_quantity": _at_least(QUANTITY, "Brought back.", 0),
    "issued_on": _date("Day it was taken."),
    "how": _word("How the quantity was found out.", words.HOW_FOUND),
    # edges
    "edge_kind": _word("What the edge of the roof is.", words.EDGE_KINDS),
    "edge_no": _between(pl.Int64, "Number of the edge, clockwise from the gutter.", 1, 99, COMMON),
    "quoted_mm": _mm("The whole edge in the quote."),
    "fitted_mm": _mm("The whole edge as built."),
    "start_end": _word("How the edge starts.", words.EDGE_ENDS),
    "finish_end": _word("How the edge ends.", words.EDGE_ENDS),
    "upstand_mm": _mm("Height of the upstand.", 0, 2_000),
    # offcuts and losses
    "pieces": _at_least(pl.Int64, "How many pieces of that length.", 0),
    "fate": _word("What became of the pieces.", words.FATES),
    "piece": _text("Label of the rack piece."),
    "moved_on": _date("Day it was moved."),
    "quantity": _any(QUANTITY, "How much, in the row's unit; negative on a credit alone."),
    "cause": _word("Why it was lost.", words.LOSS_CAUSES),
    "lost_on": _date("Day it was lost."),
    # extras
    "extra_no": _at_least(pl.Int64, "Number of the extra on its job.", 1),
    "agreed_on": _date("Day it was agreed."),
    "words": _text("What was agreed."),
    "added_area_m2": _at_least(QUANTITY, "Area added.", 0),
    "added_mm": _mm("Length added.", 0),
    "price_gbp": _any(MONEY, "Price of the extra, ex VAT."),
    # buying
    "supplier": _text("Who sold it."),
    "document_type": _word("Invoice or credit.", words.DOCUMENT_TYPES),
    "document_no": _text("Number of the document."),
    "document_on": _date("Date of the document."),
    "year": _between(pl.Int64, "Year of the document.", 1990, 2099, COMMON),
    "line_no": _at_least(pl.Int64, "Number of the line on its document.", 1),
    "packs": _any(QUANTITY, "Packs on the line; negative on a credit."),
    "pack_price_gbp": _at_least(UNIT_PRICE, "Price of one pack, ex VAT.", 0),
    "line_net_gbp": _any(MONEY, "Stated net of the line, ex VAT; negative on a credit."),
    "gross_gbp": _any(MONEY, "Stated total of the document with VAT; negative on a credit."),
    "statement_on": _date("Date of the statement."),
    "vat_pct": _between(QUANTITY, "VAT rate in per cent.", 0, 100, COMMON),
    "delivered_on": _date("Day the goods came."),
    "line_kind": _word("What the line is.", words.LINE_KINDS),
    "order_no": _text("Number of the order."),
    "lot": _text("Batch number on the tin."),
    "expires_on": _date("The tin's date."),
    "credits_document_no": _text("Invoice that a credit lowers."),
    "answers_receipt_no": _at_least(
        pl.Int64, "Received file whose unreadable row this one brings mended.", 1
    ),
    "credits_line_no": _at_least(pl.Int64, "Line that a credit lowers.", 1),
    "ordered_on": _date("Day it was ordered."),
    "due_on": _date("Day it should come."),
    "received_packs": _at_least(QUANTITY, "Packs received so far.", 0),
    "received_on": _date("Day they came."),
    "cancelled_on": _date("Day the order was cancelled."),
    # counting
    "counted_on": _date("Day of the count."),
    "place": _text("Yard or van."),
    "full_packs": _at_least(QUANTITY, "Unopened packs.", 0),
    "part": _between(QUANTITY, "What the open pack still holds, as a fraction.", 0, 1, COMMON),
    "part_gross_kg": _at_least(QUANTITY, "Weight of the open pack with its tin.", 0),
    # suppliers and prices
    "valid_from": _date("First day that it holds."),
    "lead_days": _at_least(pl.Int64, "Days from order to delivery.", 0),
    "delivery_gbp": _at_least(MONEY, "Charge for a delivery.", 0),
    "free_from_gbp": _at_least(MONEY, "Order value from which delivery is free.", 0),
    "min_order_gbp": _at_least(MONEY, "Least order.", 0),
    "payment_days": _at_least(pl.Int64, "Days to pay.", 0),
    "min_packs": _at_least(QUANTITY, "Price holds from this many packs.", 1),
    # decisions and closings
    "decided_on": _date("Day of the decision."),
    "decision": _word("What was decided.", words.DECISIONS),
    "fixed_loss": _any(QUANTITY, "Loss on any job, in base units."),
    "price_ratio": _between(FACTOR, "What is charged on top, over the base.", -1, 10, COMMON),
    "load_ratio": _between(FACTOR, "What is loaded on top, over the base.", -1, 10, COMMON),
    "blend_ratio": _between(
        FACTOR, "What of all that re-use could save the base leaves unsaved.", 0, 2, COMMON
    ),
    "piece_shift": _between(
        FACTOR, "Added to a count of pieces before it is rounded down.", 0, 5, COMMON
    ),
    "suggested_blend_ratio": _between(
        FACTOR, "Blend ratio suggested; an accept takes it.", 0, 2, COMMON
    ),
    "suggested_piece_shift": _between(
        FACTOR, "Piece shift suggested; an accept takes it.", 0, 5, COMMON
    ),
    "in_force_blend_ratio": _between(
        FACTOR, "Blend ratio in force; a keep takes it.", 0, 2, COMMON
    ),
    "in_force_piece_shift": _between(
        FACTOR, "Piece shift in force; a keep takes it.", 0, 5, COMMON
    ),
    "suggested_fixed_loss": _any(QUANTITY, "Fixed loss suggested; an accept takes it."),
    "suggested_price_ratio": _between(
        FACTOR, "Price ratio suggested; an accept takes it.", -1, 10, COMMON
    ),
    "suggested_load_ratio": _between(
        FACTOR, "Load ratio suggested; an accept takes it.", -1, 10, COMMON
    ),
    "in_force_fixed_loss": _any(QUANTITY, "Fixed loss in force; a keep takes it."),
    "in_force_price_ratio": _between(
        FACTOR, "Price ratio in force; a keep takes it.", -1, 10, COMMON
    ),
    "in_force_load_ratio": _between(
        FACTOR, "Load ratio in force; a keep takes it.", -1, 10, COMMON
    ),
    "decided_by": _text("Who decided."),
    "reason": _text("Why."),
    "month_on": _date("First day of the month."),
    "closed_on": _date("Day the month was closed."),
    "closed_by": _text("Who closed it."),
    "figure": _text("Name of the printed figure."),
    "gbp": _any(MONEY, "The printed figure."),
    "record": _text("Kind of record."),
    "key": _text("Which row: its key, or file, sheet and row."),
    "withdrawn_on": _date("Day it was taken back."),
    "by": _text("Who took it back."),
    "why": _text("Why it was taken back."),
}


_OF_A_RECORD = {("edges", "kind"): "edge_kind"}
"""Columns that mean another thing on one record, and where that is described."""


def describe_column(record: str, name: str) -> Described:
    """Return what stands in the column `name` of a record."""
    return COLUMNS[_OF_A_RECORD.get((record, name), name)]


def column(record: str, name: str, *, required: bool) -> pa.Column:
    """Return the pandera column `name` of a record; a required one may not be blank."""
    described = describe_column(record, name)
    return pa.Column(
        described["dtype"],
        checks=list(described["checks"]),
        nullable=not required,
        name=name,
        description=described["description"],
        metadata={"source": described["source"]},
    )
