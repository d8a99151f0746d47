"""Which values of the history and of the settings each figure of a job rests on."""

from collections.abc import Mapping
from datetime import date
from typing import Any

import polars as pl

from pipelines.month.history_cells import HistoryCells
from pipelines.month.traced import Source
from pipelines.warehouse.connection import Connection
from pipelines.warehouse.tables import fetch

Row = Mapping[str, Any]

_LENGTHS = ("stock_length_mm", "lap_mm", "kerf_mm", "keep_from_mm")
_COVERAGE = ("coverage_per_m2", "coverage_basis")
_LAY_UP_HOLDS = {
    "resin": ("lay_up", {"lay_up.resin_kg_per_m2"}),
    "mat": ("lay_up_mat", {"lay_up_mat.mat_g_per_m2", "lay_up_mat.layer_count"}),
}
"""By kind: the settings table that says what a lay-up holds, and its columns."""
_SETTINGS_FILE = "settings.toml"
_FIRST_DAY = date(1990, 1, 1)
"""The day that a list without one holds from."""


class TraceSources:
    """The sources of one job's figures."""

    def __init__(self, published: Connection, job: Row) -> None:
        """Look at `job`, a row of the ledger's jobs."""
        self._published = published
        self._cells = HistoryCells(published)
        self._job = job
        self._of_job = pl.col("job_ref") == job["job_ref"]
        self._items = fetch(published, "ledger.materials")
        self._edges = fetch(published, "ledger.edges").filter(self._of_job)

    def job_column(self, *columns: str) -> tuple[Source, ...]:
        """Return the job's own values."""
        return self._cells.sources("jobs", self._of_job, columns)

    def extras(self) -> tuple[Source, ...]:
        """Return what was agreed beyond the quote."""
        agreed = self._cells.sources("extras", self._of_job, ("price_gbp",))
        return agreed or self.job_column("extras_gbp")

    def printed(self, figure: str) -> tuple[Source, ...]:
        """Return what was kept of a figure of the job when its month was closed."""
        return self._cells.sources(
            "closed_figures", self._of_job & (pl.col("figure") == figure), ("gbp",)
        )

    def card(self, material: str, column: str) -> tuple[Source, ...]:
        """Return what the job's papers say of a material in `column`."""
        return self._cells.sources("job_materials", self._of(material), (column,))

    def pieces(self, material: str, fate: str) -> tuple[Source, ...]:
        """Return the rack pieces of that fate; length and fate stand in the key."""
        where = self._of(material) & (pl.col("fate") == fate)
        return self._cells.sources("offcuts", where, ("pieces",))

    def drawing(self, line: Row, stage: str) -> tuple[Source, ...]:
        """Return what the bare need was derived from: edges, else area, lay-up and settings."""
        trims = self._trims_of(line["material"])
        if trims:
            return self._edge_cells(pl.col("material").is_in(trims), stage)
        ruled = self._settings("need", "material", line["material"])
        along = self._all_edges(stage) if _names(ruled, "need.per_m") else ()
        wet = (*self._laid("resin"), *self._items_of_job("topcoat", _COVERAGE))
        poured = wet if _names(ruled, "need.per_kg") else ()
        own = pl.col("material") == line["material"]
        covers = self._cells.sources("materials", own, _COVERAGE)
        return (*self._roof(stage), *self._laid(line["kind"]), *covers, *ruled, *along, *poured)

    def rule(self, line: Row) -> tuple[Source, ...]:
        """Return the dated rule of the settings, and the area or edges that it counts on."""
        rules = fetch(self._published, "setting.allow")
        dates = [self._job[name] for name in ("quoted_on", "planned_on", "completed_on")]
        on = next((date for date in dates if date is not None), None)
        known = rules.filter(pl.col("material") == line["material"], pl.col("from_on") <= on)
        newest = _as_settings("allow", known.sort("from_on", descending=True).head(1))
        roof = self._roof("quoted") if _names(newest, "allow.per_m2") else ()
        along = self._all_edges("quoted") if _names(newest, "allow.per_m") else ()
        return (*newest, *roof, *along)

    def base(self, line: Row) -> tuple[Source, ...]:
        """Return what comes on top of the bare need: lengths of a trim, soak of a resin."""
        if line["kind"] == "trim":
            where = pl.col("material") == line["material"]
            return self._cells.sources("materials", where, _LENGTHS)
        if line["kind"] == "resin":
            laps = self._items_of_job("mat", ("g_per_m2", "lap_mm", "width_mm"))
            bandage = self._items_of_job("bandage", ("g_per_m2", "width_mm"))
            return (*laps, *bandage, *self._settings("soak", "work", self._job["work"]))
        return ()

    def price(self, material: str) -> tuple[Source, ...]:
        """Return the list, or the invoice lines, that the price on the day of the job is from."""
        done_on = self._job["completed_on"]
        steps = fetch(self._published, "stock.price_step").filter(
            pl.col("material") == material,
            pl.col("from_on") <= done_on,
            pl.col("until_on") > done_on,
        )
        for step in steps.iter_rows(named=True):
            return self._listed(step) if step["how"] == "list" else self._paid(step)
        return ()

    def _listed(self, step: Row) -> tuple[Source, ...]:
        asked = fetch(self._published, "stock.supplier_asked")
        suppliers = asked.filter(pl.col("material") == step["material"])["supplier"].to_list()
        where = (
            (pl.col("material") == step["material"])
            & pl.col("supplier").is_in(suppliers)
            & (pl.col("pack_size") == step["pack_size"])
            & (pl.col("valid_from").fill_null(_FIRST_DAY) == step["from_on"])
        )
        listed = fetch(self._published, "ledger.prices").filter(where)
        least = listed["min_packs"].sort(nulls_last=False).head(1).to_list()
        one_pack = pl.col("min_packs").eq_missing(pl.lit(least[0] if least else None))
        return self._cells.sources("prices", where & one_pack, ("pack_price_gbp",))

    def _paid(self, step: Row) -> tuple[Source, ...]:
        lines = fetch(self._published, "stock.bought_line").filter(
            pl.col("material") == step["material"]
        )
        on = lines["bought_on"].min() if step["how"] == "first paid after" else step["from_on"]
        documents = lines.filter(pl.col("bought_on") == on)["document_no"].to_list()
        where = (
            (pl.col("material") == step["material"])
            & (pl.coalesce("delivered_on", "document_on") == on)
            & pl.col("document_no").is_in(documents)
            & (pl.col("document_type") == "invoice")
        )
        return self._cells.sources("purchases", where, ("quantity", "line_net_gbp"))

    def _items_of_job(self, kind: str, columns: tuple[str, ...]) -> tuple[Source, ...]:
        named = fetch(self._published, "usage.job_material").filter(
            self._of_job, pl.col("kind") == kind
        )
        where = pl.col("material").is_in(named["material"].to_list())
        return self._cells.sources("materials", where, columns)

    def _of(self, material: str) -> pl.Expr:
        named: pl.Expr = self._of_job & (pl.col("material") == material)
        return named

    def _trims_of(self, material: str) -> list[str]:
        """Return the trims of the job's edges that are this material, or need it at a corner."""
        corners = self._items.filter(pl.col("corner_piece") == material)["material"].to_list()
        fitted = self._edges["material"].unique().sort().to_list()
        return [trim for trim in fitted if trim == material or trim in corners]

    def _edge_cells(self, where: pl.Expr, stage: str) -> tuple[Source, ...]:
        lengths = ("quoted_mm",) if stage == "quoted" else ("quoted_mm", "fitted_mm")
        columns = (*lengths, "start_end", "finish_end")
        told = self._cells.sources("edges", self._of_job & where, columns)
        return told if stage == "quoted" else told + self.job_column("as_drawn")

    def _all_edges(self, stage: str) -> tuple[Source, ...]:
        trims = self._items.filter(pl.col("kind") == "trim")["material"].to_list()
        return self._edge_cells(pl.col("material").is_in(trims), stage)

    def _roof(self, stage: str) -> tuple[Source, ...]:
        order = ("quoted_area_m2", "measured_area_m2")
        known = [name for name in order if self._job[name] is not None]
        if not known:
            return ()
        return self.job_column(known[0] if stage == "quoted" else known[-1])

    def _laid(self, kind: str) -> tuple[Source, ...]:
        """Return the lay-up as typed or as usual for the job type, and what it holds of a kind."""
        if kind not in _LAY_UP_HOLDS:
            return ()
        typed = self.job_column("lay_up")
        usual = () if typed else self._settings("job_type", "job_type", self._job["job_type"])
        table, columns = _LAY_UP_HOLDS[kind]
        held = self._settings(table, "lay_up", self._job["lay_up"])
        return (*typed, *usual, *(source for source in held if source.column in columns))

    def _settings(self, table: str, column: str, value: str | None) -> tuple[Source, ...]:
        frame = fetch(self._published, f"setting.{table}")
        return _as_settings(table, frame.filter(pl.col(column) == pl.lit(value)))


def _as_settings(table: str, frame: pl.DataFrame) -> tuple[Source, ...]:
    """Return each filled figure of settings rows; the first column names the row."""
    head = frame.columns[0]
    return tuple(
        Source("settings", {head: str(row[head])}, f"{table}.{name}", str(value),
               _SETTINGS_FILE, "", None)
        for row in frame.iter_rows(named=True)
        for name, value in row.items()
        if name != head and value is not None
    )  # fmt: skip


def _names(sources: tuple[Source, ...], column: str) -> bool:
    return any(source.column == column for source in sources)
