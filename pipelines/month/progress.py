"""Who hears how far a run is."""

from typing import Protocol


class Progress(Protocol):
    """Hears how far a run is."""

    def reading(self, done: int, of: int) -> None:
        """Hear that `done` of `of` received files are read."""

    def stage(self, says: str) -> None:
        """Hear what is being done now."""


class Silent:
    """Hears everything and says nothing."""

    def reading(self, done: int, of: int) -> None:
        """Say nothing."""

    def stage(self, says: str) -> None:
        """Say nothing."""
