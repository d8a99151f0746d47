"""The invented firm's files, laid out in a folder of their own."""

import shutil
from importlib.resources import as_file, files
from pathlib import Path

from pipelines.errors import FolderError

MARK = "an invented firm.txt"
_SAYS = (
    "Everything in this folder is invented: the firm, its places, suppliers, jobs and figures.\n"
    "To see a correction arrive, move the file in later/ into inbox/ and run again.\n"
)


def prepare_demonstration(root: Path) -> None:
    """
    Copy the invented firm's files into `root`, unless they stand there already.

    Raises FolderError where `root` holds something else, so that nobody's records are touched.
    """
    if (root / MARK).is_file():
        return
    if root.exists() and any(root.iterdir()):
        raise FolderError(f"{root}: this folder is not empty; name another with --folder")
    with as_file(files("sample_data") / "firm") as sample:
        shutil.copytree(sample, root, dirs_exist_ok=True)
    (root / MARK).write_text(_SAYS, encoding="utf-8")
