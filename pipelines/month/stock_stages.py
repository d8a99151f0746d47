"""The stages of a run over the stock: what it costs on average, counts held against papers."""

from pipelines.costing.moving_average import cost_on_average
from pipelines.month.graph import Frames, Stage
from pipelines.stock.count_tests import judge_counts
from pipelines.stock.shared_use import share_use


def list_stock_stages() -> tuple[Stage, ...]:
    """Return the stages over lots and counts."""
    return (
        Stage(
            "average costs",
            "costing the stock that is on a moving average",
            ("result.lot", "feed.stock_out", "ledger.materials"),
            ("result.average_issue", "result.average_left"),
            lambda read: cost_on_average(
                read["result.lot"], read["feed.stock_out"], read["ledger.materials"]
            ),
        ),
        Stage(
            "count tests",
            "holding counts against the papers",
            (
                "stock.count_interval",
                "feed.order_without_invoice",
                "learn.held_back",
                "ledger.jobs",
                "setting.counting",
            ),
            ("result.count_test",),
            _judge_counts,
        ),
        Stage(
            "shared use",
            "sharing out what no job books",
            ("stock.count_interval", "learn.shared_need"),
            ("result.shared_use", "result.shared_job"),
            _share_use,
        ),
    )


def _judge_counts(read: Frames) -> Frames:
    jobs = read["ledger.jobs"].select("job_ref", "completed_on")
    tests = judge_counts(
        read["stock.count_interval"],
        read["feed.order_without_invoice"],
        read["learn.held_back"].join(jobs, on="job_ref"),
        read["setting.counting"]["count_floor_gbp"][0],
    )
    return {"result.count_test": tests}


def _share_use(read: Frames) -> Frames:
    shared = share_use(read["stock.count_interval"], read["learn.shared_need"])
    return {"result.shared_use": shared.material, "result.shared_job": shared.job}
