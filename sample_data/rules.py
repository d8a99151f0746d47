"""The firm's settings as TOML: job types, lay-ups, soak, what it allows, bare needs."""

from datetime import date

from sample_data.firm import (
    CREWS,
    DEPOT,
    FIRM,
    JOB_TYPES,
    LAY_UPS,
    MATERIALS,
    RESINS,
    SOAK_KG_PER_M2,
)

ALLOWED_ON_NET = {
    "trim": 0.10,
    "corner piece": 0.0,
    "batten": 0.10,
    "board": 0.10,
    "topcoat": 0.20,
    "catalyst": 0.0,
    "primer": 0.20,
    "mat": 0.10,
    "bandage": 0.10,
    "solvent": 0.20,
    "adhesive": 0.10,
    "sealant": 0.10,
    "fixing": 0.10,
}
NEEDS = {
    "bandage": ("per_m", 1.0),
    "adhesive": ("per_m", 36.0),
    "nails": ("per_m", 7.0),
    "solvent": ("per_m2", 0.1),
    "catalyst": ("per_kg", 0.02),
}


def write_settings(as_of: date) -> str:
    """Return settings.toml for a day."""
    head = f"""firm = "{FIRM}"
depot = "{DEPOT}"
as_of = {as_of.isoformat()}
day_first = true
currency = "GBP"
yard = "yard"
labour_day_gbp = "210.00"
left_aim_gbp_per_100 = 76
load_share = 0.85
crews = {_list(CREWS)}
"""
    return "\n".join([head, *_job_types(), *_lay_ups(), _soak(), *_allow(), *_need(), _supplier()])


def _list(words: tuple[str, ...]) -> str:
    return "[" + ", ".join(f'"{word}"' for word in words) + "]"


def _job_types() -> list[str]:
    return [
        f'[job_types.{kind.name}]\nlay_up = "{kind.lay_up}"\nwords = {_list(kind.words)}\n'
        for kind in JOB_TYPES
    ]


def _lay_ups() -> list[str]:
    return [
        f'[lay_ups."{name}"]\nmats_g_per_m2 = {list(mats)}\nglass_ratio = 0.30\n'
        for name, mats in LAY_UPS.items()
    ]


def _soak() -> str:
    lines = [f'"{work}" = {soak:.2f}' for work, soak in SOAK_KG_PER_M2.items()]
    return "\n".join(["[soak_kg_per_m2]", *lines, ""])


def _allow() -> list[str]:
    parts = ['[[allow]]\nmaterial = "resin"\nfrom = 2024-01-01\nper_m2 = 1.50\n']
    for material in MATERIALS:
        if material.kind in ALLOWED_ON_NET:
            ratio = ALLOWED_ON_NET[material.kind]
            parts.append(
                f'[[allow]]\nmaterial = "{material.name}"\nfrom = 2024-01-01\n'
                f"ratio_on_net = {ratio:.2f}\n"
            )
    return parts


def _need() -> list[str]:
    return [
        f'[[need]]\nmaterial = "{material}"\n{base} = {rate}\n'
        for material, (base, rate) in NEEDS.items()
    ]


def _supplier() -> str:
    return f'[supplier_for]\n"resin" = "{RESINS}"\n'
