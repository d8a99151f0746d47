"""The built wheel, laid out elsewhere, does the main job by itself."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
NOT_SOURCE = (".*", "build", "demo", "tests", "*.egg-info", "__pycache__")


def test_the_wheel_holds_all_that_the_command_needs(tmp_path):
    pip = [sys.executable, "-m", "pip", "--quiet", "--disable-pip-version-check"]
    wheels = tmp_path / "wheels"
    source = shutil.copytree(ROOT, tmp_path / "source", ignore=shutil.ignore_patterns(*NOT_SOURCE))
    subprocess.run(
        [*pip, "wheel", "--no-deps", "--no-build-isolation", "-w", str(wheels), str(source)],
        check=True,
        capture_output=True,
    )
    (wheel,) = wheels.iterdir()
    apart = tmp_path / "apart"
    subprocess.run([*pip, "install", "--no-deps", "--target", str(apart), str(wheel)], check=True)

    done = subprocess.run(
        [sys.executable, "-m", "pipelines", "demo", "--folder", "demo", "--json"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(apart)},
        capture_output=True,
        text=True,
        check=True,
    )

    told = json.loads(done.stdout)
    assert told["rows_read_count"] > 10_000
    assert (tmp_path / "demo" / "pages" / "owner.html").is_file()
    found = subprocess.run(
        [sys.executable, "-c", "import sql; print(sql.__file__)"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(apart)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert str(apart) in found.stdout
