"""The yard: packs by lot, the rack, orders, deliveries, invoices and credit notes."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from math import ceil
from random import Random

from sample_data.days import find_working, is_working
from sample_data.firm import BY_NAME, MATERIALS, SUPPLIERS, Material, Supplier, price_pack


@dataclass
class Lot:
    """Packs of one delivery; lot and expiry are blank for what does not go off."""

    lot: str
    expires_on: date | None
    packs: int


@dataclass
class Order:
    """One line that the yard ordered."""

    order_no: str
    supplier: str
    material: str
    packs: int
    ordered_on: date
    due_on: date
    received_on: date | None = None


@dataclass(frozen=True)
class Line:
    """One invoice line; a blank material is carriage, packs 0 is money only."""

    material: str
    packs: int
    price_gbp: Decimal
    net_gbp: Decimal
    order_no: str = ""
    lot: str = ""
    expires_on: date | None = None
    words: str = ""


@dataclass(frozen=True)
class Document:
    """An invoice or a credit note; the lines of a credit are negative."""

    supplier: str
    document_no: str
    document_type: str
    document_on: date
    delivered_on: date
    lines: tuple[Line, ...]
    credits_document_no: str = ""

    @property
    def net_gbp(self) -> Decimal:
        """Sum of the lines."""
        return sum((line.net_gbp for line in self.lines), Decimal(0))


@dataclass(frozen=True)
class Loss:
    """A loss without a job, in thousandths of the base unit; a blank cause was not written."""

    lost_on: date
    material: str
    amount: int
    cause: str


@dataclass
class Store:
    """All that stands in the yard, and the papers that went with it."""

    rng: Random
    lots: dict[str, list[Lot]] = field(default_factory=lambda: defaultdict(list))
    rack: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    orders: list[Order] = field(default_factory=list)
    documents: list[Document] = field(default_factory=list)
    losses: list[Loss] = field(default_factory=list)
    scrapped: list[tuple[date, str, int]] = field(default_factory=list)
    bought: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    opening: dict[str, int] = field(default_factory=dict)
    order_count: int = 0

    def count_packs(self, material: str) -> int:
        """Return the packs of a material in the yard."""
        return sum(lot.packs for lot in self.lots[material])

    def open_stock(self, needs: dict[str, int], day: date) -> None:
        """Put in the stock that the firm starts with, for needs in thousandths."""
        for material in MATERIALS:
            packs = ceil(needs.get(material.name, 0) / material.pack) + 1
            self._put(material, packs, day - timedelta(30))
            self.opening[material.name] = packs * material.pack

    def take(self, material: str, packs: int, day: date) -> list[Lot]:
        """Take packs out, oldest first; what is missing is bought over the counter at once."""
        missing = packs - self.count_packs(material)
        if missing > 0:
            self._receive(_find_supplier(material), [(material, missing, "")], day)
        taken: list[Lot] = []
        for lot in self.lots[material]:
            part = min(lot.packs, packs)
            lot.packs -= part
            packs -= part
            taken.extend(Lot(lot.lot, lot.expires_on, 1) for _ in range(part))
        self._drop_empty(material)
        return taken

    def put_back(self, material: str, packs: list[Lot]) -> None:
        """Put unopened packs back to their lots."""
        for pack in packs:
            same = [lot for lot in self.lots[material] if lot.lot == pack.lot]
            if same:
                same[0].packs += 1
            else:
                self.lots[material].append(Lot(pack.lot, pack.expires_on, 1))
        self.lots[material].sort(key=lambda lot: (lot.expires_on or date.min, lot.lot))

    def order(self, soon: dict[str, int], later: dict[str, int], day: date) -> None:
        """
        Order for the jobs of the coming weeks what the jobs of the coming days would empty.

        `soon` and `later` are needs in thousandths by material.
        """
        by_supplier: dict[str, list[tuple[str, int]]] = {}
        for material in MATERIALS:
            here = self.count_packs(material.name) + self._count_coming(material.name)
            if here < ceil(soon.get(material.name, 0) / material.pack) + 1:
                packs = ceil(later.get(material.name, 0) / material.pack) + 1 - here
                lines = by_supplier.setdefault(material.supplier, [])
                lines.append((material.name, max(1, packs)))
        for supplier in SUPPLIERS:
            lines = by_supplier.get(supplier.name, [])
            self.order_count += bool(lines)
            due_on = find_working(day + timedelta(supplier.lead_days))
            number = f"yard-{self.order_count:04d}"
            self.orders += [
                Order(number, supplier.name, name, packs, day, due_on) for name, packs in lines
            ]

    def _count_coming(self, material: str) -> int:
        return sum(
            order.packs
            for order in self.orders
            if order.material == material and order.received_on is None
        )

    def receive_due(self, day: date) -> None:
        """Book in what is due; one invoice a supplier and order."""
        due = [o for o in self.orders if o.received_on is None and o.due_on <= day]
        for number in dict.fromkeys(order.order_no for order in due):
            lines = [order for order in due if order.order_no == number]
            for order in lines:
                order.received_on = day
            supplier = _find_supplier(lines[0].material)
            self._receive(supplier, [(o.material, o.packs, o.order_no) for o in lines], day)

    def credit(self, document: Document, line: Line, packs: int, day: date) -> None:
        """Send packs of a bought line back; the supplier credits them at their price."""
        material = BY_NAME[line.material]
        self.take(line.material, packs, day)
        self.bought[line.material] -= packs * material.pack
        back = Line(line.material, -packs, line.price_gbp, -packs * line.price_gbp, lot=line.lot)
        self._credit(document, back, day)

    def credit_money(self, document: Document, line: Line, pounds: str, day: date) -> None:
        """Credit a sum without goods, for a price charged too high."""
        self._credit(document, Line(line.material, 0, Decimal(0), -Decimal(pounds)), day)

    def lose(self, material: str, packs: int, day: date, cause: str) -> None:
        """Take whole packs out of the yard for good."""
        packs = min(packs, self.count_packs(material))
        if packs:
            self.take(material, packs, day)
            amount = packs * BY_NAME[material].pack
            self.losses.append(Loss(day, material, amount, cause))

    def clear(self, day: date) -> None:
        """Throw out what is past its date; keep fourteen pieces of a trim on the rack."""
        for name in list(self.lots):
            for lot in self.lots[name]:
                if lot.expires_on is not None and lot.expires_on <= day:
                    amount = lot.packs * BY_NAME[name].pack
                    self.losses.append(Loss(day, name, amount, "out of date"))
                    lot.packs = 0
            self._drop_empty(name)
        for trim in sorted(self.rack):
            while len(self.rack[trim]) > 14:
                self.scrapped.append((day, trim, self.rack[trim].pop(0)))

    def _drop_empty(self, material: str) -> None:
        self.lots[material] = [lot for lot in self.lots[material] if lot.packs]

    def _put(self, material: Material, packs: int, day: date) -> Lot:
        days = int(material.columns.get("shelf_life_days", "0"))
        made_on = day - timedelta(self.rng.randint(10, 25))
        lot = Lot(f"{made_on:%y%m%d}", made_on + timedelta(days), packs) if days else None
        lot = lot or Lot("", None, packs)
        self.put_back(material.name, [Lot(lot.lot, lot.expires_on, 1)] * packs)
        return lot

    def _receive(self, supplier: Supplier, wanted: list[tuple[str, int, str]], day: date) -> None:
        lines = []
        for name, packs, order_no in wanted:
            material = BY_NAME[name]
            lot = self._put(material, packs, day)
            self.bought[name] += packs * material.pack
            price = price_pack(material, day, packs)
            lines.append(Line(name, packs, price, packs * price, order_no, lot.lot, lot.expires_on))
        if sum(line.net_gbp for line in lines) < Decimal(supplier.free_from_gbp):
            carriage = Decimal(supplier.delivery_gbp)
            lines.append(Line("", 1, carriage, carriage))
        document_on = day
        if supplier is SUPPLIERS[0] and is_working(day - timedelta(1)) and day.day > 1:
            document_on = day - timedelta(self.rng.choice((0, 0, 1)))
        number = self._number(supplier)
        self.documents.append(
            Document(supplier.name, number, "invoice", document_on, day, tuple(lines))
        )

    def _credit(self, document: Document, line: Line, day: date) -> None:
        supplier = _find_supplier(line.material)
        self.documents.append(
            Document(
                supplier.name, self._number(supplier), "credit", day, day, (line,),
                document.document_no,
            )
        )  # fmt: skip

    def _number(self, supplier: Supplier) -> str:
        before = sum(document.supplier == supplier.name for document in self.documents)
        return str(supplier.first_document_no + 7 * before + self.rng.randint(0, 6))


def _find_supplier(material: str) -> Supplier:
    return next(each for each in SUPPLIERS if each.name == BY_NAME[material].supplier)
