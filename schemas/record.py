"""What a kind of record is: columns, keys, references, rules across columns."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import pandera.polars as pa
import polars as pl

from schemas.columns import column


@dataclass(frozen=True)
class Rule:
    """A rule across columns. Where it is not met the row is rejected on `column`."""

    name: str
    column: str
    says: str
    holds: pl.Expr

    def check(self) -> pa.Check:
        """Return the rule as a pandera check of a whole frame; a null passes."""

        def met(data: pa.PolarsData) -> pl.LazyFrame:
            return data.lazyframe.select(self.holds.fill_null(value=True))

        return pa.Check(met, name=self.name, error=self.says, title=self.column)


@dataclass(frozen=True)
class Record:
    """
    One kind of record.

    `key` names the columns that tell rows apart; where `adds_up` is true, rows of one key and
    different `entry` are added; where `whole_documents` is true, a document without line numbers
    is compared and replaced whole. `references` maps a column to the record whose key it must be.
    `added` are columns that judging works out and a firm does not type. Where `awaits` names
    columns, a row that leaves them all blank is a form that nobody has filled in yet.
    """

    name: str
    says: str
    key: tuple[str, ...]
    required: tuple[str, ...]
    optional: tuple[str, ...]
    adds_up: bool = False
    whole_documents: bool = False
    references: Mapping[str, str] = field(default_factory=dict)
    rules: tuple[Rule, ...] = ()
    added: tuple[str, ...] = ()
    awaits: tuple[str, ...] = ()

    @property
    def columns(self) -> tuple[str, ...]:
        """Return the columns that may be typed, required ones first."""
        return self.required + tuple(name for name in self.optional if name not in self.required)

    @cached_property
    def figures(self) -> tuple[str, ...]:
        """Return the columns that may be typed and hold figures."""
        described = self.schema.columns
        return tuple(name for name in self.columns if described[name].dtype.type.is_numeric())

    @property
    def needed_once(self) -> tuple[str, ...]:
        """Return the columns that one row of a key must fill, whichever row it is."""
        if self.adds_up or self.whole_documents:
            return ()
        return tuple(name for name in self.required if name not in self.key)

    @cached_property
    def schema(self) -> pa.DataFrameSchema:
        """Return the pandera schema of judged rows, `added` columns included."""
        names = self.columns + tuple(name for name in self.added if name not in self.columns)
        always = set(self.required) - set(self.needed_once)
        return pa.DataFrameSchema(
            {name: column(self.name, name, required=name in always) for name in names},
            checks=[rule.check() for rule in self.rules],
            name=self.name,
            description=self.says,
            strict=True,
            metadata={"key": self.key, "references": dict(self.references)},
        )
