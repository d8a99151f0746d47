"""Tables that a run writes beside the history: settings, receipts, results, the run itself."""

from typing import Any

import pandera.polars as pa

from schemas.columns import COLUMNS
from schemas.run_columns import OWN_COLUMNS


def _described(name: str) -> tuple[Any, str]:
    if name in OWN_COLUMNS:
        return OWN_COLUMNS[name]
    return COLUMNS[name]["dtype"], COLUMNS[name]["description"]


def _table(says: str, columns: str, *, blank: str = "") -> pa.DataFrameSchema:
    may_be_blank = {word.strip() for word in blank.split(",")}
    names = [word.strip() for word in columns.split(",")]
    return pa.DataFrameSchema(
        {
            name: pa.Column(
                _described(name)[0],
                nullable=name in may_be_blank,
                description=_described(name)[1],
                name=name,
            )
            for name in names
        },
        strict=True,
        description=says,
    )


_CUT_FIGURES = (
    "lengths_count, joints_count, net_quantity, lap_quantity, kerf_quantity, kept_quantity, "
    "binned_quantity, used_up_quantity, bound_quantity, is_proven"
)

TABLES: dict[str, pa.DataFrameSchema] = {
    "setting.firm": _table(
        "The firm's settings.",
        "firm, depot, as_of, month_end_on, yard, labour_day_gbp, left_aim_ratio, "
        "load_share_ratio, carriage, vat, reuse_share_ratio",
        blank="labour_day_gbp, left_aim_ratio",
    ),
    "setting.job_type": _table(
        "Job types with their usual lay-up.", "job_type, lay_up", blank="lay_up"
    ),
    "setting.lay_up": _table(
        "What a laminate holds.",
        "lay_up, glass_g_per_m2, glass_ratio, resin_kg_per_m2, thickness_mm",
    ),
    "setting.lay_up_mat": _table("Mats of a lay-up.", "lay_up, mat_g_per_m2, layer_count"),
    "setting.soak": _table("What the deck drinks.", "work, soak_kg_per_m2"),
    "setting.allow": _table(
        "What the firm allows, by day.",
        "material, from_on, per_m2, per_m, per_job, ratio_on_net",
        blank="per_m2, per_m, per_job, ratio_on_net",
    ),
    "setting.need": _table(
        "Bare need that no drawing line gives.",
        "material, per_m2, per_m, per_kg",
        blank="per_m2, per_m, per_kg",
    ),
    "setting.kind_default": _table(
        "Usual figures of a kind, where the firm gives none.",
        "kind, stock_length_mm, lap_mm, kerf_mm, least_piece_mm, keep_from_mm, density_kg_per_l",
        blank="stock_length_mm, lap_mm, kerf_mm, least_piece_mm, keep_from_mm, density_kg_per_l",
    ),
    "setting.cutting": _table(
        "How the firm joins trims and lays boards.",
        "joint_rule, joint_price_mm, joist_mm, stagger_mm, reuse_from_mm",
        blank="joist_mm",
    ),
    "setting.counting": _table(
        "How far counts and weighings are supposed to be out.",
        "weighing_error_kg, judged_error_ratio, count_floor_gbp",
    ),
    "setting.load": _table(
        "What the owner says of loads.",
        "second_trip_share_ratio, trip_gbp, surplus_ratio",
        blank="second_trip_share_ratio, trip_gbp, surplus_ratio",
    ),
    "setting.compared_van": _table("Vans to compare; none unless the owner asks for it.", "crew"),
    "setting.cold_month": _table("Months that the firm calls cold.", "month_no"),
    "setting.supplier_for": _table("Usual supplier.", "material, supplier"),
    "receipt.file": _table(
        "Every file received.",
        "receipt_no, batch_no, batch_at, file_name, document, source, is_proved, outcome, message, "
        "rows_read_count, accepted_count, repaired_count, rejected_count, already_held_count, "
        "skipped_count",
        blank="message",
    ),
    "receipt.note": _table("What to know of files that were read.", "receipt_no, file_note"),
    "receipt.row_outcome": _table(
        "What became of every row.",
        "receipt_no, sheet, row_no, part_no, record, outcome, reason",
        blank="record, reason",
    ),
    "receipt.withdrawn_row": _table(
        "Every row that was taken back, with by whom, why and when.",
        "receipt_no, sheet, row_no, part_no, record, withdrawn_on, by, why, "
        "withdrawn_receipt_no, withdrawn_sheet, withdrawn_row_no",
        blank="by, why",
    ),
    "receipt.row_gone": _table(
        "Every key in force that the newest version of its document tells no more.",
        "receipt_no, sheet, row_no, part_no, record, key, gone_receipt_no, gone_count",
    ),
    "receipt.repair": _table(
        "Every value that was mended or converted.",
        "receipt_no, sheet, row_no, part_no, record, column_name, value_before, value_after, rule",
        blank="value_before, value_after",
    ),
    "receipt.reject": _table(
        "Every row that could not be read, with why and what would mend it.",
        "receipt_no, sheet, row_no, part_no, record, column_name, value, reason, remedy, "
        "row_text, columns_text, mended_by_receipt_no",
        blank="record, column_name, value, row_text, columns_text, mended_by_receipt_no",
    ),
    "result.cut_job": _table(
        "What each plan of a job's cut material opens, uses up and leaves.",
        f"job_ref, material, stage, plan, kind, {_CUT_FIGURES}, how, problem",
        blank=f"{_CUT_FIGURES}, how, problem",
    ),
    "result.cut_piece": _table(
        "The pieces of the best plan of trims and battens.",
        "job_ref, material, stage, length_no, piece_no, length_mm, edge_no, piece_mm",
    ),
    "result.average_issue": _table(
        "What was taken from stock that is costed on a moving average.",
        "material, out_no, quantity, cost_pence, is_early",
        blank="cost_pence",
    ),
    "result.average_left": _table(
        "What is left of stock that is costed on a moving average.",
        "material, left_quantity, left_pence",
        blank="left_pence",
    ),
    "result.cut_load": _table(
        "New lengths and rack pieces of trim to load for the booked jobs.",
        "job_ref, planned_on, material, lengths_count, rack_count, rack_pieces_mm, net_mm, "
        "kept_mm, gap_mm, problem",
        blank="planned_on, lengths_count, rack_count, rack_pieces_mm, net_mm, kept_mm, gap_mm, "
        "problem",
    ),
    "result.slip": _table(
        "Uses so far from all others that a unit or a point has slipped.",
        "material, job_ref, scatters_off, usual_quantity, likely_factor, reason",
        blank="likely_factor",
    ),
    "result.drift": _table(
        "Use that has been creeping up or going down, job after job.",
        "material, state, direction, since_month, signal_on, miss_ratio, sentence",
    ),
    "result.crew_miss": _table(
        "How far vans lie from the mean of all; empty unless the owner asks for it.",
        "material, crew, job_count, shrunken_ratio, shrunken_low_ratio, shrunken_high_ratio",
    ),
    "result.cold_month": _table(
        "Whether cold months take more of what is poured; empty unless the firm names them.",
        "material, cold_job_count, warm_job_count, cold_ratio, tried_job_count, gain_ratio, "
        "gain_error_ratio, is_told, sentence",
        blank="cold_ratio, gain_ratio, gain_error_ratio",
    ),
    "result.load_setting": _table(
        "The share at which every material is loaded, and what it comes to on past jobs.",
        "load_basis, load_share_ratio, second_trip_share_ratio, covered_job_ratio, job_count, "
        "mean_cost_gbp",
        blank="second_trip_share_ratio, covered_job_ratio, mean_cost_gbp",
    ),
    "result.fit": _table(
        "What the jobs say of a material.",
        "material, base_unit, line_count, effective_job_count, capped_count, type_count, "
        "reference_quantity, fitted_fixed_loss, mean_ratio, error_ratio, low_error_ratio, "
        "high_error_ratio, mean_error_ratio, size_spread_ratio, type_spread_ratio, "
        "likeliest_spread_ratio, scatter_ratio, load_share_ratio, blend_ratio, piece_shift, "
        "load_form, is_thin, note",
        blank="blend_ratio, piece_shift, load_form, capped_count, size_spread_ratio, "
        "type_spread_ratio, likeliest_spread_ratio, scatter_ratio, note, fitted_fixed_loss, "
        "mean_ratio, error_ratio, low_error_ratio, high_error_ratio, mean_error_ratio, "
        "reference_quantity",
    ),
    "result.fit_rate": _table(
        "What the jobs say of a material on a job type.",
        "material, job_type, job_count, effective_job_count, own_ratio, trust_ratio, "
        "others_ratio, pooled_ratio, fitted_load_ratio",
        blank="own_ratio, fitted_load_ratio",
    ),
    "result.proposal": _table(
        "Suggested allowances.",
        "material, job_type, base_unit, job_count, held_back_count, copied_count, "
        "whole_pack_count, suggested_fixed_loss, suggested_price_ratio, suggested_load_ratio, "
        "suggested_blend_ratio, suggested_piece_shift, low_ratio, high_ratio, "
        "typical_base_quantity, charged_quantity, loaded_quantity, full_fixed_loss, "
        "full_price_ratio, full_load_ratio, change_ratio, is_step_limited, tried_line_count, "
        "gain_ratio, gain_error_ratio, is_offered, why_not, sentence",
        blank="full_fixed_loss, full_price_ratio, full_load_ratio, change_ratio, "
        "tried_line_count, gain_ratio, gain_error_ratio, suggested_fixed_loss, "
        "suggested_price_ratio, suggested_load_ratio, suggested_blend_ratio, "
        "suggested_piece_shift, low_ratio, high_ratio, typical_base_quantity, charged_quantity, "
        "loaded_quantity, why_not, sentence",
    ),
    "result.tried_line": _table(
        "Past jobs on which the suggestions of their month are tried, beside other ways.",
        "material, job_ref, job_type, completed_on, method, load_share_ratio, base_quantity, "
        "used_quantity, charged_quantity, loaded_quantity, pinball_ratio, error_gbp",
        blank="error_gbp",
    ),
    "result.score": _table(
        "How near the suggestions would have come on past jobs, beside other ways of allowing.",
        "material, method, month_count, line_count, job_count, pinball_ratio, "
        "suggested_pinball_ratio, priced_line_count, cost_error_gbp, suggested_error_gbp, "
        "mean_error_gbp, covered_line_ratio, covered_job_ratio",
        blank="cost_error_gbp, suggested_error_gbp, mean_error_gbp, covered_job_ratio",
    ),
    "result.count_test": _table(
        "The difference between counts and papers, held against counting error.",
        "material, base_unit, from_on, to_on, difference_quantity, difference_gbp, "
        "error_quantity, is_tested, is_beyond, signature, because, sentence",
        blank="difference_gbp, error_quantity, signature, because",
    ),
    "result.shared_use": _table(
        "Use from purchases and counts alone: shared out, not measured.",
        "material, base_unit, period_count, job_count, use_ratio, standard_error_ratio, label, "
        "note",
        blank="use_ratio, standard_error_ratio, note",
    ),
    "result.shared_job": _table(
        "What went between counts, shared over the jobs: not measured.",
        "material, base_unit, job_ref, from_on, to_on, base_quantity, shared_quantity, label",
    ),
    "result.closed_again": _table(
        "Figures of closed months as the files up to the closing give them now.",
        "month_on, job_ref, figure, again_gbp",
        blank="job_ref",
    ),
    "result.check_outcome": _table(
        "What the checks on the figures found.",
        "check_name, severity, fault_count, fault",
        blank="fault",
    ),
    "run.run": _table("The run.", "as_of, month_end_on, batch_no, fingerprint, version"),
}
"""Tables by relation name, in the order in which a run writes them."""
