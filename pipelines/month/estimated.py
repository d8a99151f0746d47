"""What an estimate says, as the command shows it."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True)
class Suggested:
    """What the suggested allowance would come to; figures as in `EstimatedLine`."""

    fixed_loss: Decimal
    price_ratio: Decimal
    load_ratio: Decimal
    blend_ratio: Decimal | None
    piece_shift: Decimal | None
    base_quantity: Decimal | None
    charged_quantity: Decimal | None
    loaded_quantity: Decimal | None
    packs_count: int | None
    cost_gbp: Decimal | None


@dataclass(frozen=True)
class EstimatedLine:
    """One material: quantities in its base unit, before packs; None where it is not known."""

    material: str
    kind: str
    base_unit: str
    net_quantity: Decimal | None
    base_quantity: Decimal | None
    how: str
    in_force_from: date | None
    fixed_loss: Decimal
    price_ratio: Decimal
    load_ratio: Decimal
    blend_ratio: Decimal | None
    piece_shift: Decimal | None
    charged_quantity: Decimal | None
    loaded_quantity: Decimal | None
    pack_size: Decimal | None
    packs_count: int | None
    supplier: str | None
    price_gbp: Decimal | None
    price_from: date | None
    price_how: str | None
    cost_gbp: Decimal | None
    suggested: Suggested | None


@dataclass(frozen=True)
class Estimate:
    """
    A roof's lines; `total_gbp` is the sum of the lines' rounded costs.

    `unpriced` names materials without a cost, `unknown` those whose need or base is not known,
    `notes` what was mended or not used of the roof's file, and sizes that are default and not the
    firm's, `cautions` what to mind.
    """

    reference: str
    job_type: str
    work: str | None
    lay_up: str | None
    area_m2: Decimal | None
    as_of: date
    lines: tuple[EstimatedLine, ...]
    total_gbp: Decimal | None
    unpriced: tuple[str, ...]
    unknown: tuple[str, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
