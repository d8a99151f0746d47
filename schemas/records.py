"""The records that a firm hands in."""

import polars as pl

from schemas.record import Record, Rule
from schemas.rules import (
    FIRST_OF_MONTH,
    LOAD_NOT_BELOW_PRICE,
    NOT_BELOW_NOTHING,
    filled_where_no_job,
    not_before,
)


def _split(text: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in text.split(",") if word.strip())


_QUANTITIES_OF_A_JOB = (
    "quoted_net_quantity, estimated_quantity, fitted_net_quantity, issued_quantity, "
    "returned_quantity"
)

_ALL = (
    Record(
        "materials",
        "What the firm uses: one row a material.",
        ("material",),
        _split("material, kind, unit"),
        _split(
            "description, colour, learn_with, stock_length_mm, length_mm, width_mm, "
            "cover_width_mm, corner_piece, corner_cover_mm, pack_size, pieces_per_kg, "
            "density_kg_per_l, g_per_m2, mass_kg_per_unit, coverage_per_m2, coverage_basis, "
            "lap_mm, kerf_mm, least_piece_mm, keep_from_mm, shelf_life_days, store_class, "
            "costing, tare_kg"
        ),
        rules=(
            Rule(
                "lap_shorter_than_length",
                "lap_mm",
                "is not shorter than the stock length",
                pl.col("lap_mm") < pl.col("stock_length_mm"),
            ),
            Rule(
                "coverage_with_its_basis",
                "coverage_basis",
                "is blank beside a coverage: say net (bare need) or gross (losses inside)",
                pl.col("coverage_per_m2").is_null() | pl.col("coverage_basis").is_not_null(),
            ),
        ),
    ),
    Record(
        "suppliers",
        "Who sells, and on what terms.",
        _split("supplier, valid_from"),
        ("supplier",),
        _split("valid_from, lead_days, delivery_gbp, free_from_gbp, min_order_gbp, payment_days"),
    ),
    Record(
        "descriptions",
        "What a supplier's wording means: its material and pack, or what kind of line it is.",
        _split("supplier, description"),
        _split("supplier, description"),
        _split("material, pack_size, unit, line_kind"),
        references={"material": "materials"},
        awaits=("material", "line_kind"),
        rules=(
            Rule(
                "goods_name_their_material",
                "material",
                "is blank: a wording of goods names its material, any other its line_kind",
                (pl.col("line_kind").fill_null("goods") != "goods")
                | pl.col("material").is_not_null(),
            ),
        ),
    ),
    Record(
        "prices",
        "Price lists, by pack and quantity.",
        _split("supplier, material, unit, pack_size, min_packs, valid_from"),
        _split("supplier, material, pack_size, pack_price_gbp"),
        _split("unit, min_packs, valid_from"),
        references={"material": "materials"},
    ),
    Record(
        "jobs",
        "Quoted, booked and finished roofs: one row a job.",
        ("job_ref",),
        _split("job_ref, job_type"),
        _split(
            "work, status, crew, quoted_on, valid_until, planned_on, completed_on, "
            "quoted_area_m2, measured_area_m2, as_drawn, lay_up, quoted_price_gbp, extras_gbp, "
            "labour_days, labour_cost_gbp, other_cost_gbp, retention_gbp, deck_temp_c, "
            "second_trips, ran_short_of, remedial_of, notes"
        ),
        rules=(
            not_before("completed_on", "quoted_on"),
            not_before("valid_until", "quoted_on"),
            Rule(
                "quoted_area_above_nothing",
                "quoted_area_m2",
                "is 0; leave it blank where it is not known",
                pl.col("quoted_area_m2") > 0,
            ),
            Rule(
                "measured_area_above_nothing",
                "measured_area_m2",
                "is 0; leave it blank where it was not measured",
                pl.col("measured_area_m2") > 0,
            ),
        ),
    ),
    Record(
        "job_materials",
        "What a job needed, was allowed, took out and brought back, by material.",
        _split("job_ref, material, entry"),
        _split("job_ref, material"),
        _split(f"unit, {_QUANTITIES_OF_A_JOB}, issued_on, how, notes, entry"),
        adds_up=True,
        references={"job_ref": "jobs", "material": "materials"},
    ),
    Record(
        "edges",
        "The edges of a roof and what runs along them.",
        _split("job_ref, edge_no, material"),
        _split("job_ref, edge_no, material, quoted_mm"),
        _split("kind, fitted_mm, start_end, finish_end, upstand_mm"),
        references={"job_ref": "jobs", "material": "materials"},
    ),
    Record(
        "offcuts",
        "Pieces put on the rack, taken from it, binned or scrapped.",
        _split("job_ref, material, length_mm, fate, piece, entry"),
        _split("material, length_mm, pieces, fate"),
        _split("job_ref, piece, moved_on, entry"),
        adds_up=True,
        references={"job_ref": "jobs", "material": "materials"},
        rules=(filled_where_no_job("moved_on"),),
    ),
    Record(
        "losses",
        "Material gone without a roof to show for it, and why.",
        _split("job_ref, material, lost_on, entry"),
        _split("material, quantity, unit, cause"),
        _split("job_ref, lost_on, notes, entry"),
        adds_up=True,
        references={"job_ref": "jobs", "material": "materials"},
        rules=(filled_where_no_job("lost_on"), NOT_BELOW_NOTHING),
    ),
    Record(
        "extras",
        "What was agreed beyond the quote.",
        _split("job_ref, extra_no"),
        _split("job_ref, extra_no, price_gbp"),
        _split("agreed_on, words, added_area_m2, added_mm, material"),
        references={"job_ref": "jobs", "material": "materials"},
    ),
    Record(
        "purchases",
        "Lines of suppliers' invoices and credits.",
        _split("supplier, document_type, document_no, year, line_no"),
        _split("supplier, document_no, document_on, description, line_net_gbp"),
        _split(
            "document_type, line_no, material, packs, pack_size, unit, pack_price_gbp, vat_pct, "
            "delivered_on, job_ref, line_kind, order_no, lot, expires_on, credits_document_no, "
            "credits_line_no"
        ),
        whole_documents=True,
        references={"material": "materials", "job_ref": "jobs"},
        rules=(
            Rule(
                "goods_name_their_material",
                "description",
                "is not known yet, and the line of goods names no material: name it in the row, "
                "in the workbook of descriptions to name, or in the mapping",
                (pl.col("line_kind") != "goods") | pl.col("material").is_not_null(),
            ),
            Rule(
                "packs_and_money_go_one_way",
                "packs",
                "stands against the line's money: one of the two went back, the other did not",
                (pl.col("line_kind") != "goods")
                | ~((pl.col("packs") < 0) & (pl.col("line_net_gbp") > 0))
                & ~((pl.col("packs") > 0) & (pl.col("line_net_gbp") < 0)),
            ),
        ),
        added=("year", "quantity", "answers_receipt_no"),
    ),
    Record(
        "statements",
        "What suppliers' statements of account say is owed: nothing is booked by it.",
        _split("supplier, document_type, document_no"),
        _split("supplier, document_no, document_on, gross_gbp"),
        _split("document_type, statement_on"),
    ),
    Record(
        "orders",
        "What was ordered and what has come.",
        _split("order_no, line_no"),
        _split("supplier, material, packs, ordered_on"),
        _split("order_no, line_no, pack_size, due_on, received_packs, received_on, cancelled_on"),
        references={"material": "materials"},
        rules=(not_before("received_on", "ordered_on"),),
    ),
    Record(
        "stock_counts",
        "What was counted, by place and lot.",
        _split("counted_on, material, place, lot, length_mm, entry"),
        _split("counted_on, material"),
        _split(
            "quantity, unit, full_packs, part, part_gross_kg, place, lot, expires_on, length_mm, "
            "pieces, entry"
        ),
        adds_up=True,
        references={"material": "materials"},
        rules=(
            NOT_BELOW_NOTHING,
            Rule(
                "something_counted",
                "quantity",
                "is blank, and so are full packs, part and pieces: nothing was counted",
                pl.col("quantity").is_not_null(),
            ),
        ),
    ),
    Record(
        "decisions",
        "Which allowance the estimator decided on.",
        _split("material, job_type, decided_on"),
        _split("material, job_type, decided_on, decision, fixed_loss, price_ratio, load_ratio"),
        _split(
            "blend_ratio, piece_shift, decided_by, reason, suggested_fixed_loss, "
            "suggested_price_ratio, suggested_load_ratio, suggested_blend_ratio, "
            "suggested_piece_shift, in_force_fixed_loss, in_force_price_ratio, "
            "in_force_load_ratio, in_force_blend_ratio, in_force_piece_shift"
        ),
        references={"material": "materials"},
        awaits=("decision",),
        rules=(LOAD_NOT_BELOW_PRICE,),
    ),
    Record(
        "closings",
        "Months that the owner has closed.",
        ("month_on",),
        _split("month_on, closed_on"),
        ("closed_by",),
        rules=(not_before("closed_on", "month_on"), FIRST_OF_MONTH),
    ),
    Record(
        "closed_figures",
        "What was printed for a closed month.",
        _split("month_on, job_ref, figure"),
        _split("month_on, figure, gbp"),
        ("job_ref",),
    ),
    Record(
        "withdrawn",
        "Rows taken back.",
        _split("record, key, withdrawn_on"),
        _split("record, key, withdrawn_on"),
        _split("by, why"),
        awaits=("withdrawn_on", "by", "why"),
    ),
)

RECORDS: dict[str, Record] = {record.name: record for record in _ALL}

JUDGED_IN_ORDER = (
    "materials",
    "suppliers",
    "descriptions",
    "prices",
    "jobs",
    "job_materials",
    "edges",
    "offcuts",
    "losses",
    "extras",
    "purchases",
    "statements",
    "orders",
    "stock_counts",
    "decisions",
    "closings",
    "closed_figures",
    "withdrawn",
)
"""Records in an order in which each one's references come before it."""

PROVENANCE: dict[str, type[pl.DataType]] = {
    "receipt_no": pl.Int64,
    "batch_no": pl.Int64,
    "sheet": pl.String,
    "row_no": pl.Int64,
    "part_no": pl.Int64,
}
"""Where a row of history came from."""

FILLED_BY_JUDGING = {"document_type": "invoice", "line_kind": "goods"}
"""What a blank means in a column that has one plain default."""
