"""The run as a flow: the same figures, quiet, and nothing asked of the network."""

import json

import pytest

from pipelines.cli import main
from pipelines.month.run import run_month
from tests.support.small_firm import make_firm
from tests.support.warehouses import find_differences

JOBS = """
    job_ref,job_type,completed_on,quoted_area_m2,quoted_price_gbp
    2026-001,garage,2026-05-04,18.0,2400.00
"""


@pytest.mark.slow
@pytest.mark.orchestration
def test_a_flow_run_gives_what_a_plain_run_gives(tmp_path, capfd):
    plain = make_firm(tmp_path / "plain", {"jobs.csv": JOBS})
    run_month(plain)
    root = make_firm(tmp_path / "flow", {"jobs.csv": JOBS})

    code = main(["run", "--orchestrated", "--json", "--folder", str(root)])
    said = capfd.readouterr()

    assert code == 0
    assert json.loads(said.out)["accepted_count"] == 5
    assert "telemetry" not in said.err.lower()
    assert set(find_differences(plain / "warehouse.duckdb", root / "warehouse.duckdb")) <= {
        "receipt.file",
        "run.run",
    }
    assert (root / ".orchestrator").is_dir()
