"""Runs that are cut off at every step on the disk, and at random moments."""

import random
import signal
import subprocess
import sys
import time

import pytest

from tests.flows.killed_run import AS_OF
from tests.flows.undisturbed import (
    copy_firm,
    make_waiting_firm,
    run_killed,
    run_on_fixed_clock,
    stand,
)

pytestmark = pytest.mark.slow

MOST_STEPS = 400
KILLS = 50


@pytest.fixture(scope="module")
def firms(tmp_path_factory):
    """Return a firm that waits to be run, and what stands after an undisturbed run of it."""
    root = tmp_path_factory.mktemp("firms")
    waiting = make_waiting_firm(root / "waiting")
    undisturbed = copy_firm(waiting, root / "undisturbed")
    run_on_fixed_clock(undisturbed)
    return waiting, stand(undisturbed)


@pytest.mark.parametrize("side", ["before", "after"])
def test_whatever_step_a_run_dies_at_the_next_run_comes_to_the_same(firms, tmp_path, side):
    waiting, whole = firms
    for at in range(1, MOST_STEPS):
        root = copy_firm(waiting, tmp_path / f"{at}")
        count = run_killed(root, at, side)
        if count is not None:
            break
        run_on_fixed_clock(root)
        found = stand(root)
        assert found == whole, f"{side} step {at}"
    assert at == count + 1
    assert at > 40


def test_whatever_moment_a_run_is_killed_at_the_next_run_comes_to_the_same(firms, tmp_path):
    """The process is really killed, fifty times, up to three times in a row on one folder."""
    waiting, _ = firms
    undisturbed = copy_firm(waiting, tmp_path / "undisturbed")
    lasted = _run_and_kill(undisturbed, None)
    whole = stand(undisturbed)
    rng = random.Random(20260601)  # noqa: S311 - moments, no secrets
    killed = 0
    while killed < KILLS:
        root = copy_firm(waiting, tmp_path / f"{killed}")
        for _ in range(rng.randint(1, 3)):
            killed += _run_and_kill(root, rng.uniform(0.3, 1.0) * lasted) is None
        run_on_fixed_clock(root)
        found = stand(root)
        assert found.inbox == whole.inbox
        assert list(found.rejects.values()) == list(whole.rejects.values())
        assert found.relations["ledger.jobs"] == whole.relations["ledger.jobs"]


def _run_and_kill(root, after):
    """Run the real command; return the seconds it took, or None where it was killed."""
    command = [
        sys.executable,
        "-m",
        "pipelines",
        "run",
        "--folder",
        str(root),
        "--as-of",
        f"{AS_OF}",
    ]
    began = time.monotonic()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        process.wait(after)
    except subprocess.TimeoutExpired:
        process.send_signal(signal.SIGKILL)
        process.wait()
        return None
    return time.monotonic() - began
