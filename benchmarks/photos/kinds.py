"""Kinds of photographs, from clean to hopeless, each a draw of defects; and single defects by name."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType

from numpy.random import Generator

from benchmarks.photos.backgrounds import NAMES
from benchmarks.photos.camera import Shot
from benchmarks.photos.copier import TONES


def _held(rng: Generator, sway: float) -> dict[str, float]:
    """How the phone was held: upright or sideways, a little askew."""
    quarter = int(rng.integers(4))
    width, height = (2400, 3200) if quarter % 2 == 0 else (3200, 2400)
    return {"turn": 90.0 * quarter + rng.normal(0, sway), "width": width, "height": height}


def clean(rng: Generator) -> Shot:
    return Shot(
        **_held(rng, 2),
        fills=rng.uniform(0.82, 0.95),
        tilt=rng.uniform(0, 0.02),
        gradient=rng.uniform(0, 0.1),
        blur=rng.uniform(0.4, 0.9),
        noise=rng.uniform(0.002, 0.01),
        quality=int(rng.integers(85, 96)),
    )


def everyday(rng: Generator) -> Shot:
    return Shot(
        **_held(rng, 6),
        fills=rng.uniform(0.72, 0.93),
        tilt=rng.uniform(0.0, 0.06),
        shift=(rng.normal(0, 0.015), rng.normal(0, 0.015)),
        curl_mm=rng.choice([0, 1]) * rng.uniform(0, 2.5),
        fold=rng.choice([0, 1]) * rng.uniform(0, 0.25),
        crumple_mm=rng.choice([0, 1]) * rng.uniform(0, 0.25),
        gradient=rng.uniform(0, 0.4),
        shadow=rng.choice([0, 1]) * rng.uniform(0.1, 0.4),
        shadow_soft=rng.uniform(15, 150),
        blur=rng.uniform(0.6, 1.8),
        motion=rng.choice([0, 0, 1]) * rng.uniform(2, 5),
        light=rng.uniform(0.6, 0.97),
        black=rng.uniform(0.03, 0.14),
        noise=rng.uniform(0.006, 0.025),
        tint=(1.0, rng.uniform(0.88, 1.0), rng.uniform(0.7, 1.0)),
        quality=int(rng.integers(60, 92)),
        roll=rng.choice([0, 0, 1]) * rng.uniform(5, 25),
        barrel=rng.choice([0, 0, 1]) * rng.uniform(-0.02, 0.04),
        lamp=rng.choice([0, 1]) * rng.uniform(0, 0.4),
        sharpened=rng.choice([0, 1]) * rng.uniform(0, 0.8),
        smoothed=rng.choice([0, 0, 1]) * rng.uniform(0.2, 0.6),
        megapixels=rng.choice([0, 0, 1]) * rng.uniform(3, 6),
        table=str(rng.choice(NAMES)),
    )


def rough(rng: Generator) -> Shot:
    return Shot(
        turn=rng.uniform(0, 360),
        fills=rng.uniform(0.6, 0.9),
        tilt=rng.uniform(0.03, 0.1),
        curl_mm=rng.uniform(0, 5),
        fold=rng.uniform(0, 0.4),
        crumple_mm=rng.uniform(0, 0.5),
        gradient=rng.uniform(0.1, 0.6),
        shadow=rng.choice([0, 1]) * rng.uniform(0.2, 0.55),
        shadow_soft=rng.uniform(4, 80),
        glare=rng.choice([0, 1]) * rng.uniform(0.2, 0.9),
        blur=rng.uniform(1.0, 3.2),
        motion=rng.choice([0, 1]) * rng.uniform(3, 9),
        light=rng.uniform(0.35, 0.95),
        black=rng.uniform(0.03, 0.2),
        noise=rng.uniform(0.01, 0.05),
        tint=(1.0, rng.uniform(0.85, 1.0), rng.uniform(0.55, 1.0)),
        quality=int(rng.integers(40, 80)),
        thumb=bool(rng.random() < 0.3),
        stain=rng.choice([0, 1]) * rng.uniform(0, 0.8),
        moire=rng.choice([0, 0, 1]) * rng.uniform(0, 0.04),
        roll=rng.choice([0, 1]) * rng.uniform(10, 50),
        barrel=rng.choice([0, 1]) * rng.uniform(-0.04, 0.08),
        cut=rng.choice([0, 0, 0, 1]) * rng.uniform(0.02, 0.06),
        lamp=rng.choice([0, 1]) * rng.uniform(0.1, 0.6),
        sharpened=rng.choice([0, 1]) * rng.uniform(0.3, 1.5),
        smoothed=rng.choice([0, 1]) * rng.uniform(0.2, 0.8),
        megapixels=rng.choice([0, 0, 1]) * rng.uniform(1.6, 4),
        table=str(rng.choice(NAMES)),
    )


def photocopied(rng: Generator) -> Shot:
    base = everyday(rng)
    fields = {name: getattr(base, name) for name in base.__slots__}
    tone = str(rng.choice(TONES))
    copies = int(rng.integers(1, 4)) if tone == "steep" else int(rng.integers(1, 3))
    fields |= {"copies": copies, "copy_tone": tone, "copy_harsh": rng.uniform(0, 0.7)}
    fields |= {"streaks": int(rng.choice([0, 0, 1, 2])), "tint": (1.0, 1.0, 1.0)}
    return Shot(**fields)


def hopeless(rng: Generator) -> Shot:
    way = int(rng.integers(4))
    base = everyday(rng)
    fields = {name: getattr(base, name) for name in base.__slots__}
    spoilt: list[dict[str, object]] = [
        {"blur": rng.uniform(16, 40)},
        {"shift": (float(rng.choice([-0.5, 0.5])), 0.0), "fills": 0.95},
        {"fills": rng.uniform(0.06, 0.12)},
        {"light": 0.05, "black": 0.04, "noise": 0.08, "quality": 20},
    ]
    return Shot(**{**fields, **spoilt[way]})


def scanned(rng: Generator) -> Shot:
    """A scanner's page: 150, 200 or 300 dots an inch, a little askew, now and then upside down."""
    dots = int(rng.choice([150, 200, 300]))
    return Shot(
        width=round(8.27 * dots),
        height=round(11.69 * dots),
        turn=float(rng.choice([0.0, 180.0])) + rng.normal(0, 1.2),
        fills=rng.uniform(0.97, 1.0),
        light=rng.uniform(0.93, 1.0),
        black=rng.uniform(0.02, 0.1),
        blur=rng.uniform(0.3, 0.9),
        noise=rng.uniform(0.001, 0.008),
        quality=int(rng.integers(60, 93)),
        streaks=0,
        table="white table",
    )


KINDS: MappingProxyType[str, Callable[[Generator], Shot]] = MappingProxyType(
    {
        "clean": clean,
        "everyday": everyday,
        "rough": rough,
        "photocopied": photocopied,
        "scanned": scanned,
        "hopeless": hopeless,
    }
)

# One defect at a time on an else clean photograph, for the table of rates per defect.
DEFECTS = MappingProxyType(
    {
        "none": {},
        "turned": {"turn": 137.0},
        "tilted": {"tilt": 0.1},
        "small": {"fills": 0.55},
        "curled": {"curl_mm": 5.0},
        "folded": {"fold": 0.4},
        "crumpled": {"crumple_mm": 0.5},
        "half in the dark": {"gradient": 0.65},
        "soft shadow": {"shadow": 0.5, "shadow_soft": 120.0},
        "hard shadow": {"shadow": 0.5, "shadow_soft": 4.0},
        "glare": {"glare": 0.8},
        "out of focus": {"blur": 3.2},
        "moved": {"motion": 10.0},
        "dim": {"light": 0.3, "noise": 0.05},
        "hazy": {"black": 0.35},
        "yellow lamp": {"tint": (1.0, 0.82, 0.5)},
        "pressed hard": {"quality": 30},
        "copied once": {"copies": 1, "copy_harsh": 0.3},
        "copied three times": {"copies": 3, "copy_harsh": 0.5},
        "thumb": {"thumb": True},
        "stain": {"stain": 0.9},
        "stripes": {"moire": 0.05},
        "rolled up": {"roll": 50.0},
        "wide lens": {"barrel": 0.08},
        "corner cut off": {"cut": 0.05},
        "two lamps": {"lamp": 0.6},
        "sharpened": {"sharpened": 1.5},
        "smoothed": {"smoothed": 0.8},
        "two megapixels": {"megapixels": 2.0},
        "copied black and white": {"copies": 1, "copy_tone": "threshold"},
        "copied in dots": {"copies": 1, "copy_tone": "dither"},
        "copied with streaks": {"copies": 1, "streaks": 3},
        **{f"on {table}": {"table": table} for table in NAMES},
    }
)


def alone(name: str, rng: Generator) -> Shot:
    """A clean photograph with one defect of `DEFECTS`."""
    base = clean(rng)
    fields = {field: getattr(base, field) for field in base.__slots__}
    return Shot(**{**fields, **DEFECTS[name]})
