"""The vans: opened tins, rolls and boxes that go from job to job, and how they are read."""

from dataclasses import dataclass, field
from datetime import date
from math import ceil
from random import Random

from sample_data.firm import BY_NAME
from sample_data.store import Loss, Store


@dataclass
class OpenPack:
    """An opened pack: what is in it, and what the crew last read, in card thousandths."""

    lot: str
    expires_on: date | None
    left: int
    read: int


@dataclass(frozen=True)
class Reading:
    """What the card says went out and came back, in card thousandths; short: a second trip."""

    out: int
    back: int
    is_short: bool


@dataclass
class Van:
    """One crew's van."""

    name: str
    rng: Random
    open_packs: dict[str, OpenPack] = field(default_factory=dict)

    def pour(self, store: Store, material: str, used: int, allowed: int, day: date) -> Reading:
        """Use an amount (thousandths) from the open pack and new ones, weighing what is left."""
        return self._use(store, material, used, allowed, (day, "weighed"))

    def pour_judged(
        self, store: Store, material: str, used: int, allowed: int, day: date
    ) -> Reading:
        """Use an amount as `pour` does; what is left is judged to a quarter of a pack."""
        return self._use(store, material, used, allowed, (day, "judged"))

    def open_whole(self, store: Store, material: str, used: int, day: date) -> int:
        """Use an amount from opened packs; return how many packs were opened for it."""
        before = self._left(material)
        self._use(store, material, used, 0, (day, "weighed"))
        return max(0, ceil((used - before) / BY_NAME[material].pack))

    def clear(self, store: Store, day: date) -> None:
        """Throw out opened packs that are past their date."""
        for material, pack in list(self.open_packs.items()):
            if pack.expires_on is not None and pack.expires_on <= day:
                cause = "out of date" if pack.left >= 100 else ""
                store.losses.append(Loss(day, material, pack.left, cause))
                del self.open_packs[material]

    def _left(self, material: str) -> int:
        return self.open_packs[material].left if material in self.open_packs else 0

    def _use(
        self, store: Store, material: str, used: int, allowed: int, when: tuple[date, str]
    ) -> Reading:
        day, how = when
        size = BY_NAME[material].pack
        left = self._left(material)
        read = self._read_out(material, left, how)
        loaded = max(0, ceil((allowed - left) / size))
        needed = max(0, ceil((used - left) / size))
        taken = store.take(material, max(loaded, needed), day)
        store.put_back(material, taken[needed:])
        if needed:
            last = taken[needed - 1]
            self.open_packs[material] = OpenPack(last.lot, last.expires_on, left, 0)
        if material in self.open_packs:
            self._read_back(material, left + needed * size - used, how)
        back = self.open_packs[material].read if material in self.open_packs else 0
        pack = to_card(material, size)
        return Reading(read + len(taken) * pack, back + len(taken[needed:]) * pack, needed > loaded)

    def _read_out(self, material: str, left: int, how: str) -> int:
        """Weigh the open pack before it goes out; who judges copies what the last job wrote."""
        if not left:
            return 0
        return self.open_packs[material].read if how == "judged" else self._weigh(material, left)

    def _weigh(self, material: str, left: int) -> int:
        return max(0, 100 * round(to_card(material, left) / 100 + self.rng.gauss(0, 0.12)))

    def _read_back(self, material: str, left: int, how: str) -> None:
        if left == 0:
            del self.open_packs[material]
            return
        full = to_card(material, BY_NAME[material].pack)
        seen = self._weigh(material, left)
        if how == "judged":
            seen = full // 4 * round(4 * seen / full)
        self.open_packs[material].left = left
        self.open_packs[material].read = min(full, seen)


def to_card(material: str, amount: int) -> int:
    """Return thousandths of the base unit as the card counts them: mat in grams, else same."""
    weight = BY_NAME[material].columns.get("g_per_m2")
    if weight is None or BY_NAME[material].kind != "mat":
        return amount
    return round(amount * int(weight) / 1000)
