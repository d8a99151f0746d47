"""A firm's folder: where what it hands in and what is made of it stand."""

from dataclasses import dataclass
from pathlib import Path

from pipelines.errors import FolderError

PARTS = ("inbox", "received", "rejects", "settings", "pages")


@dataclass(frozen=True)
class FirmFolder:
    """The parts of a firm's folder, all below `root`."""

    root: Path

    @property
    def inbox(self) -> Path:
        """Return where files are dropped."""
        return self.root / "inbox"

    @property
    def received(self) -> Path:
        """Return the untouched copies."""
        return self.root / "received"

    @property
    def rejects(self) -> Path:
        """Return the workbooks of rows that could not be read."""
        return self.root / "rejects"

    @property
    def settings_file(self) -> Path:
        """Return the file of settings."""
        return self.root / "settings" / "settings.toml"

    @property
    def mappings(self) -> Path:
        """Return the folder of mappings."""
        return self.root / "settings" / "mappings"

    @property
    def pages(self) -> Path:
        """Return the published pages."""
        return self.root / "pages"

    @property
    def pages_next(self) -> Path:
        """Return where a run writes pages before it publishes them."""
        return self.root / "pages.next"

    @property
    def warehouse(self) -> Path:
        """Return the published warehouse."""
        return self.root / "warehouse.duckdb"

    @property
    def lock(self) -> Path:
        """Return the file that a run holds while it works."""
        return self.root / "run.lock"


def open_folder(root: Path) -> FirmFolder:
    """Return the firm's folder at `root`; FolderError where it is none."""
    folder = FirmFolder(root)
    if not root.is_dir():
        raise FolderError(f"{root}: there is no such folder; 'roofyield new {root}' makes one")
    if not folder.settings_file.is_file():
        raise FolderError(
            f"{root}: this is not a firm's folder, as it has no settings/settings.toml; "
            "'roofyield new FOLDER' makes one"
        )
    return folder
