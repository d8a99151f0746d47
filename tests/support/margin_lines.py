"""Jobs of one material each, made by one SELECT, as the tables that the parts of a margin read."""

import duckdb

READ = {
    "ledger.jobs": "job_ref, 'garage' AS job_type, 'completed' AS status, "
    "DATE '2026-01-10' AS quoted_on, DATE '2026-05-01' AS completed_on",
    "usage.allowed": "job_ref, material, allowed_quantity",
    "usage.net_quantity": "job_ref, material, quoted_net_quantity, fitted_net_quantity",
    "usage.job_quantity": "job_ref, material, 'trim' AS kind, used_quantity",
    "result.used_cost": "job_ref, material, used_gbp, cast(NULL AS VARCHAR) AS how, "
    "cast(0 AS DECIMAL(12, 2)) AS delivery_gbp",
    "result.cut_job": "job_ref, material, 'quoted' AS stage, 'best' AS plan, "
    "quoted_net_quantity AS net_quantity, quoted_lap_quantity AS lap_quantity, "
    "0 AS kerf_quantity, quoted_cut_quantity AS binned_quantity, 1 AS used_up_quantity",
    "comparison.cut_split": "job_ref, material, fitted_net_quantity AS net_quantity, "
    "lap_quantity, unavoidable_quantity, avoidable_quantity",
}
"""What the parts read, as columns of `line`: quantities DECIMAL(18, 3), money DECIMAL(12, 2)."""


def open_lines(lines: str) -> duckdb.DuckDBPyConnection:
    """
    Open tables that hold the lines which a SELECT gives.

    It gives the columns of `READ` by name, with quoted_price_gbp and price_gbp. A line without
    quoted_lap_quantity has no plan of cuts.
    """
    connection = duckdb.connect()
    for schema in ("ledger", "usage", "result", "comparison", "stock"):
        connection.execute(f"CREATE SCHEMA IF NOT EXISTS {schema}")
    connection.execute(f"CREATE TABLE line AS {lines}")
    connection.execute("CREATE TABLE usage.calendar AS SELECT DATE '2026-06-01' AS as_of")
    connection.execute(
        "CREATE TABLE ledger.losses (job_ref VARCHAR, material VARCHAR, quantity DECIMAL(18, 3))"
    )
    for name, columns in READ.items():
        rows = connection.sql("FROM line")
        if "cut_" in name:
            rows = rows.filter("quoted_lap_quantity IS NOT NULL")
        rows.project(columns).create(name)
    connection.execute(
        "CREATE TABLE stock.price_step AS "
        "SELECT material, quoted_price_gbp AS price_gbp, DATE '2020-01-01' AS from_on, "
        "DATE '2026-03-01' AS until_on FROM line UNION ALL "
        "SELECT material, price_gbp, DATE '2026-03-01', DATE '9999-12-31' FROM line"
    )
    return connection
