"""Rules of a mapping beyond its columns: what is skipped, parted, described, shared, and how."""

from collections.abc import Collection
from dataclasses import dataclass
from typing import get_args

from pipelines.receiving.amounts import Amounts, Credits
from pipelines.receiving.described import Described, Pattern
from pipelines.receiving.handed_over import RecordKinds, fold
from pipelines.receiving.labels import Label, Where, fold_label
from pipelines.receiving.mapping_values import MappingValues, Said, under
from pipelines.receiving.mappings import Skip, Texts, Totals
from pipelines.receiving.pdf_rules import PdfRules
from pipelines.receiving.splitting import LONGEST_PATTERN, Split, list_groups
from pipelines.receiving.written_figures import Mark

AMOUNT_KEYS = frozenset({"decimal_mark", "vat_included", "credits"})
_TOTALS_KEYS = ("where", "sums")
_SKIP_KEYS = ("where", "why", "begins")
_SPLIT_KEYS = ("patterns", "must_match")
_LABEL_KEYS = ("column", "cell", "away")
_PROOF_KEYS = ("total", "vat", "net", "forward")
_OF_INVOICES = ("charges", "credits", "proof.vat", "proof.net")
_OF_STATEMENTS = ("credits_under", "skip", "proof.forward")
_FARTHEST = 20


@dataclass(frozen=True)
class MappingRules(MappingValues):
    """Reads the rules of one mapping; a fault is a MappingError that names file and key."""

    records: RecordKinds

    def where(self, said: Said, at: str) -> Texts:
        """Return heading -> pattern of its cell, both folded; one at least."""
        where = self.map_of_texts(said, "where", at)
        if not where:
            raise self.fault(under(at, "where"), "a heading and the pattern of its cell", "nothing")
        return {fold(heading): fold(pattern) for heading, pattern in where.items()}

    def totals(self, said: Said) -> Totals | None:
        """Return which rows sum others."""
        if "totals" not in said:
            return None
        totals = self.map_of(said, "totals")
        self.allow(totals, _TOTALS_KEYS, "totals")
        where = self.where(totals, "totals")
        sums = tuple(fold(heading) for heading in self.texts(totals, "sums", (), "totals"))
        return Totals(where, sums)

    def skips(self, said: Said) -> tuple[Skip, ...]:
        """
        Return which rows say nothing to book.

        Where one looks at a repeated heading, its cell most likely holds a word, as "carried
        forward", and nothing that the rows below share: it begins a block only if said so.
        """
        repeats = {fold(heading) for heading in self.texts(said, "repeats", ())}
        skips = []
        for at, skip in self.list_of_maps(said, "skip"):
            self.allow(skip, _SKIP_KEYS, at)
            where = self.where(skip, at)
            begins = self.flag(skip, "begins", at, default=not repeats & {*where})
            skips.append(Skip(where, self.text(skip, "why", at), begins))
        return tuple(skips)

    def splits(self, said: Said, columns: Collection[str]) -> tuple[Split, ...]:
        """Return how cells that hold several fields are parted into `columns`."""
        splits = []
        for heading in self.map_of_maps(said, "split"):
            at = f'split."{heading}"'
            split = said["split"][heading]
            self.allow(split, _SPLIT_KEYS, at)
            patterns = self.texts(split, "patterns", None, at)
            for pattern in patterns:
                self.check_pattern(pattern, columns, under(at, "patterns"))
            must = self.flag(split, "must_match", at, default=True)
            splits.append(Split(fold(heading), patterns, must))
        return tuple(splits)

    def name_pattern(self, said: Said, key: str, columns: Collection[str]) -> str | None:
        """Return the pattern of a file's or tab's name, None where the mapping has none."""
        if key not in said:
            return None
        pattern = self.text(said, key)
        self.check_pattern(pattern, columns, key)
        return pattern

    def check_pattern(self, pattern: str, columns: Collection[str], at: str) -> None:
        """Raise MappingError where a pattern is none, is too long, or names no column."""
        if len(pattern) > LONGEST_PATTERN:
            raise self.fault(at, f"at most {LONGEST_PATTERN} letters long", pattern[:40] + "...")
        try:
            groups = list_groups(pattern)
        except ValueError as error:
            raise self.fault(at, f"a pattern ({error})", pattern) from error
        if not groups:
            raise self.fault(at, "a pattern with groups named as columns: (?P<packs>...)", pattern)
        for group in groups:
            self.check_column(group, columns, at)

    def described(self, said: Said, columns: Collection[str]) -> Described:
        """Return what descriptions say: by their whole wording, by pattern, and kinds of line."""
        exact = {}
        for description in self.map_of_maps(said, "descriptions"):
            fills = self.map_of_texts(said["descriptions"], description, "descriptions")
            for column in fills:
                self.check_column(column, columns, f'descriptions."{description}"')
            exact[fold(description)] = fills
        likes = [*self.list_of_maps(said, "descriptions_like"), *self.list_of_maps(said, "kinds")]
        return Described(exact, tuple(self.pattern(like, at, columns) for at, like in likes))

    def pattern(self, said: Said, at: str, columns: Collection[str]) -> Pattern:
        """Return one pattern of descriptions and what it fills."""
        like = self.text(said, "like", at)
        fills = {name: self.text(said, name, at) for name in said if name != "like"}
        allowed = {"line_kind"} & {*columns} if at.startswith("kinds") else columns
        self.allow(fills, allowed, at)
        if not fills:
            raise self.fault(at, "a pattern and what it fills", "nothing beside the pattern")
        return Pattern(fold(like), fills)

    def labels(
        self, said: Said, key: str, columns: Collection[str], at: str = ""
    ) -> tuple[Label, ...]:
        """Return labels and the cells that they name; a bare column means the cell to the right."""
        labels = []
        for text, told in self.map_of(said, key, at).items():
            where = f'{under(at, key)}."{text}"'
            value = {"column": told} if isinstance(told, str) else told
            if not isinstance(value, dict):
                raise self.fault(where, "a column, or a table with column and cell", told)
            self.allow(value, _LABEL_KEYS, where)
            column = self.text(value, "column", where)
            self.check_column(column, columns, where)
            cell: Where = self.choice(value, "cell", get_args(Where), where, "right")
            away = self.count(value, "away", where, 1, _FARTHEST)
            labels.append(Label(fold_label(text), column, cell, away))
        return tuple(labels)

    def pdf_rules(self, said: Said, columns: Collection[str]) -> PdfRules:
        """Return how a PDF is read and proved; no label's cell can be told to stand below it."""
        below = [
            label.text for label in self.labels(said, "labels", columns) if label.cell == "below"
        ]
        if below:
            raise self.fault(f'labels."{below[0]}".cell', "right or same in a PDF", "below")
        proof = self.map_of(said, "proof")
        self.allow(proof, _PROOF_KEYS, "proof")
        told = {name: fold_label(self.text(proof, name, "proof")) for name in ("total", *proof)}
        find, lines = (self.texts(said, key, ()) for key in ("find", "lines"))
        for key, patterns in (("find", find), ("lines", lines)):
            for pattern in patterns:
                self.check_pattern(pattern, columns, key)
        charges = self.map_of_texts(said, "charges")
        kinds = {fold_label(label): kind for label, kind in charges.items()}
        credits_under = tuple(fold(name) for name in self.texts(said, "credits_under", ()))
        return PdfRules(
            told["total"], told.get("vat"), told.get("net"), kinds, find, lines,
            told.get("forward"), credits_under,
        )  # fmt: skip

    def refuse_of_other_record(self, said: Said, record: str) -> None:
        """Raise MappingError where a PDF's mapping says what its record has no use for."""
        proof = self.map_of(said, "proof")
        keys = {*said, *(under("proof", key) for key in proof)}
        for key in _OF_INVOICES if record == "statements" else _OF_STATEMENTS:
            if key in keys:
                raise self.fault(key, f"left out where the record is {record}", "it")

    def amounts(self, said: Said) -> Amounts:
        """Return how the source writes its figures."""
        mark: Mark | None = None
        if "decimal_mark" in said:
            mark = self.choice(said, "decimal_mark", get_args(Mark), "", None)
        credits_are: Credits = self.choice(said, "credits", get_args(Credits), "", "as stated")
        return Amounts(mark, self.flag(said, "vat_included", "", default=False), credits_are)
