"""A real browser for the pages, where one is found on this machine."""

import os
import shutil
from pathlib import Path

_NAMES = ("chromium", "chromium-browser", "google-chrome")
SWITCHES = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip


def find_browser() -> Path | None:
    """Return the browser named by ROOFYIELD_CHROMIUM, else the first found on the PATH."""
    named = os.environ.get("ROOFYIELD_CHROMIUM")
    found = named or next((path for name in _NAMES if (path := shutil.which(name))), None)
    return Path(found) if found and Path(found).exists() else None
