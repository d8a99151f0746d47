"""Tables that a run writes beside the history: settings, receipts, results, the run itself."""

from typing import Any

import pandera.polars as pa
import polars as pl

from schemas.columns import COLUMNS, FACTOR, MONEY, QUANTITY

_OWN: dict[str, tuple[Any, str]] = {
    # receipts
    "receipt_no": (pl.Int64, "Number of the received file."),
    "batch_no": (pl.Int64, "Number of the batch that it came in."),
    "batch_at": (pl.Datetime("us", "UTC"), "Time of the batch, in UTC."),
    "file_name": (pl.String, "Name of the file as it was handed in."),
    "document": (pl.String, "Name of the document that the file is a version of."),
    "source": (pl.String, "Which mapping read it, or canonical."),
    "outcome": (pl.String, "What became of it."),
    "message": (pl.String, "What is wrong with the file, and what to do."),
    "file_note": (pl.String, "What a person should know of the file: passed over, or unusual."),
    "rows_read_count": (pl.Int64, "Rows that the independent counter found."),
    "accepted_count": (pl.Int64, "Rows taken in, clean or repaired."),
    "repaired_count": (pl.Int64, "Rows taken in with a repair on record."),
    "rejected_count": (pl.Int64, "Rows that could not be read."),
    "already_held_count": (pl.Int64, "Rows that say nothing new."),
    "skipped_count": (pl.Int64, "Titles, headings, blank rows, totals."),
    "sheet": (pl.String, "Sheet; blank for a CSV file."),
    "row_no": (pl.Int64, "Row in the sheet, from 1."),
    "part_no": (pl.Int64, "Which record of a row that makes several."),
    "column_name": (pl.String, "Column concerned."),
    "value": (pl.String, "The value as received."),
    "value_before": (pl.String, "The value as received."),
    "value_after": (pl.String, "The value as kept."),
    "rule": (pl.String, "Why the value could be mended."),
    "remedy": (pl.String, "What would mend it."),
    "row_text": (pl.String, "The whole row as received, header and text."),
    "columns_text": (pl.String, "The row in our own columns, as text; dates as they were read."),
    "mended_by_receipt_no": (pl.Int64, "Received file that brought the row mended."),
    # settings
    "firm": (pl.String, "Name of the firm."),
    "depot": (pl.String, "Label of the depot."),
    "as_of": (pl.Date, "The day that the run stands for."),
    "month_end_on": (pl.Date, "Last month end before it."),
    "yard": (pl.String, "Place of a count that names none."),
    "labour_day_gbp": (MONEY, "Cost of a day's labour."),
    "left_aim_ratio": (pl.Float64, "What shall be left of the price after materials."),
    "load_share_ratio": (pl.Float64, "Share of jobs that shall not run short of a material."),
    "glass_g_per_m2": (pl.Int64, "Dry glass of the lay-up, all layers."),
    "glass_ratio": (pl.Float64, "Glass in the laminate by mass."),
    "resin_kg_per_m2": (QUANTITY, "Resin that the laminate holds."),
    "thickness_mm": (pl.Float64, "Thickness of the laminate."),
    "mat_g_per_m2": (pl.Int64, "Mass of one layer of mat."),
    "layer_count": (pl.Int64, "Layers of that mat."),
    "soak_kg_per_m2": (QUANTITY, "Resin that the deck drinks."),
    "from_on": (pl.Date, "First day of the rule."),
    "per_m2": (FACTOR, "Base units for a square metre of roof."),
    "per_m": (FACTOR, "Base units for a metre of trimmed edge."),
    "per_job": (FACTOR, "Base units for a job."),
    "per_kg": (FACTOR, "Base units for a kilogram of resin and topcoat."),
    "ratio_on_net": (FACTOR, "What is added to the bare need, over it."),
    # results
    "stage": (pl.String, "The roof as quoted or as fitted."),
    "lengths_count": (pl.Int64, "New lengths that the best plan opens."),
    "joints_count": (pl.Int64, "Joins of the best plan."),
    "run_m": (pl.Float64, "Edges less what corner pieces cover."),
    "lap_m": (pl.Float64, "Overlap of the joins."),
    "kept_m": (pl.Float64, "Rest of the best plan that is long enough to keep."),
    "base_m": (pl.Float64, "What the best plan uses up."),
    "problem": (pl.String, "Why no plan could be made."),
    "base_unit": (pl.String, "Unit of the figures."),
    "line_count": (pl.Int64, "Jobs that the fit stands on."),
    "type_count": (pl.Int64, "Job types among them."),
    "reference_quantity": (pl.Float64, "Median base of the material."),
    "fitted_fixed_loss": (pl.Float64, "Loss on any job, in base units, as fitted."),
    "mean_ratio": (pl.Float64, "Loss over base on top of it, all jobs."),
    "error_ratio": (pl.Float64, "Miss over base that the set share of jobs stays within."),
    "low_error_ratio": (pl.Float64, "Miss over base that one job in ten falls below."),
    "high_error_ratio": (pl.Float64, "Miss over base that one job in ten goes beyond."),
    "mean_error_ratio": (pl.Float64, "Mean miss over base."),
    "is_thin": (pl.Boolean, "Whether few jobs speak."),
    "note": (pl.String, "What has to be said about the fit."),
    "job_count": (pl.Int64, "Jobs."),
    "own_ratio": (pl.Float64, "Loss over base of the type's own jobs."),
    "trust_ratio": (pl.Float64, "How far the type's own jobs are leaned on."),
    "pooled_ratio": (pl.Float64, "Loss over base that is taken for the type."),
    "held_back_count": (pl.Int64, "Lines set aside from learning."),
    "suggested_fixed_loss": (pl.Float64, "Suggested loss on any job, in base units."),
    "suggested_price_ratio": (pl.Float64, "Suggested charge over base."),
    "suggested_load_ratio": (pl.Float64, "Suggested load over base."),
    "low_ratio": (pl.Float64, "One job in ten uses less than this over base."),
    "high_ratio": (pl.Float64, "One job in ten uses more than this over base."),
    "typical_base_quantity": (pl.Float64, "Base of a usual job of the type."),
    "charged_quantity": (pl.Float64, "What would be charged on it."),
    "loaded_quantity": (pl.Float64, "What would be loaded for it."),
    "is_offered": (pl.Boolean, "Whether the suggestion is made."),
    "why_not": (pl.String, "Why it is not made."),
    "sentence": (pl.String, "The suggestion in words."),
    "method": (pl.String, "How the jobs of a month were foretold from those before it."),
    "month_count": (pl.Int64, "Months with such jobs."),
    "cost_error_gbp": (MONEY, "Sum over lines of what was charged too much or too little."),
    "mean_error_gbp": (MONEY, "Charged less used, a line: below 0 is too little."),
    "covered_line_ratio": (pl.Float64, "Share of lines on which no more was used than loaded."),
    "covered_job_ratio": (pl.Float64, "Share of jobs covered on every line; of all materials."),
    "check_name": (pl.String, "Name of the check."),
    "severity": (pl.String, "Whether a row stops the run or warns."),
    "fault_count": (pl.Int64, "Rows that the check found."),
    "fault": (pl.String, "The first of them, in words."),
    "fingerprint": (pl.String, "What the run's inputs come to."),
    "version": (pl.String, "Version of the program."),
}


def _described(name: str) -> tuple[Any, str]:
    if name in _OWN:
        return _OWN[name]
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


TABLES: dict[str, pa.DataFrameSchema] = {
    "setting.firm": _table(
        "The firm's settings.",
        "firm, depot, as_of, month_end_on, yard, labour_day_gbp, left_aim_ratio, load_share_ratio",
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
        "kind, stock_length_mm, lap_mm, kerf_mm, keep_from_mm, density_kg_per_l",
        blank="stock_length_mm, lap_mm, kerf_mm, keep_from_mm, density_kg_per_l",
    ),
    "setting.supplier_for": _table("Usual supplier.", "material, supplier"),
    "receipt.file": _table(
        "Every file received.",
        "receipt_no, batch_no, batch_at, file_name, document, source, outcome, message, "
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
    "plan.best_plan": _table(
        "The least lengths of trim that a job's edges need.",
        "job_ref, material, stage, lengths_count, joints_count, run_m, lap_m, kept_m, base_m, "
        "problem",
        blank="lengths_count, joints_count, run_m, lap_m, kept_m, base_m, problem",
    ),
    "result.fit": _table(
        "What the jobs say of a material.",
        "material, base_unit, line_count, type_count, reference_quantity, fitted_fixed_loss, "
        "mean_ratio, error_ratio, low_error_ratio, high_error_ratio, mean_error_ratio, "
        "load_share_ratio, is_thin, note",
        blank="note, fitted_fixed_loss, mean_ratio, error_ratio, low_error_ratio, "
        "high_error_ratio, mean_error_ratio, reference_quantity",
    ),
    "result.fit_rate": _table(
        "What the jobs say of a material on a job type.",
        "material, job_type, job_count, own_ratio, trust_ratio, pooled_ratio",
        blank="own_ratio",
    ),
    "result.proposal": _table(
        "Suggested allowances.",
        "material, job_type, base_unit, job_count, held_back_count, suggested_fixed_loss, "
        "suggested_price_ratio, suggested_load_ratio, low_ratio, high_ratio, "
        "typical_base_quantity, charged_quantity, loaded_quantity, is_offered, why_not, sentence",
        blank="suggested_fixed_loss, suggested_price_ratio, suggested_load_ratio, low_ratio, "
        "high_ratio, typical_base_quantity, charged_quantity, loaded_quantity, why_not, sentence",
    ),
    "result.score": _table(
        "How near the suggestions would have come on past jobs, beside two plain ways.",
        "material, method, month_count, line_count, job_count, cost_error_gbp, mean_error_gbp, "
        "covered_line_ratio, covered_job_ratio",
        blank="covered_job_ratio",
    ),
    "result.check_outcome": _table(
        "What the checks on the figures found.",
        "check_name, severity, fault_count, fault",
        blank="fault",
    ),
    "run.run": _table("The run.", "as_of, month_end_on, batch_no, fingerprint, version"),
}
"""Tables by relation name, in the order in which a run writes them."""
