"""A disk that is full or may not be written on, two runs at once, readers while one publishes."""

import json
import os
import resource
import shutil
import subprocess
import sys
from functools import partial

import pytest

from pipelines.errors import BusyError, FolderError
from pipelines.month.run import run_month
from tests.flows.undisturbed import (
    copy_firm,
    make_waiting_firm,
    run_killed,
    run_on_fixed_clock,
    stand,
)

STEPS = {"before": (41,), "after": (52,)}
"""A few of the steps; every one of them is tried among the slow tests."""


@pytest.fixture(scope="module")
def waiting(tmp_path_factory):
    """Return a firm that was run once and has new files in its inbox."""
    return make_waiting_firm(tmp_path_factory.mktemp("firms") / "waiting")


@pytest.fixture(scope="module")
def whole(waiting):
    """Return what stands after an undisturbed run."""
    undisturbed = copy_firm(waiting, waiting.with_name("undisturbed"))
    run_on_fixed_clock(undisturbed)
    return stand(undisturbed)


def _command(root, *before, limit=None):
    return subprocess.run(
        [*before, sys.executable, "-m", "pipelines", "run", "--folder", str(root)],
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=limit,
    )


@pytest.mark.parametrize(
    ("side", "at"), [(side, at) for side, steps in STEPS.items() for at in steps]
)
def test_after_a_run_that_died_the_next_comes_to_the_same(waiting, whole, tmp_path, side, at):
    root = copy_firm(waiting, tmp_path / "firm")

    assert run_killed(root, at, side) is None
    run_on_fixed_clock(root)

    assert stand(root) == whole


def _set_file_limit(size):
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))


@pytest.mark.parametrize("size", [50, 900_000])
def test_a_full_disk_is_said_and_leaves_what_was_published(waiting, whole, tmp_path, size):
    root = copy_firm(waiting, tmp_path / "firm")
    published = stand(root)

    ended = _command(root, limit=partial(_set_file_limit, size))

    left = stand(root)
    assert ended.returncode == FolderError.exit_code
    assert ended.stderr.startswith("roofyield: ")
    assert ended.stderr.count("\n") == 1
    assert (left.inbox, left.pages) == (published.inbox, published.pages)
    assert left.relations == published.relations
    assert not list(root.glob("*next*"))
    shutil.rmtree(root / "received")
    shutil.copytree(waiting / "received", root / "received")
    run_on_fixed_clock(root)
    assert stand(root) == whole


def test_a_folder_that_may_not_be_written_on_is_said(waiting, tmp_path):
    root = copy_firm(waiting, tmp_path / "firm")
    as_nobody = ()
    if os.geteuid() == 0:
        program = shutil.which("setpriv")
        if program is None:
            pytest.skip("NOT TRIED: a read-only folder, as root may write everywhere")
        as_nobody = (program, "--bounding-set=-dac_override,-dac_read_search")
    published = stand(root)
    for folder in (root, root / "received", root / "pages"):
        folder.chmod(0o555)

    ended = _command(root, *as_nobody)

    for folder in (root, root / "received", root / "pages"):
        folder.chmod(0o755)
    assert ended.returncode == FolderError.exit_code
    assert "Permission denied" in ended.stderr
    assert ended.stderr.count("\n") == 1
    assert stand(root) == published


def test_a_second_run_at_once_is_refused(waiting, tmp_path, monkeypatch):
    root = copy_firm(waiting, tmp_path / "firm")
    refused = []

    def run_again(*_):
        ended = _command(root)
        refused.append((ended.returncode, ended.stderr))
        return ()

    with monkeypatch.context() as patched:
        patched.setattr("pipelines.month.run.write_unknown_wordings", run_again)
        run_month(root)

    assert refused[0][0] == BusyError.exit_code
    assert "another run is at work here" in refused[0][1]


def test_readers_see_only_whole_states(waiting, tmp_path):
    root = copy_firm(waiting, tmp_path / "firm")
    reader = subprocess.Popen(
        [sys.executable, "-m", "tests.support.reading", str(root)],
        stdout=subprocess.PIPE,
        text=True,
    )
    while not (root / "reading").exists():
        assert reader.poll() is None

    run_month(root)
    (root / "stop").touch()
    said, _ = reader.communicate()

    assert json.loads(said) == {"files": [3, 6], "torn": []}
