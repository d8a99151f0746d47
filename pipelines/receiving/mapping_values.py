"""Values looked up in a mapping's text, each of the kind that it must be."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from pipelines.errors import MappingError

Said = Mapping[str, Any]


@dataclass(frozen=True)
class MappingValues:
    """Looks up values of one mapping file; a fault is a MappingError that names file and key."""

    file: str

    def allow(self, said: Said, allowed: Collection[str], at: str) -> None:
        """Raise MappingError at a key that is not known here."""
        for key in said:
            if key not in allowed:
                names = ", ".join(sorted(allowed))
                raise MappingError(
                    f'{self.file}: "{under(at, key)}" is not known; allowed: {names}'
                )

    def check_column(self, column: str, allowed: Collection[str], at: str) -> None:
        """Raise MappingError where a column is none of the record's."""
        if column not in allowed:
            names = ", ".join(sorted(allowed))
            raise MappingError(
                f'{self.file}: "{at}" names the column "{column}", which is not known; '
                f"allowed: {names}"
            )

    def one_of(self, said: Said, key: str, allowed: Collection[str], at: str = "") -> str:
        """Return one of the allowed texts."""
        value = said.get(key)
        if not isinstance(value, str) or value not in allowed:
            raise self.fault(under(at, key), f"one of {', '.join(allowed)}", value)
        return value

    def text(self, said: Said, key: str, at: str = "") -> str:
        """Return a text that is not blank."""
        value = said.get(key)
        if not isinstance(value, str) or not value.strip():
            raise self.fault(under(at, key), "a text", value)
        return value

    def texts(
        self,
        said: Said,
        key: str,
        default: tuple[str, ...] | None = None,
        at: str = "",
    ) -> tuple[str, ...]:
        """Return a list of texts; the default where the key is absent."""
        if key not in said and default is not None:
            return default
        value = said.get(key)
        listed = isinstance(value, list) and all(isinstance(v, str) and v.strip() for v in value)
        if not listed or not value:
            raise self.fault(under(at, key), "a list of texts", value)
        return tuple(value)

    def map_of(self, said: Said, key: str, at: str = "") -> Said:
        """Return a table; an empty one where the key is absent."""
        value = said.get(key, {})
        if not isinstance(value, dict):
            raise self.fault(under(at, key), "a table", value)
        return value

    def map_of_texts(self, said: Said, key: str, at: str = "") -> Mapping[str, str]:
        """Return a table whose values are all texts."""
        value = self.map_of(said, key, at)
        for name, text in value.items():
            if not isinstance(text, str):
                raise self.fault(f'{under(at, key)}."{name}"', "a text in quotes", text)
        return value

    def map_of_maps(self, said: Said, key: str) -> Said:
        """Return a table whose values are all tables."""
        value = self.map_of(said, key)
        for name in value:
            self.map_of(value, name, key)
        return value

    def list_of_maps(self, said: Said, key: str) -> list[tuple[str, Said]]:
        """Return the tables of a list, each with its name in a fault; none where it is absent."""
        value = said.get(key, [])
        if not isinstance(value, list) or not all(isinstance(each, dict) for each in value):
            raise self.fault(key, f"one [[{key}]] or more", value)
        return [(f"{key} {number}", each) for number, each in enumerate(value, 1)]

    def flag(self, said: Said, key: str, at: str, *, default: bool) -> bool:
        """Return a yes or no."""
        value = said.get(key, default)
        if not isinstance(value, bool):
            raise self.fault(under(at, key), "true or false", value)
        return value

    def count(self, said: Said, key: str, at: str, default: int, most: int) -> int:
        """Return a whole number from 1 to `most`."""
        value = said.get(key, default)
        if type(value) is not int or not 1 <= value <= most:
            raise self.fault(under(at, key), f"a whole number from 1 to {most}", value)
        return value

    def choice(
        self, said: Said, key: str, allowed: tuple[Any, ...], at: str, default: str | None
    ) -> Any:  # noqa: ANN401 - one of the allowed, whose type the caller names
        """Return one of the allowed words; the default where the key is absent."""
        return self.one_of(said, key, allowed, at) if key in said or default is None else default

    def fault(self, key: str, allowed: str, found: object) -> MappingError:
        """Return the error that says what the key must be and what it says."""
        said = "nothing" if found is None or found == "nothing" else repr(found)
        return MappingError(f'{self.file}: "{key}" must be {allowed}; it says {said}')


def under(at: str, key: str) -> str:
    """Return a key's full name below the table it stands in."""
    return f"{at}.{key}" if at else key
