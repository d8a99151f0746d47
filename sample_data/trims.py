"""How a crew cuts trim on a roof: edge by edge, from lengths, leftovers and the rack."""

from dataclasses import dataclass, field
from random import Random

from sample_data.firm import BY_NAME
from sample_data.habits import Habits
from sample_data.roofs import Roof

LENGTH_MM = 3000
KEEP_FROM_MM = 600
LEAST_PIECE_MM = 300
RACK_SPARE_MM = 900


@dataclass
class Bar:
    """One length or rack piece as it is cut up; all figures in whole millimetres."""

    trim: str
    source: str
    length_mm: int
    fitted_mm: int = 0
    kerf_mm: int = 0
    racked_mm: int = 0
    spoilt: bool = False

    @property
    def rest_mm(self) -> int:
        """What is left of it to cut from or to keep."""
        return self.length_mm - self.fitted_mm - self.kerf_mm

    @property
    def binned_mm(self) -> int:
        """What was thrown away."""
        return self.rest_mm - self.racked_mm

    def cut(self, piece_mm: int) -> None:
        """Cut a piece off; the saw takes its part of what is left."""
        self.fitted_mm += piece_mm
        self.kerf_mm += min(int(BY_NAME[self.trim].columns["kerf_mm"]), self.rest_mm)


@dataclass
class Cutter:
    """A crew on one roof. `rack` (trim -> piece lengths) is the yard's own and is changed."""

    rng: Random
    habits: Habits
    rack: dict[str, list[int]]
    bars: list[Bar] = field(default_factory=list)

    def fit_edges(self, roof: Roof) -> list[Bar]:
        """Cut every edge of the roof, rack what is worth keeping; return the bars used."""
        edges = list(roof.edges)
        if self.rng.random() < self.habits.longest_first:
            edges.sort(key=lambda edge: -edge.fitted_mm)
        for edge in edges:
            self._fit_run(edge.trim, edge.run_mm(edge.fitted_mm))
        for bar in self.bars:
            keeps = self.rng.random() < self.habits.keeps_leftovers
            if not bar.spoilt and bar.rest_mm >= KEEP_FROM_MM and keeps:
                bar.racked_mm = bar.rest_mm
                self.rack[bar.trim].append(bar.rest_mm)
        return self.bars

    def _fit_run(self, trim: str, need_mm: int) -> None:
        lap_mm = int(BY_NAME[trim].columns["lap_mm"])
        while need_mm > 0:
            bar = self._find_leftover(trim, need_mm) or self._find_rack(trim, need_mm)
            bar = bar or self._open_length(trim)
            if bar.rest_mm >= need_mm:
                bar.cut(need_mm)
                return
            short_mm = need_mm - (bar.rest_mm - lap_mm)
            piece_mm = bar.rest_mm - max(0, LEAST_PIECE_MM - short_mm)
            bar.cut(piece_mm)
            need_mm -= piece_mm - lap_mm

    def _find_leftover(self, trim: str, need_mm: int) -> Bar | None:
        fits = [b for b in self.bars if b.trim == trim and not b.spoilt and b.rest_mm >= need_mm]
        if fits and self.rng.random() < self.habits.looks_at_leftovers:
            return min(fits, key=lambda bar: bar.rest_mm)
        return None

    def _find_rack(self, trim: str, need_mm: int) -> Bar | None:
        fits = [mm for mm in self.rack[trim] if need_mm <= mm <= need_mm + RACK_SPARE_MM]
        if not fits or self.rng.random() >= self.habits.looks_at_rack:
            return None
        self.rack[trim].remove(min(fits))
        self.bars.append(Bar(trim, "rack", min(fits)))
        return self.bars[-1]

    def _open_length(self, trim: str) -> Bar:
        if self.rng.random() < self.habits.spoils_length:
            self.bars.append(Bar(trim, "new", LENGTH_MM, spoilt=True))
        self.bars.append(Bar(trim, "new", LENGTH_MM))
        return self.bars[-1]
