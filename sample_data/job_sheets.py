"""The month's job workbook: one wide row a job, as the office types it from the cards."""

from pathlib import Path

from sample_data.days import list_months
from sample_data.firm import FIRM
from sample_data.sheets import Cell, Sheet, show_number, write_workbook
from sample_data.work import Card, History

TRIM_WORDS = {
    "drip trim": "Drip",
    "raised edge trim": "Raised edge",
    "wall fillet": "Wall fillet",
    "flat flashing": "Flashing",
    "face trim": "Face",
}
POURED_WORDS = {
    "resin": "Resin",
    "topcoat light grey": "Light grey",
    "topcoat dark grey": "Dark grey",
    "mat 450": "Mat 450",
    "mat 600": "Mat 600",
    "primer": "Primer",
}
COUNTED_WORDS = {
    "deck board": ("Boards", "sheets"),
    "batten": ("Battens", "lengths"),
    "drip corner": ("Drip corners", "each"),
    "raised edge corner": ("Raised corners", "each"),
    "adhesive": ("Adhesive", "cartridges"),
    "sealant": ("Sealant", "cartridges"),
}
OPENED_WORDS = {
    "catalyst": ("Catalyst bottles opened", "packs"),
    "bandage": ("Bandage rolls opened", "rolls"),
    "nails": ("Nail boxes opened", "packs"),
    "solvent": ("Solvent cans opened", "packs"),
}


def write_job_sheets(folder: Path, history: History) -> None:
    """Write a workbook for every month that has finished jobs."""
    for month_on in list_months(len(history.months)):
        cards = [c for c in history.cards if c.finished_on.replace(day=1) == month_on]
        if not cards:
            continue
        rows = [_fill_row(card) for card in cards]
        header = list(dict.fromkeys(name for row in rows for name in row))
        titles = (f"{FIRM}: jobs finished in {month_on:%B %Y}", "")
        sheet = Sheet("finished", header, [[row[name] for name in header] for row in rows], titles)
        write_workbook(folder / f"jobs {month_on:%Y-%m}.xlsx", [sheet])


def _fill_row(card: Card) -> dict[str, Cell]:
    job = card.job
    measured = job.sketch == "measured"
    return {
        "Job": job.job_ref,
        "Type": job.kind.name,
        "Finished": card.finished_on,
        "Crew": job.crew,
        "As drawn": {"measured": "no", "as drawn": "yes"}.get(job.sketch, ""),
        "Measured m2": round(job.roof.fitted_area_m2, 2) if measured else None,
        "How": card.how,
        **_fill_poured(card),
        **_fill_trims(card),
        **_fill_counted(card),
        "Gone off kg": show_number(card.gone_off_g or None),
        "Ran short of": card.ran_short_of,
        "Second trips": 1 if card.ran_short_of else 0,
        "Labour days": float(card.labour_days) if card.labour_days else None,
        "Degrees": int(card.deck_c) if card.deck_c else None,
    }


def _fill_poured(card: Card) -> dict[str, Cell]:
    cells: dict[str, Cell] = {}
    for material, word in POURED_WORDS.items():
        reading = card.moved.get(material)
        cells[f"{word} out kg"] = show_number(reading.out) if reading else None
        cells[f"{word} back kg"] = show_number(reading.back) if reading else None
    return cells


def _fill_trims(card: Card) -> dict[str, Cell]:
    cells: dict[str, Cell] = {}
    for material, word in TRIM_WORDS.items():
        reading = card.moved.get(material)
        cells[f"{word} out"] = reading.out if reading else None
        cells[f"{word} back"] = reading.back if reading else None
        cells[f"{word} to rack mm"] = ", ".join(map(str, card.racked.get(material, [])))
        cells[f"{word} from rack mm"] = ", ".join(map(str, card.from_rack.get(material, [])))
        cells[f"{word} binned mm"] = ", ".join(map(str, card.binned.get(material, [])))
    return cells


def _fill_counted(card: Card) -> dict[str, Cell]:
    cells: dict[str, Cell] = {}
    for material, (word, _) in COUNTED_WORDS.items():
        reading = card.moved.get(material)
        cells[f"{word} out"] = reading.out if reading else None
        cells[f"{word} back"] = reading.back if reading else None
    for material, (word, _) in OPENED_WORDS.items():
        reading = card.moved.get(material)
        cells[word] = reading.out if reading else None
    return cells


def map_job_sheets() -> str:
    """Return the mapping of the job workbook as TOML."""
    parts = [
        _HEAD,
        _map_record("jobs", {}, _JOB_CELLS),
    ]
    for material, word in POURED_WORDS.items():
        how = {} if word.startswith(("Mat", "Primer")) else {"How": "how"}
        fixed = {"material": material, "unit": "kg"} | ({} if how else {"how": "weighed"})
        cells = {f"{word} out kg": "issued_quantity", f"{word} back kg": "returned_quantity"}
        parts.append(_map_record("job_materials", fixed, cells, how))
    counted = {name: (word, "lengths") for name, word in TRIM_WORDS.items()} | COUNTED_WORDS
    for material, (word, unit) in counted.items():
        fixed = {"material": material, "unit": unit, "how": "counted"}
        cells = {f"{word} out": "issued_quantity", f"{word} back": "returned_quantity"}
        parts.append(_map_record("job_materials", fixed, cells))
    for material, (word, unit) in OPENED_WORDS.items():
        fixed = {"material": material, "unit": unit, "how": "whole packs"}
        parts.append(_map_record("job_materials", fixed, {word: "issued_quantity"}))
    for material, word in TRIM_WORDS.items():
        for fate, words in FATE_WORDS.items():
            fixed = {"material": material, "fate": fate, "pieces": "1"}
            cells = {f"{word} {words}": "length_mm"}
            parts.append(_map_record("offcuts", fixed, cells, list_of=f"{word} {words}"))
    fixed = {"material": "resin", "unit": "kg", "cause": "gone off"}
    parts.append(_map_record("losses", fixed, {"Gone off kg": "quantity"}))
    return "\n".join(parts)


FATE_WORDS = {"racked": "to rack mm", "from_rack": "from rack mm", "binned": "binned mm"}
_HEAD = """name = "job sheets of the month"
files = ["jobs 20*.xlsx"]
kind = "wide"
header = ["Job", "Type", "Finished"]
"""
_JOB_CELLS = {
    "Type": "job_type",
    "Finished": "completed_on",
    "Crew": "crew",
    "As drawn": "as_drawn",
    "Measured m2": "measured_area_m2",
    "Ran short of": "ran_short_of",
    "Second trips": "second_trips",
    "Labour days": "labour_days",
    "Degrees": "deck_temp_c",
}


def _map_record(
    record: str,
    constants: dict[str, str],
    cells: dict[str, str],
    keys: dict[str, str] | None = None,
    list_of: str = "",
) -> str:
    lines = ["[[records]]", f'record = "{record}"']
    if list_of:
        lines.append(f'list = "{list_of}"')
    lines += ["[records.keys]", '"Job" = "job_ref"']
    lines += [f'"{theirs}" = "{ours}"' for theirs, ours in (keys or {}).items()]
    if constants:
        lines += ["[records.constants]", *(f'{k} = "{v}"' for k, v in constants.items())]
    lines += ["[records.cells]", *(f'"{theirs}" = "{ours}"' for theirs, ours in cells.items())]
    return "\n".join(lines) + "\n"
