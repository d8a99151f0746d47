"""What is invented: the firm, its crews, suppliers, materials, lay-ups and kinds of job."""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

FIRM = "Tarnwickle Flat Roofing"
DEPOT = "Upper Brindlemoss"
CREWS = ("first van", "second van")
FIRST_MONTH = date(2024, 6, 1)

RESINS = "Mossgate Resin Stores"
TRIMS_AND_BOARDS = "Thornwick Trims and Boards"
FIXINGS = "Saltbarrow Fixings"

PRICE_RISE_ON = date(2025, 10, 1)
RESIN_STEP_ON = date(2025, 9, 1)
CREW_CHANGE_ON = date(2025, 3, 1)

WALL_TRIMS = ("wall fillet", "flat flashing")
ROLL_WIDTH_MM = 950
MAT_LAP_MM = 50


@dataclass(frozen=True)
class Supplier:
    """A merchant: its terms in days and pounds."""

    name: str
    lead_days: int
    delivery_gbp: str
    free_from_gbp: str
    payment_days: int
    first_document_no: int


@dataclass(frozen=True)
class Material:
    """A material. `pack` is in thousandths of the base unit, prices are of one pack."""

    name: str
    kind: str
    base_unit: str
    pack: int
    supplier: str
    words: str
    price: str
    later_price: str
    columns: dict[str, str] = field(default_factory=dict)
    from_packs: int = 1
    tier_price: str = ""
    later_tier_price: str = ""
    bought_size: str = ""
    bought_unit: str = ""


@dataclass(frozen=True)
class JobType:
    """A kind of job: the sizes it comes in, its price and how the resin goes on it."""

    name: str
    share: int
    gutter_mm: tuple[int, int]
    depth_mm: tuple[int, int]
    lay_up: str
    price_gbp_per_m2: int
    price_gbp: int
    works: tuple[str, ...]
    trims: tuple[tuple[str, str, str, str], ...]
    resin_fixed_g: int
    resin_ratio: float
    topcoat_fixed_g: int
    topcoat_ratio: float
    words: tuple[str, ...]


SUPPLIERS = (
    Supplier(RESINS, 3, "28.00", "400.00", 30, 204510),
    Supplier(TRIMS_AND_BOARDS, 4, "35.00", "300.00", 30, 71830),
    Supplier(FIXINGS, 2, "7.50", "60.00", 14, 5561),
)

LAY_UPS = {"450 single": (450,), "600 single": (600,), "450 double": (450, 450)}
SOAK_KG_PER_M2 = {"new deck": 0.20, "strip": 0.20, "overlay": 0.05, "repair": 0.05}
DECKED = ("new deck", "strip")


def _trim(name: str, price: str, later: str, lap_mm: int, corner: str = "") -> Material:
    columns = {
        "stock_length_mm": "3000",
        "lap_mm": str(lap_mm),
        "kerf_mm": "2",
        "least_piece_mm": "300",
        "keep_from_mm": "600",
    }
    if corner:
        columns |= {"corner_piece": corner, "corner_cover_mm": "100"}
    words = f"{name.capitalize()} 3 m grey"
    return Material(name, "trim", "m", 3000, TRIMS_AND_BOARDS, words, price, later, columns)


def _topcoat(colour: str, price: str, later: str) -> Material:
    columns = {
        "colour": colour,
        "learn_with": "topcoat",
        "density_kg_per_l": "1.25",
        "coverage_per_m2": "0.5",
        "coverage_basis": "net",
        "shelf_life_days": "180",
        "store_class": "flammable",
        "tare_kg": "0.8",
    }
    words = f"Topcoat {colour} 10 kg tin"
    name = f"topcoat {colour}"
    return Material(name, "topcoat", "kg", 10_000, RESINS, words, price, later, columns)


def _mat(weight: int, metres: int, price: str, later: str) -> Material:
    columns = {
        "g_per_m2": str(weight),
        "width_mm": str(ROLL_WIDTH_MM),
        "lap_mm": str(MAT_LAP_MM),
    }
    words = f"Chopped strand mat {weight} g, roll of {metres} m"
    pack = metres * ROLL_WIDTH_MM
    return Material(f"mat {weight}", "mat", "m2", pack, RESINS, words, price, later, columns)


MATERIALS = (
    _trim("drip trim", "9.40", "10.05", 50, "drip corner"),
    _trim("raised edge trim", "11.80", "12.60", 50, "raised edge corner"),
    _trim("wall fillet", "7.90", "8.40", 25),
    _trim("flat flashing", "8.60", "9.20", 50),
    _trim("face trim", "10.20", "10.90", 50),
    Material(
        "drip corner", "corner piece", "each", 1000, TRIMS_AND_BOARDS,
        "Drip corner grey", "6.20", "6.60",
    ),
    Material(
        "raised edge corner", "corner piece", "each", 1000, TRIMS_AND_BOARDS,
        "Raised edge corner grey", "7.10", "7.60",
    ),
    Material(
        "batten", "batten", "m", 4800, TRIMS_AND_BOARDS,
        "Treated roof batten 4.8 m", "5.30", "5.65",
        {"stock_length_mm": "4800", "lap_mm": "0", "kerf_mm": "2"},
    ),
    Material(
        "deck board", "board", "m2", 1440, TRIMS_AND_BOARDS,
        "Tongue and groove deck board 2400 x 600 x 18", "17.40", "18.90",
        {"length_mm": "2400", "width_mm": "600", "cover_width_mm": "590",
         "least_piece_mm": "400", "mass_kg_per_unit": "11.2"},
        20, "16.50", "17.95",
    ),
    Material(
        "resin", "resin", "kg", 20_000, RESINS,
        "Laminating resin 20 kg tin", "61.00", "66.50",
        {"density_kg_per_l": "1.1", "shelf_life_days": "180", "store_class": "flammable",
         "tare_kg": "1.2"},
        6, "57.50", "62.75",
    ),
    _topcoat("light grey", "42.00", "45.50"),
    _topcoat("dark grey", "42.00", "45.50"),
    Material(
        "catalyst", "catalyst", "kg", 5000, RESINS,
        "Catalyst 5 kg bottle", "39.50", "41.00",
        {"density_kg_per_l": "1.15", "shelf_life_days": "365", "store_class": "peroxide"},
    ),
    Material(
        "primer", "primer", "kg", 5000, RESINS,
        "Deck primer 5 kg can", "34.80", "36.90",
        {"density_kg_per_l": "1.05", "coverage_per_m2": "0.15", "coverage_basis": "net",
         "shelf_life_days": "270", "store_class": "flammable", "tare_kg": "0.4"},
    ),
    _mat(450, 80, "88.00", "93.50"),
    _mat(600, 60, "92.00", "97.50"),
    Material(
        "bandage", "bandage", "m", 50_000, RESINS,
        "Glass bandage 75 mm, roll of 50 m", "12.40", "13.10",
        {"width_mm": "75", "g_per_m2": "450"},
    ),
    Material(
        "solvent", "solvent", "l", 5000, RESINS,
        "Cleaning solvent 5 l can", "13.90", "14.60",
        {"density_kg_per_l": "0.79", "store_class": "flammable"},
    ),
    Material(
        "adhesive", "adhesive", "ml", 310_000, FIXINGS,
        "Trim adhesive, 310 ml cartridge", "5.60", "5.95",
        {"shelf_life_days": "365"}, 12, "5.10", "5.45",
    ),
    Material(
        "sealant", "sealant", "ml", 310_000, FIXINGS,
        "Flashing sealant, 310 ml cartridge", "4.70", "4.95", {"shelf_life_days": "365"},
    ),
    Material(
        "nails", "fixing", "each", 1_825_000, FIXINGS,
        "Galvanised clout nails 30 mm, 2.5 kg box", "11.20", "11.80",
        {"pieces_per_kg": "730"}, bought_size="2.5", bought_unit="kg",
    ),
)  # fmt: skip
BY_NAME = {material.name: material for material in MATERIALS}

DRIP, RAISED, FACE = "drip trim", "raised edge trim", "face trim"
FILLET, FLASHING = WALL_TRIMS

JOB_TYPES = (
    JobType(
        "garage", 30, (2600, 3500), (4700, 6200), "450 single", 70, 190,
        ("strip", "strip", "strip", "new deck", "overlay", "overlay", "repair"),
        ((DRIP, RAISED, RAISED, RAISED), (DRIP, RAISED, FILLET, FACE)),
        800, 0.035, 250, 0.05, ("gar", "garage roof"),
    ),
    JobType(
        "extension", 28, (3000, 7000), (2400, 4200), "450 single", 74, 210,
        ("new deck", "new deck", "new deck", "strip", "strip", "overlay"),
        ((DRIP, RAISED, FILLET, RAISED), (DRIP, FACE, FLASHING, RAISED)),
        800, 0.035, 250, 0.05, ("ext", "flat extension"),
    ),
    JobType(
        "dormer", 14, (2000, 3600), (1800, 3000), "450 single", 96, 230,
        ("strip", "strip", "new deck", "overlay"),
        ((DRIP, FACE, FLASHING, FACE), (DRIP, RAISED, FLASHING, RAISED)),
        1200, 0.09, 350, 0.09, ("dormer roof",),
    ),
    JobType(
        "bay", 9, (2000, 3000), (750, 1150), "450 single", 110, 170,
        ("strip", "strip", "overlay"),
        ((DRIP, DRIP, FLASHING, DRIP),),
        1100, 0.10, 350, 0.10, ("bay window",),
    ),
    JobType(
        "porch", 11, (1400, 2600), (900, 1600), "450 single", 112, 180,
        ("new deck", "strip", "strip"),
        ((DRIP, DRIP, FLASHING, DRIP), (DRIP, RAISED, FILLET, RAISED)),
        1200, 0.11, 350, 0.10, ("porch roof", "canopy"),
    ),
    JobType(
        "balcony", 8, (2400, 4000), (1100, 2000), "450 double", 150, 260,
        ("new deck", "strip"),
        ((DRIP, RAISED, FILLET, RAISED), (RAISED, RAISED, FILLET, RAISED)),
        1000, 0.07, 350, 0.07, ("terrace",),
    ),
)  # fmt: skip


def price_pack(material: Material, day: date, packs: int) -> Decimal:
    """Return the list price of one pack in pounds on a day for so many packs."""
    later = day >= PRICE_RISE_ON
    if material.tier_price and packs >= material.from_packs:
        return Decimal(material.later_tier_price if later else material.tier_price)
    return Decimal(material.later_price if later else material.price)


def format_thousandths(amount: int) -> str:
    """Return thousandths as decimal text without idle zeros: 1440 is "1.44"."""
    return format((Decimal(amount) / 1000).normalize(), "f")
