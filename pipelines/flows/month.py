"""
The run as a flow: the same plain function, with the orchestrator's history of runs.

A first call starts the orchestrator's own server for a few seconds; nothing leaves the machine.
"""

import os
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from pipelines.month.folder import open_folder
from pipelines.month.run import run_month
from pipelines.month.summary import RunSummary

_STARTUP_SECONDS = 180
_QUIET_AND_OFFLINE: Mapping[str, str] = {
    "DO_NOT_TRACK": "1",
    "PREFECT_SERVER_ANALYTICS_ENABLED": "false",
    "PREFECT_LOGGING_LEVEL": "WARNING",
    "PREFECT_SERVER_LOGGING_LEVEL": "ERROR",
    "PREFECT_SERVER_EPHEMERAL_STARTUP_TIMEOUT_SECONDS": str(_STARTUP_SECONDS),
}


def run_month_orchestrated(root: Path, as_of: date | None = None) -> RunSummary:
    """
    Do what `run_month` does, as a flow run whose record stays in the firm's folder.

    The orchestrator's settings are set before it is loaded, so that it is quiet, keeps its files
    in `.orchestrator` inside `root`, and asks nothing of the network.
    """
    folder = open_folder(root)
    os.environ.update(_QUIET_AND_OFFLINE)
    os.environ["PREFECT_HOME"] = str((folder.root / ".orchestrator").resolve())
    from prefect import flow  # noqa: PLC0415 - it must see the settings above, and costs seconds
    from prefect.settings import (  # noqa: PLC0415
        PREFECT_FLOWS_HEARTBEAT_FREQUENCY,
        temporary_settings,
    )

    with temporary_settings({PREFECT_FLOWS_HEARTBEAT_FREQUENCY: None}):
        return flow(name="month", validate_parameters=False)(_month)(root, as_of)


def _month(root: Path, as_of: date | None) -> RunSummary:
    return run_month(root, as_of)
