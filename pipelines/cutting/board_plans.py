"""The values of decking: what a board is, a row as it is laid, and what a plan takes."""

from collections import Counter
from dataclasses import dataclass

from pipelines.errors import QuantityError

STAGGER_MM = 400
REUSE_FROM_MM = 400


@dataclass(frozen=True)
class BoardRules:
    """
    What a deck board is and how it may be laid. Whole mm.

    Attributes:
        length_mm: a new board, along the row.
        width_mm: a new board, across the row.
        cover_width_mm: width that a laid board covers; None for square edges, which cover all.
        joist_mm: spacing of the joists from the side that rows start at; None where ends may
            lie anywhere.
        stagger_mm: how far joints of neighbouring rows lie apart at least.
        reuse_from_mm: an offcut starts the next row only if it is longer than this.
        keep_from_mm: shortest offcut of full width that is kept; None where none is.

    Stagger and re-use of 400 mm are what installers' guides ask for (common practice).

    Raises:
        QuantityError: a figure that can't be; the message names the column.

    """

    length_mm: int
    width_mm: int
    cover_width_mm: int | None = None
    joist_mm: int | None = None
    stagger_mm: int = STAGGER_MM
    reuse_from_mm: int = REUSE_FROM_MM
    keep_from_mm: int | None = None

    def __post_init__(self) -> None:
        """Refuse what can't be."""
        for name in ("length_mm", "width_mm", "cover_width_mm", "joist_mm"):
            value = getattr(self, name)
            if value is not None and value <= 0:
                raise QuantityError(f"{name}: {value} mm is not above 0")
        for name in ("stagger_mm", "reuse_from_mm", "keep_from_mm"):
            if (getattr(self, name) or 0) < 0:
                raise QuantityError(f"{name}: {getattr(self, name)} mm is below 0")
        if self.cover_mm > self.width_mm:
            raise QuantityError(
                f"cover_width_mm: {self.cover_mm} mm is more than the width of {self.width_mm} mm"
            )
        if self.joist_mm is not None and self.joist_mm > self.length_mm:
            raise QuantityError(
                f"joist_mm: boards of {self.length_mm} mm do not reach over {self.joist_mm} mm"
            )

    @property
    def cover_mm(self) -> int:
        """Width that a laid board covers."""
        return self.width_mm if self.cover_width_mm is None else self.cover_width_mm

    @property
    def step_mm(self) -> int:
        """Distance between the joints of a row: a board, or what of it ends on a joist."""
        if self.joist_mm is None:
            return self.length_mm
        return self.length_mm // self.joist_mm * self.joist_mm


@dataclass(frozen=True)
class BoardPiece:
    """A piece as it is laid, and the board that it is cut from, numbered as they are opened."""

    board_no: int
    piece_mm: int


BoardRow = tuple[BoardPiece, ...]
"""One row's pieces, from the side that rows start at."""


@dataclass(frozen=True)
class BoardPlan:
    """
    How a deck is laid and what it takes. Areas in whole mm2.

    opened = net + lap + kept + binned, exactly. A saw cut counts as nothing: it is less than the
    gap that boards keep from a wall. Boards are cut to length only; what the last row loses in
    width is binned.

    Attributes:
        rules: the rules that it keeps.
        rows: every row's pieces, in the order in which they are laid.
        net_mm2: the area that is decked.
        bound_mm2: no plan of these rows uses up less than this.

    """

    rules: BoardRules
    rows: tuple[BoardRow, ...]
    net_mm2: int
    bound_mm2: int

    @property
    def boards_count(self) -> int:
        """Boards that it opens."""
        return len({piece.board_no for row in self.rows for piece in row})

    @property
    def joints_count(self) -> int:
        """Ends of boards that meet within rows."""
        return sum(len(row) - 1 for row in self.rows)

    @property
    def opened_mm2(self) -> int:
        """Area of the boards that it opens."""
        return self.boards_count * self.rules.length_mm * self.rules.width_mm

    @property
    def lap_mm2(self) -> int:
        """What tongues take: the width that a laid board doesn't cover, along all rows."""
        tongue_mm = self.rules.width_mm - self.rules.cover_mm
        return sum(piece.piece_mm for row in self.rows for piece in row) * tongue_mm

    @property
    def kept_mm2(self) -> int:
        """Offcuts of full width that are long enough to keep."""
        if self.rules.keep_from_mm is None:
            return 0
        cut: Counter[int] = Counter()
        for row in self.rows:
            for piece in row:
                cut[piece.board_no] += piece.piece_mm
        lefts = [self.rules.length_mm - cut_mm for cut_mm in cut.values()]
        return sum(left for left in lefts if left >= self.rules.keep_from_mm) * self.rules.width_mm

    @property
    def binned_mm2(self) -> int:
        """What is neither roof nor tongue nor kept: short offcuts, and the last row's rip."""
        return self.opened_mm2 - self.net_mm2 - self.lap_mm2 - self.kept_mm2

    @property
    def used_up_mm2(self) -> int:
        """What is opened less what is kept."""
        return self.opened_mm2 - self.kept_mm2

    @property
    def is_proven(self) -> bool:
        """Whether no plan of these rows can use up less."""
        return self.used_up_mm2 == self.bound_mm2
