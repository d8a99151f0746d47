"""One table of a settings file: hands out its values by kind, refuses what nobody asked for."""

from collections.abc import Mapping, Sequence
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from pipelines.errors import SettingsError


class Section:
    """One table of the file: hands out its values by kind and refuses what is left over."""

    def __init__(self, values: Mapping[str, Any], file: Path, name: str) -> None:
        """Take the `values` of the table `name` in `file`; the top has no name."""
        self._values = dict(values)
        self._file = file
        self._name = name
        self._asked: list[str] = []

    def _fault(self, key: str, says: str) -> SettingsError:
        place = f"{self._name}.{key}" if self._name else key
        return SettingsError(f"{self._file}: setting '{place}' {says}")

    def take(self, key: str, kind: type | tuple[type, ...], wanted: str) -> Any:  # noqa: ANN401
        """Return the value of `key`, None where it is not set; SettingsError if of another kind."""
        self._asked.append(key)
        value = self._values.pop(key, None)
        if value is None or (isinstance(value, kind) and type(value) is not bool):
            return value
        if kind is bool and type(value) is bool:
            return value
        raise self._fault(key, f"is {value!r}; it must be {wanted}")

    def need(self, key: str, kind: type | tuple[type, ...], wanted: str) -> Any:  # noqa: ANN401
        """Return the value of `key`; SettingsError where it is not set."""
        value = self.take(key, kind, wanted)
        if value is None:
            raise self._fault(key, f"is missing; it must be {wanted}")
        return value

    def decimal(self, key: str) -> Decimal | None:
        """Return an exact decimal, written as a number or as text."""
        value = self.take(key, (int, float, str), "a number")
        if value is None:
            return None
        try:
            found = Decimal(str(value))
        except InvalidOperation:
            raise self._fault(key, f"is {value!r}; it must be a number") from None
        if not found.is_finite():
            raise self._fault(key, f"is {value!r}; it must be a number")
        return found

    def texts(self, key: str) -> tuple[str, ...]:
        """Return a list of texts, empty where it is not set."""
        values = self.take(key, list, "a list of words") or []
        if not all(isinstance(value, str) for value in values):
            raise self._fault(key, f"is {values!r}; it must be a list of words")
        return tuple(values)

    def table(self, key: str) -> Mapping[str, Any]:
        """Return a sub-table, empty where it is not set."""
        found: Mapping[str, Any] = self.take(key, dict, "a table") or {}
        return found

    def tables(self, key: str) -> Sequence[Mapping[str, Any]]:
        """Return a list of sub-tables, empty where it is not set."""
        found: Sequence[Mapping[str, Any]] = self.take(key, list, "a list of tables") or []
        return found

    def close(self) -> None:
        """Raise SettingsError for a key that nobody asked for."""
        for key in self._values:
            raise self._fault(key, f"is not known; known here are: {', '.join(self._asked)}")
