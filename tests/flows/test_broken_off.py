"""A run that is broken off leaves nobody without the rows that he has to mend."""

import pytest

from pipelines.month import run as month
from tests.support.small_firm import make_firm

JOBS = """
job_ref,job_type,completed_on,quoted_area_m2
2026-001,garage,2026-05-04,12
2026-002,castle,2026-05-05,12
"""


class BrokenOffError(Exception):
    """Stands for a machine that is switched off."""


@pytest.mark.parametrize("step", ["publish_warehouse", "publish_pages", "clear_inbox"])
def test_the_workbook_to_mend_stands_whatever_step_a_run_is_broken_off_at(
    tmp_path, monkeypatch, step
):
    whole = make_firm(tmp_path / "whole", {"jobs.csv": JOBS})
    month.run_month(whole)
    firm = make_firm(tmp_path / "firm", {"jobs.csv": JOBS})

    def break_off(*_: object) -> None:
        raise BrokenOffError

    with monkeypatch.context() as patched:
        patched.setattr(month, step, break_off)
        with pytest.raises(BrokenOffError):
            month.run_month(firm)
    month.run_month(firm)

    assert [path.suffix for path in (whole / "rejects").iterdir()] == [".xlsx"]
    assert [path.suffix for path in (firm / "rejects").iterdir()] == [".xlsx"]
    assert not [path for path in (firm / "inbox").iterdir() if path.is_file()]
