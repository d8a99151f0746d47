"""An empty firm's folder: settings to fill in, blank workbooks, a starter to double-click."""

import stat
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

from pipelines.errors import FolderError
from pipelines.month.folder import PARTS, FirmFolder
from pipelines.month.run import run_month
from reports.dictionary import write_dictionary
from reports.templates import write_blank_workbooks
from reports.typing_in import write_typing_workbook

_SETTINGS = "settings_template.toml"
_DICTIONARY = "what every column means.md"
_WINDOWS = "run roofyield.bat"
_UNIX = "run roofyield.command"
_WINDOWS_TEXT = (
    '@echo off\r\ncd /d "%~dp0"\r\nroofyield run\r\n'
    'if exist pages\\start.html start "" pages\\start.html\r\npause\r\n'
)
_UNIX_TEXT = """#!/bin/sh
cd "$(dirname "$0")" || exit
roofyield run
if [ -f pages/start.html ]; then
    if command -v open >/dev/null; then open pages/start.html; else xdg-open pages/start.html; fi
fi
printf 'Press enter to close. '
read -r _
"""


_HAND_IN = (
    "Hand in your materials first (blank workbooks/materials.xlsx), then a list of finished jobs "
    "and a year of invoices: copy each filled workbook into inbox/."
)
_RUN = (
    "Run 'roofyield run --folder {root}', or double-click "
    f"'{_UNIX}' (Windows: '{_WINDOWS}'), and read pages/start.html."
)


@dataclass(frozen=True)
class NewFolder:
    """The folder that was made, and what to do next."""

    root: Path
    next_steps: tuple[str, ...]


def make_folder(root: Path, firm: str) -> NewFolder:
    """
    Make an empty firm's folder at `root` for the firm of that name, its pages still empty.

    Raises FolderError where something stands there already.
    """
    if root.exists() and any(root.iterdir()):
        raise FolderError(f"{root}: this folder is not empty; name a new one")
    for part in PARTS:
        (root / part).mkdir(parents=True, exist_ok=True)
    folder = FirmFolder(root)
    folder.mappings.mkdir()
    template = (files("pipelines.month") / _SETTINGS).read_text(encoding="utf-8")
    name = (firm or "our firm").replace("\\", "\\\\").replace('"', '\\"')
    folder.settings_file.write_text(template.replace("{firm}", name), encoding="utf-8")
    blank = root / "blank workbooks"
    blank.mkdir()
    write_blank_workbooks(blank)
    write_typing_workbook(blank)
    (blank / _DICTIONARY).write_text(write_dictionary(), encoding="utf-8")
    _write_starters(root)
    run_month(root)
    return NewFolder(
        root,
        (
            "Open settings/settings.toml and write down your job types and what you allow.",
            _HAND_IN,
            _RUN.format(root=root),
        ),
    )


def _write_starters(root: Path) -> None:
    (root / _WINDOWS).write_bytes(_WINDOWS_TEXT.encode())
    starter = root / _UNIX
    starter.write_bytes(_UNIX_TEXT.encode())
    starter.chmod(starter.stat().st_mode | stat.S_IXUSR | stat.S_IXGRP)
