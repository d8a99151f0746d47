"""The firm's settings, from one TOML file; an unknown key is an error that says what is allowed."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from pipelines.errors import SettingsError
from pipelines.setting_counting import Counting, read_counting
from pipelines.setting_load import Load, read_load
from pipelines.setting_section import Section
from schemas.vocabulary import WORKS

GLASS_RATIO = 0.30
"""Nominal glass content of a simple hand-laid mat surface, ISO 12215-5 Table C.2."""

JOINT_RULES = ("forced only", "priced")
"""Joins only where an edge is longer than a length, or wherever they save enough material."""

CARRIAGES = ("landed", "own line")
VATS = ("normal", "flat rate", "not registered")

REUSE_SHARE = Decimal("0.5")
"""Supposed, no source: of what is racked, half is used again, until the firm's own moves say."""

MONTHS_IN_YEAR = 12

LEAST_VANS = 2
"""One van can be held against no other."""


@dataclass(frozen=True)
class JobType:
    """One of the firm's job types: its usual lay-up and other spellings."""

    job_type: str
    lay_up: str | None
    words: tuple[str, ...]


@dataclass(frozen=True)
class LayUp:
    """A laminate: mats in g/m2 from the deck up, glass content by mass."""

    lay_up: str
    mats_g_per_m2: tuple[int, ...]
    glass_ratio: float


@dataclass(frozen=True)
class Allow:
    """What the firm allows for a material from a day on; base units."""

    material: str
    from_on: date
    per_m2: Decimal | None
    per_m: Decimal | None
    per_job: Decimal | None
    ratio_on_net: Decimal | None


@dataclass(frozen=True)
class Need:
    """Bare need of a material that no drawing line gives; base units."""

    material: str
    per_m2: Decimal | None
    per_m: Decimal | None
    per_kg: Decimal | None


@dataclass(frozen=True)
class Cutting:
    """How the firm joins trims and lays boards; whole mm."""

    joint_rule: str = "forced_only"
    joint_price_mm: int = 0
    joist_mm: int | None = None
    stagger_mm: int = 400
    reuse_from_mm: int = 400


@dataclass(frozen=True)
class Settings:
    """Everything that the firm has set."""

    firm: str
    depot: str = ""
    as_of: date | None = None
    day_first: bool | None = None
    yard: str = "yard"
    labour_day_gbp: Decimal | None = None
    left_aim_ratio: float | None = None
    load: Load = field(default_factory=Load)
    carriage: str = CARRIAGES[0]
    vat: str = VATS[0]
    reuse_share: Decimal = REUSE_SHARE
    crews: tuple[str, ...] = ()
    compare_crews: bool = False
    cold_months: tuple[int, ...] = ()
    job_types: tuple[JobType, ...] = ()
    lay_ups: tuple[LayUp, ...] = ()
    soak_kg_per_m2: Mapping[str, Decimal] = field(default_factory=dict)
    allow: tuple[Allow, ...] = ()
    need: tuple[Need, ...] = ()
    supplier_for: Mapping[str, str] = field(default_factory=dict)
    counting: Counting = field(default_factory=Counting)
    cutting: Cutting = field(default_factory=Cutting)


def read_settings(file: Path) -> Settings:
    """Return the settings in `file`; SettingsError names file, key and what is allowed."""
    try:
        values = tomllib.loads(file.read_text(encoding="utf-8-sig"))
    except FileNotFoundError:
        raise SettingsError(
            f"{file}: there are no settings; 'roofyield new' writes a folder with them"
        ) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        raise SettingsError(f"{file}: cannot be read as TOML: {fault}") from None
    return _settings(Section(values, file, ""), file)


def _settings(top: Section, file: Path) -> Settings:
    currency = top.take("currency", str, "GBP") or "GBP"
    if currency != "GBP":
        raise SettingsError(f"{file}: setting 'currency' is {currency!r}; only GBP is kept")
    aim = top.decimal("left_aim_gbp_per_100")
    settings = Settings(
        firm=top.need("firm", str, "the firm's name"),
        depot=top.take("depot", str, "a word") or "",
        as_of=top.take("as_of", date, "a date like 2026-06-01"),
        day_first=top.take("day_first", bool, "true or false"),
        yard=top.take("yard", str, "a word") or "yard",
        labour_day_gbp=top.decimal("labour_day_gbp"),
        left_aim_ratio=None if aim is None else float(aim.scaleb(-2)),
        load=read_load(top, file),
        carriage=_word(top, file, "carriage", CARRIAGES),
        vat=_word(top, file, "vat", VATS),
        reuse_share=_reuse_share(top, file),
        crews=top.texts("crews"),
        compare_crews=bool(top.take("compare_crews", bool, "true or false")),
        cold_months=_cold_months(top, file),
        lay_ups=_lay_ups(top, file),
        soak_kg_per_m2=_soak(top, file),
        job_types=_job_types(top, file),
        allow=tuple(_allow(values, file) for values in top.tables("allow")),
        need=tuple(_need(values, file) for values in top.tables("need")),
        supplier_for=dict(top.table("supplier_for")),
        counting=read_counting(top, file),
        cutting=_cutting(top, file),
    )
    top.close()
    return _consistent(settings, file)


def _word(top: Section, file: Path, key: str, allowed: tuple[str, ...]) -> str:
    word = str(top.take(key, str, "a word") or allowed[0])
    if word not in allowed:
        raise SettingsError(
            f"{file}: setting '{key}' is {word!r}; it must be one of: {', '.join(allowed)}"
        )
    return word


def _cold_months(top: Section, file: Path) -> tuple[int, ...]:
    months = top.take("cold_months", list, "a list of months, 1 to 12") or []
    every = range(1, MONTHS_IN_YEAR + 1)
    if not all(month in every for month in months) or len(set(months)) == MONTHS_IN_YEAR:
        raise SettingsError(
            f"{file}: setting 'cold_months' is {months!r}; it must be a list of months, 1 to 12, "
            "and not all of them"
        )
    return tuple(sorted({int(month) for month in months}))


def _reuse_share(top: Section, file: Path) -> Decimal:
    given = top.decimal("reuse_share")
    share = REUSE_SHARE if given is None else given
    if not 0 <= share <= 1:
        raise SettingsError(f"{file}: setting 'reuse_share' is {share}; it must lie in 0 to 1")
    return share


def _lay_ups(top: Section, file: Path) -> tuple[LayUp, ...]:
    found = []
    for name, values in top.table("lay_ups").items():
        section = Section(values, file, f"lay_ups.{name}")
        mats = section.need("mats_g_per_m2", list, "a list of whole numbers, one for each layer")
        ratio = section.decimal("glass_ratio")
        section.close()
        found.append(
            LayUp(
                name,
                tuple(int(mat) for mat in mats),
                GLASS_RATIO if ratio is None else float(ratio),
            )
        )
    return tuple(found)


def _soak(top: Section, file: Path) -> dict[str, Decimal]:
    section = Section(top.table("soak_kg_per_m2"), file, "soak_kg_per_m2")
    found = {work: section.decimal(work) for work in WORKS}
    section.close()
    return {work: kg for work, kg in found.items() if kg is not None}


def _job_types(top: Section, file: Path) -> tuple[JobType, ...]:
    found = []
    for name, values in top.table("job_types").items():
        section = Section(values, file, f"job_types.{name}")
        lay_up = section.take("lay_up", str, "the name of a lay-up")
        found.append(JobType(name, lay_up, section.texts("words")))
        section.close()
    return tuple(found)


def _allow(values: Mapping[str, Any], file: Path) -> Allow:
    section = Section(values, file, "allow")
    found = Allow(
        material=section.need("material", str, "a material"),
        from_on=section.need("from", date, "a date like 2026-06-01"),
        per_m2=section.decimal("per_m2"),
        per_m=section.decimal("per_m"),
        per_job=section.decimal("per_job"),
        ratio_on_net=section.decimal("ratio_on_net"),
    )
    section.close()
    return found


def _need(values: Mapping[str, Any], file: Path) -> Need:
    section = Section(values, file, "need")
    found = Need(
        material=section.need("material", str, "a material"),
        per_m2=section.decimal("per_m2"),
        per_m=section.decimal("per_m"),
        per_kg=section.decimal("per_kg"),
    )
    section.close()
    return found


def _cutting(top: Section, file: Path) -> Cutting:
    section = Section(top.table("cutting"), file, "cutting")
    joins = section.take("joins", str, f"one of: {', '.join(JOINT_RULES)}") or JOINT_RULES[0]
    if joins not in JOINT_RULES:
        raise SettingsError(
            f"{file}: setting 'cutting.joins' is {joins!r}; it must be one of: "
            f"{', '.join(JOINT_RULES)}"
        )
    usual = Cutting()
    found = Cutting(
        joint_rule=joins.replace(" ", "_"),
        joint_price_mm=_mm(section, "join_costs_mm", usual.joint_price_mm),
        joist_mm=section.take("joist_mm", int, "whole mm"),
        stagger_mm=_mm(section, "stagger_mm", usual.stagger_mm),
        reuse_from_mm=_mm(section, "reuse_from_mm", usual.reuse_from_mm),
    )
    section.close()
    return found


def _mm(section: Section, key: str, usual: int) -> int:
    value = section.take(key, int, "whole mm")
    return usual if value is None else int(value)


def _consistent(settings: Settings, file: Path) -> Settings:
    if settings.compare_crews and len(set(settings.crews)) < LEAST_VANS:
        raise SettingsError(
            f"{file}: setting 'compare_crews' needs 'crews', the names of two vans or more"
        )
    known = {lay_up.lay_up for lay_up in settings.lay_ups}
    for job_type in settings.job_types:
        if job_type.lay_up is not None and job_type.lay_up not in known:
            raise SettingsError(
                f"{file}: setting 'job_types.{job_type.job_type}.lay_up' is "
                f"{job_type.lay_up!r}; the lay-ups are: {', '.join(sorted(known)) or 'none yet'}"
            )
    return settings
