"""Whether as many jobs of invented firms need a second trip as their owners set, unseen months."""

from decimal import Decimal

import numpy as np
import pytest

from pipelines.allowances.scores import score_ways
from pipelines.allowances.tried import try_on_past_jobs
from pipelines.setting_load import Load
from sample_data.generate import generate
from tests.slow.worked_out import work_out

SEEDS = range(201, 206)
WANTED = (
    "learn.use_line", "learn.allowed_then", "stock.price_step", "setting.firm", "setting.job_type",
)  # fmt: skip

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def firms(tmp_path_factory):
    found = []
    for seed in SEEDS:
        folder = tmp_path_factory.mktemp(f"firm {seed}")
        generate(folder, seed, months=24)
        found.append(work_out(folder / "firm", WANTED))
    return found


def _short_share(firm, trips: str) -> float:
    """Say on which share of the jobs of twelve unseen months anything would have run short."""
    month_end_on = firm["setting.firm"]["month_end_on"][0]
    tried = try_on_past_jobs(
        firm["learn.use_line"],
        firm["learn.allowed_then"],
        firm["stock.price_step"],
        month_end_on,
        load=Load(second_trip_share=Decimal(trips)),
        job_types=firm["setting.job_type"]["job_type"].to_list(),
    )
    suggested = score_ways(tried, month_end_on).filter(material="all", method="as suggested")
    return 1 - float(suggested["covered_job_ratio"][0])


@pytest.mark.parametrize("trips", ["0.10", "0.20", "0.30"])
def test_as_many_jobs_run_short_as_the_owner_set(firms, capsys, trips):
    shares = [_short_share(firm, trips) for firm in firms]
    mean, error = np.mean(shares), np.std(shares, ddof=1) / np.sqrt(len(shares))
    with capsys.disabled():
        print(f"\nset {trips}: {mean:.3f} run short (se {error:.3f}), {len(shares)} firms")  # noqa: T201 - the figures are the point of a long test

    assert abs(mean - float(trips)) <= 0.02 + 2 * error
