"""SQL that may not stand in a relation, and the order of those that may."""

import pytest

from pipelines.errors import StoppedError
from pipelines.warehouse.relations import arrange_views

PLAIN = "SELECT job.job_ref AS job_ref FROM history.jobs AS job"


@pytest.mark.parametrize(
    ("select", "says"),
    [
        (f"{PLAIN}; {PLAIN}", "2 statements"),
        ("SELECT * FROM history.jobs AS job", "star"),
        ("SELECT job.* FROM history.jobs AS job", "star"),
        ("SELECT line.a AS a FROM read_csv('other.csv') AS line", "function in FROM"),
        ("SELECT line.a AS a FROM 'other.csv' AS line", "schema"),
        ("SELECT job.a AS a FROM jobs AS job", "jobs needs its schema"),
        ("SELECT now() AS at FROM history.jobs AS job", "unlike the next"),
        ("SELECT current_date AS at FROM history.jobs AS job", "unlike the next"),
        ("SELECT random() AS chance FROM history.jobs AS job", "unlike the next"),
        ("CREATE TABLE ledger.more (a INT)", "Only SELECT"),
        ("SELEC 1", "syntax error"),
        ("SELECT job.a AS a FROM elsewhere.jobs AS job", "no schema of the warehouse"),
        ("SELECT job.a AS a FROM page.jobs AS job", "higher level"),
    ],
)
def test_refused(select, says):
    with pytest.raises(StoppedError, match=says):
        arrange_views({"ledger.jobs": select})


def test_names_defined_in_the_text_and_counts_are_no_reads():
    views = arrange_views(
        {
            "ledger.jobs": """
                WITH RECURSIVE job AS (SELECT one.job_ref AS job_ref FROM history.jobs AS one),
                step AS (SELECT 1 AS no UNION ALL SELECT step.no + 1 AS no FROM step)
                SELECT count(*) AS job_count FROM job
                WHERE EXISTS (SELECT edge.edge_no FROM history.edges AS edge)
            """
        }
    )

    assert views["ledger.jobs"].reads == {"history.jobs", "history.edges"}


def test_each_comes_after_what_it_reads():
    views = arrange_views(
        {
            "page.one": "SELECT other.a AS a FROM usage.other AS other",
            "usage.other": "SELECT job.a AS a FROM ledger.jobs AS job",
            "ledger.jobs": PLAIN,
        }
    )

    assert list(views) == ["ledger.jobs", "usage.other", "page.one"]


def test_a_circle_is_named():
    with pytest.raises(StoppedError, match=r"circle: usage\.\w+ < usage\.\w+ < usage\.\w+"):
        arrange_views(
            {
                "usage.one": "SELECT other.a AS a FROM usage.other AS other",
                "usage.other": "SELECT one.a AS a FROM usage.one AS one",
            }
        )
