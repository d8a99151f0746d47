"""What a run's inputs come to: receipts, settings, mappings, the day, the program itself."""

import hashlib
from collections.abc import Iterable, Sequence
from datetime import date
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from pipelines.month.folder import FirmFolder
from pipelines.receiving.register import Receipt

_PACKAGES = ("pipelines", "schemas", "sql", "reports")


def fingerprint(folder: FirmFolder, receipts: Sequence[Receipt], as_of: date) -> str:
    """Return 32 hex digits that change when anything changes that a run's figures rest on."""
    digest = hashlib.sha256(program_version().encode())
    digest.update(as_of.isoformat().encode())
    for receipt in receipts:
        digest.update(receipt.path.name.encode())
    for file in (folder.settings_file, *sorted(folder.mappings.glob("*.toml"))):
        digest.update(file.name.encode())
        digest.update(file.read_bytes())
    return digest.hexdigest()[:32]


@cache
def program_version() -> str:
    """Return a digest of the program's own text, which is its version to the last letter."""
    digest = hashlib.sha256()
    for package in _PACKAGES:
        for name, file in sorted(_walk(files(package), package)):
            digest.update(name.encode())
            digest.update(file.read_bytes())
    return digest.hexdigest()[:16]


def _walk(folder: Traversable, name: str) -> Iterable[tuple[str, Traversable]]:
    for entry in folder.iterdir():
        path = f"{name}/{entry.name}"
        if entry.is_dir():
            yield from _walk(entry, path)
        elif entry.name.endswith((".py", ".sql")):
            yield path, entry
