"""Roofs as drawn and as they turned out: rectangles, edges clockwise from the gutter, ends."""

from dataclasses import dataclass
from math import ceil
from random import Random

from sample_data.firm import BY_NAME, DECKED, FACE, FILLET, RAISED, WALL_TRIMS, JobType

Rectangle = tuple[int, int]


@dataclass(frozen=True)
class Edge:
    """One edge; lengths in whole millimetres, corner covers not taken off."""

    edge_no: int
    trim: str
    quoted_mm: int
    fitted_mm: int
    start_end: str
    finish_end: str
    upstand_mm: int

    def run_mm(self, length_mm: int) -> int:
        """Return what the trim itself must span: the edge less its corner covers."""
        cover = int(BY_NAME[self.trim].columns.get("corner_cover_mm", "0"))
        return length_mm - cover * (self.start_end, self.finish_end).count("corner piece")


@dataclass(frozen=True)
class Roof:
    """A roof: rectangles as (along the gutter, depth) in mm, quoted and fitted."""

    quoted: tuple[Rectangle, ...]
    fitted: tuple[Rectangle, ...]
    edges: tuple[Edge, ...]

    @property
    def quoted_area_m2(self) -> float:
        """Area of the drawing in square metres."""
        return sum(width * depth for width, depth in self.quoted) / 1e6

    @property
    def fitted_area_m2(self) -> float:
        """Area of the roof as it stands in square metres."""
        return sum(width * depth for width, depth in self.fitted) / 1e6

    def trim_m(self, trims: tuple[str, ...] | None = None) -> float:
        """Return metres of edge as fitted, of all trims or of those named."""
        return sum(e.fitted_mm for e in self.edges if trims is None or e.trim in trims) / 1000


def draw_roof(rng: Random, kind: JobType) -> Roof:
    """Return a roof of this kind; one extension in five wraps round a corner of the house."""
    width, depth = _pick(rng, kind.gutter_mm), _pick(rng, kind.depth_mm)
    if kind.name == "garage" and rng.random() < 0.15:
        width = _pick(rng, (5000, 6200))
    fitted_width, fitted_depth = _fit(rng, width), _fit(rng, depth)
    if rng.random() < 0.05:
        fitted_width += 50 * rng.randint(6, 16)
    if kind.name == "extension" and width > 4200 and rng.random() < 0.35:
        return _draw_wrapped(rng, (width, depth), (fitted_width, fitted_depth))
    trims = rng.choice(kind.trims)
    quoted = (width, depth, width, depth)
    fitted = (fitted_width, fitted_depth, fitted_width, fitted_depth)
    edges = _name_edges(rng, trims, quoted, fitted)
    return Roof(((width, depth),), ((fitted_width, fitted_depth),), edges)


def _draw_wrapped(rng: Random, quoted: Rectangle, fitted: Rectangle) -> Roof:
    part = (10 * round(quoted[0] * rng.uniform(0.04, 0.06)), 10 * round(quoted[1] * 0.05))
    part_fitted = (_fit(rng, part[0]), _fit(rng, part[1]))
    side = rng.choice((RAISED, FACE))
    trims = ("drip trim", side, FILLET, FILLET, FILLET, side)
    edges = _name_edges(rng, trims, _ring(quoted, part), _ring(fitted, part_fitted))
    return Roof(_split(quoted, part), _split(fitted, part_fitted), edges)


def _ring(whole: Rectangle, part: Rectangle) -> tuple[int, ...]:
    """Lengths clockwise from the gutter of a roof whose part beside the house is narrower."""
    width, depth = whole
    return (width, depth, part[0], depth - part[1], width - part[0], part[1])


def _split(whole: Rectangle, part: Rectangle) -> tuple[Rectangle, ...]:
    return ((whole[0], part[1]), (part[0], whole[1] - part[1]))


def _pick(rng: Random, span: tuple[int, int]) -> int:
    return rng.randrange(span[0], span[1] + 1, 10)


def _fit(rng: Random, length_mm: int) -> int:
    return length_mm + 5 * round(rng.gauss(0, 2.5))


def _name_edges(
    rng: Random, trims: tuple[str, ...], quoted: tuple[int, ...], fitted: tuple[int, ...]
) -> tuple[Edge, ...]:
    with_pieces = rng.random() < 0.8
    count = len(trims)
    finishes = [
        _name_end(trims[n], trims[(n + 1) % count], with_pieces=with_pieces) for n in range(count)
    ]
    starts = [_name_end(trims[n], trims[n - 1], with_pieces=with_pieces) for n in range(count)]
    return tuple(
        Edge(
            n + 1, trims[n], quoted[n], fitted[n], starts[n], finishes[n],
            150 if trims[n] == FILLET else 0,
        )
        for n in range(count)
    )  # fmt: skip


def _name_end(trim: str, neighbour: str, *, with_pieces: bool) -> str:
    if trim not in WALL_TRIMS and neighbour in WALL_TRIMS:
        return "into wall"
    if trim != neighbour or trim in WALL_TRIMS:
        return "plain"
    has_piece = "corner_piece" in BY_NAME[trim].columns
    return "corner piece" if has_piece and with_pieces else "mitre"


def count_corners(roof: Roof) -> dict[str, int]:
    """Return corner pieces by name; two neighbouring ends make one."""
    found: dict[str, int] = {}
    for edge in roof.edges:
        if edge.finish_end == "corner piece":
            piece = BY_NAME[edge.trim].columns["corner_piece"]
            found[piece] = found.get(piece, 0) + 1
    return found


def allow_materials(roof: Roof, lay_up: tuple[int, ...], work: str, topcoat: str) -> dict[str, int]:
    """Return what the firm allows for a roof, in thousandths of base units (as quoted)."""
    area = roof.quoted_area_m2
    metres = sum(edge.quoted_mm for edge in roof.edges) / 1000
    per_m2 = {450: 1.5, 900: 3.0, 600: 2.0}[sum(lay_up)]
    allowed = {
        "resin": area * per_m2,
        topcoat: area * 0.6,
        f"mat {lay_up[0]}": area * len(lay_up) * 1.1,
        "bandage": metres * 1.1,
        "adhesive": metres * 39.6,
        "nails": metres * 7.7,
        "solvent": area * 0.12,
        "catalyst": area * (per_m2 + 0.6) * 0.02,
    }
    for edge in roof.edges:
        run = edge.run_mm(edge.quoted_mm) / 1000 * 1.1
        allowed[edge.trim] = allowed.get(edge.trim, 0) + run
        if edge.trim not in WALL_TRIMS:
            allowed["batten"] = allowed.get("batten", 0) + edge.quoted_mm / 1000 * 1.1
        if edge.trim == "flat flashing":
            allowed["sealant"] = allowed.get("sealant", 0) + edge.quoted_mm / 1000 * 39.6
    if work in DECKED:
        allowed["deck board"] = area * 1.1
    if work == "overlay":
        allowed["primer"] = area * 0.18
    allowed |= {piece: float(count) for piece, count in count_corners(roof).items()}
    return {name: ceil(amount * 1000) for name, amount in allowed.items()}
