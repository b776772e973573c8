"""Is this thing safe enough to hand over? Sizes against published limits; the strictest rule wins.

Lengths in millimetres, ages in months. The answers are codes with numbers, the id of the rule and how
well that rule is known; this is a caution for a therapist and no compliance test.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from bylittle.core.faults import BadValue, Fault, raise_all
from bylittle.core.skill import cylinder

SMALL_BALL_MM = 44.45
"""1.75 in (16 CFR 1500.19(a)(2))."""

SIZES: Mapping[str, tuple[str, ...]] = {
    "sphere": ("diameter_mm",),
    "cylinder": ("diameter_mm", "length_mm"),
    "box": ("x_mm", "y_mm", "z_mm"),
    "ring": ("outer_mm", "thickness_mm"),
}
"""Which sizes each shape needs; a ring is a torus: outer diameter and thickness of the tube."""


def fits_small_parts_cylinder(shape: str, **sizes_mm: float) -> bool:
    """Whether a rigid thing fits entirely into the small-parts cylinder, in any orientation.

    `shape` is a key of `SIZES`, with exactly its sizes in millimetres. The cylinder is 31.75 mm wide,
    its floor slopes from 25.4 to 57.15 mm deep (16 CFR 1501.4; the slope from memory). True means
    *small part*. A size on the limit fits. `BadValue` for an unknown shape or a size that is missing,
    superfluous, not finite or not above zero.
    """
    check_sizes(shape, sizes_mm)
    return cylinder.fits(shape, sizes_mm)


def is_small_ball(diameter_mm: float) -> bool:
    """Whether a ball passes the gauge of 1.75 in (44.45 mm), on the limit included."""
    check_sizes("sphere", {"diameter_mm": diameter_mm})
    return diameter_mm <= SMALL_BALL_MM


def check_sizes(shape: str, sizes_mm: Mapping[str, float]) -> None:
    """Tell everything that is wrong with a shape and its sizes, together."""
    if shape not in SIZES:
        raise BadValue(name="shape", value=shape, allowed=tuple(SIZES))
    raise_all(_size_faults(shape, sizes_mm))


def _size_faults(shape: str, sizes_mm: Mapping[str, float]) -> list[Fault]:
    wanted = SIZES[shape]
    names = [*wanted, *(name for name in sizes_mm if name not in wanted)]
    faults: list[Fault] = [
        BadValue(
            name=name, value=sizes_mm.get(name), allowed="millimetres above 0" if name in wanted else wanted
        )
        for name in names
        if name not in wanted or not _is_size(sizes_mm.get(name))
    ]
    if not faults and shape == "ring" and sizes_mm["thickness_mm"] > sizes_mm["outer_mm"] / 2:
        faults.append(
            BadValue(name="thickness_mm", value=sizes_mm["thickness_mm"], allowed="half of outer_mm")
        )
    return faults


def _is_size(value: object) -> bool:
    return (
        isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value) and value > 0
    )


# --- the screen ------------------------------------------------------------------------------------

UNDER_3 = 36
UNDER_4 = 48
UNDER_6 = 72
UNDER_8 = 96
CORD_MM = 220.0
LOOP_MM = 360.0
MAGNET_FLUX = 50.0
HOT_WATER_C = 37.0
HEIGHT_MM = 600.0
PLAY_BARRIER_MM = 762.0
PRETERM_WEEKS = 36
TERM_WEEKS = 40
CORRECT_UNTIL = 24
WEEKS_A_MONTH = 365.25 / 12 / 7

LIMITS: Mapping[str, tuple[float, str]] = {
    "width": (cylinder.WIDTH_MM, "mm"),
    "shallow": (cylinder.SHALLOW_MM, "mm"),
    "deep": (cylinder.DEEP_MM, "mm"),
    "ball": (SMALL_BALL_MM, "mm"),
    "cord": (CORD_MM, "mm"),
    "loop": (LOOP_MM, "mm"),
    "flux": (MAGNET_FLUX, "kG2 mm2"),
    "water": (HOT_WATER_C, "°C"),
    "height": (HEIGHT_MM, "mm"),
    "barrier": (PLAY_BARRIER_MM, "mm"),
    "under_3": (UNDER_3, "months"),
    "under_4": (UNDER_4, "months"),
    "under_6": (UNDER_6, "months"),
    "under_8": (UNDER_8, "months"),
}
"""Every number that a rule of the screen goes by, with its unit, for the words that tell the limit."""

BLOCK, WARN, NOTE = "block", "warn", "note"
VERDICTS = (BLOCK, WARN, NOTE)
PUBLISHED, COMMON, MEMORY = "published", "common practice, no source", "from memory"


@dataclass(frozen=True, slots=True)
class Child:
    """What the screen needs to know of the child. `mouths` None: nobody has said, so it counts as yes."""

    age_months: float
    weeks_at_birth: float = TERM_WEEKS
    mouths: bool | None = None
    food_allergy: bool | None = None
    swallow_concern: bool | None = None


@dataclass(frozen=True, slots=True)
class Thing:
    """What is handed over. Lengths in mm, flux in kG² mm², water in °C; None: it has none of that."""

    shape: str | None = None
    sizes_mm: Mapping[str, float] | None = None
    ball: bool = False
    exempt: bool = False
    """Of a kind that the small-parts rule exempts (16 CFR 1501.3): warned about all the same."""
    cord_mm: float | None = None
    loop_mm: float | None = None
    magnet_flux: float | None = None
    loose_magnet: bool = False
    coin_cell: bool = False
    cell_locked: bool = False
    """The cell's compartment needs a tool, or two movements at once."""
    latex_balloon: bool = False
    marble: bool = False
    heat: bool = False
    water: bool = False
    water_c: float | None = None
    height_mm: float | None = None
    made_to_climb: bool = False
    """A thing made for climbing: a slide, a climbing frame. A stool or a chair is none."""
    food: bool = False
    choking_food: bool = False
    """Round, hard, sticky or of the usual lists of foods to avoid."""
    food_is_reward: bool = False
    sharp: bool = False


@dataclass(frozen=True, slots=True)
class Finding:
    """One answer: code, verdict, what was measured against which limit, the rule and its mark."""

    code: str
    verdict: str
    source: str
    mark: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Screen:
    """All findings, strictest first, and the strictest verdict; None where nothing was found."""

    verdict: str | None
    findings: tuple[Finding, ...]
    age_months: float
    """The age that was used: corrected where the child was born early."""
    strict: bool
    """Whether the rules for children under 3 were used."""


def corrected_age(age_months: float, weeks_at_birth: float = TERM_WEEKS) -> float:
    """Age in months, less the weeks born early: for birth before 36 weeks, up to 24 months of age.

    Common practice, credited to the AAP report of 2013 and read in a summary only. Never below zero.
    """
    if weeks_at_birth >= PRETERM_WEEKS or age_months >= CORRECT_UNTIL:
        return age_months
    return max(0.0, age_months - (TERM_WEEKS - weeks_at_birth) / WEEKS_A_MONTH)


def screen(thing: Thing, child: Child) -> Screen:
    """Hold a thing against every rule; the strictest verdict stands.

    A child who mouths things, or of whom nobody has said, is held to the rules for under 3 whatever the
    age. Correcting for preterm birth can make the answer stricter, never milder.
    """
    _check(thing, child)
    age = corrected_age(child.age_months, child.weeks_at_birth)
    strict = age < UNDER_3 or child.mouths is not False
    found = [finding for rule in _RULES for finding in rule(thing, child, age, strict)]
    found.sort(key=lambda finding: VERDICTS.index(finding.verdict))
    return Screen(found[0].verdict if found else None, tuple(found), age, strict)


def _check(thing: Thing, child: Child) -> None:
    faults: list[Fault] = [
        BadValue(name=name, value=value, allowed="above 0" if name != "age_months" else "0 or more")
        for name, value in _measures(thing, child)
        if value is not None
        and not (math.isfinite(value) and (value > 0 or (name == "age_months" and value == 0)))
    ]
    raise_all(faults)
    if thing.shape is not None:
        check_sizes(thing.shape, thing.sizes_mm or {})


def _measures(thing: Thing, child: Child) -> tuple[tuple[str, float | None], ...]:
    return (
        ("age_months", child.age_months),
        ("weeks_at_birth", child.weeks_at_birth),
        ("cord_mm", thing.cord_mm),
        ("loop_mm", thing.loop_mm),
        ("magnet_flux", thing.magnet_flux),
        ("water_c", thing.water_c),
        ("height_mm", thing.height_mm),
    )


Found = tuple[Finding, ...]


def _mouthing(thing: Thing, child: Child, age: float, strict: bool) -> Found:
    unknown = child.mouths is None and age >= UNDER_3
    return (Finding("mouthing_not_asked", NOTE, "16-cfr-1501-4", COMMON),) if unknown else ()


def _small_part(thing: Thing, child: Child, age: float, strict: bool) -> Found:
    if thing.shape is None or not cylinder.fits(thing.shape, thing.sizes_mm or {}):
        return ()
    code, source = ("small_part", "16-cfr-1501-4")
    if thing.exempt:
        code, source = ("small_part_exempt", "16-cfr-1501-3")
    verdict = (WARN if thing.exempt else BLOCK) if strict else WARN if age < UNDER_6 else NOTE
    return (Finding(code, verdict, source, PUBLISHED, limit=cylinder.WIDTH_MM, unit="mm"),)


def _small_ball(thing: Thing, child: Child, age: float, strict: bool) -> Found:
    if thing.shape != "sphere" or not (thing.ball or thing.marble):
        return ()
    size = (thing.sizes_mm or {})["diameter_mm"]
    if size > SMALL_BALL_MM:
        return ()
    verdict = BLOCK if strict else WARN
    return (Finding("small_ball", verdict, "16-cfr-1500-19", PUBLISHED, size, SMALL_BALL_MM, "mm"),)


def _marble(thing: Thing, child: Child, age: float, strict: bool) -> Found:
    if not thing.marble:
        return ()
    verdict = BLOCK if strict else WARN
    return (Finding("marble", verdict, "15-usc-1278", PUBLISHED, age, UNDER_3, "months"),)


def _cord(thing: Thing, child: Child, age: float, strict: bool) -> Found:
    found = []
    for code, size, limit in (("cord", thing.cord_mm, CORD_MM), ("loop", thing.loop_mm, LOOP_MM)):
        if size is None:
            continue
        long = strict and size > limit
        code_found = f"{code}_long" if long else f"{code}_within_reach"
        verdict = WARN if long else NOTE
        found.append(Finding(code_found, verdict, "cord-caution", COMMON, size, limit, "mm"))
    return tuple(found)


def _magnet(thing: Thing, child: Child, age: float, strict: bool) -> Found:
    if thing.loose_magnet and strict:
        return (Finding("loose_magnet", BLOCK, "16-cfr-1262-3", COMMON),)
    strong = thing.magnet_flux is not None and thing.magnet_flux >= MAGNET_FLUX
    if thing.loose_magnet and (strong or thing.magnet_flux is None):
        code = "strong_magnet" if strong else "magnet_strength_unknown"
        flux = "kG2 mm2"
        return (Finding(code, BLOCK, "16-cfr-1262-3", PUBLISHED, thing.magnet_flux, MAGNET_FLUX, flux),)
    return (Finding("loose_magnet", WARN, "16-cfr-1262-3", COMMON),) if thing.loose_magnet else ()


def _cell(thing: Thing, child: Child, age: float, strict: bool) -> Found:
    if not thing.coin_cell:
        return ()
    verdict = WARN if thing.cell_locked else BLOCK
    return (Finding("coin_cell", verdict, "16-cfr-1263", PUBLISHED),)


def _balloon(thing: Thing, child: Child, age: float, strict: bool) -> Found:
    if not thing.latex_balloon:
        return ()
    verdict = BLOCK if strict or age < UNDER_8 else WARN
    return (Finding("latex_balloon", verdict, "15-usc-1278", PUBLISHED),)


def _home(thing: Thing, child: Child, age: float, strict: bool) -> Found:
    found = []
    if thing.heat:
        found.append(Finding("heat", BLOCK, "home-caution", COMMON))
    if thing.water:
        found.append(Finding("water", WARN, "canada-water", COMMON))
    if thing.water_c is not None and thing.water_c > HOT_WATER_C:
        found.append(Finding("water_hot", BLOCK, "bath-water", COMMON, thing.water_c, HOT_WATER_C, "°C"))
    if thing.height_mm is not None:
        found.append(_height(thing.height_mm, thing.made_to_climb))
    if thing.sharp:
        found.append(Finding("sharp", BLOCK if strict else WARN, "home-caution", COMMON))
    return tuple(found)


def _height(height_mm: float, made_to_climb: bool) -> Finding:
    """High up is ordinary on a slide and not on a chair; an adult stands beside at any height."""
    if made_to_climb:
        return Finding("height_play", WARN, "playground", COMMON, height_mm, PLAY_BARRIER_MM, "mm")
    code, verdict = ("height_high", BLOCK) if height_mm > HEIGHT_MM else ("height", WARN)
    return Finding(code, verdict, "home-caution", COMMON, height_mm, HEIGHT_MM, "mm")


def _food(thing: Thing, child: Child, age: float, strict: bool) -> Found:
    found = []
    if thing.choking_food:
        verdict = BLOCK if strict or age < UNDER_4 else WARN
        found.append(Finding("choking_food", verdict, "food-choking-lists", COMMON, age, UNDER_4, "months"))
    eaten = thing.food or thing.choking_food or thing.food_is_reward
    if eaten and child.swallow_concern is not False:
        code, verdict = ("swallow_concern", BLOCK) if child.swallow_concern else ("swallow_not_asked", WARN)
        found.append(Finding(code, verdict, "food-caution", COMMON))
    if eaten and child.food_allergy is not False:
        code = "food_allergy" if child.food_allergy else "allergy_not_asked"
        found.append(Finding(code, WARN, "food-caution", COMMON))
    if thing.food_is_reward:
        found.append(Finding("food_reward", WARN, "food-caution", COMMON))
    return tuple(found)


_RULES: tuple[Callable[[Thing, Child, float, bool], Found], ...] = (
    _mouthing,
    _small_part,
    _small_ball,
    _marble,
    _cord,
    _magnet,
    _cell,
    _balloon,
    _home,
    _food,
)
