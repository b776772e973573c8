"""A ready skill, as the data files give it. A starter: a therapist adapts a copy to the child."""

from __future__ import annotations

from dataclasses import dataclass

from bylittle.library.text import Text

AREAS = (
    "dressing",
    "eating and drinking",
    "washing and toileting",
    "hand skills",
    "whole-body movement",
    "play",
)
HANDS = ("one", "both", "hold and do", "none")
ORDERS = ("fixed", "free")
DOERS = ("child", "adult")
LEVERS = ("size", "stiffness", "contrast", "position", "stability", "number", "speed", "place")
DIRECTIONS = ("backward", "forward", "whole")
SHAPE_SIZES = {
    "sphere": ("diameter_mm",),
    "cylinder": ("diameter_mm", "length_mm"),
    "box": ("x_mm", "y_mm", "z_mm"),
    "ring": ("outer_mm", "thickness_mm"),
}
"""The sizes that each shape needs to be screened: those of `bylittle.core.skill.materials`, told again here
so that the library opens without numpy."""
SHAPES = tuple(SHAPE_SIZES)
STATUS = "starter, adapt to the child"


@dataclass(frozen=True, slots=True)
class Hazard:
    """Something about a skill that can hurt, with the usual caution for the adult."""

    code: str
    name: Text
    caution: Text
    source: str


@dataclass(frozen=True, slots=True)
class Step:
    """One observable action of a skill, with a start and an end."""

    id: str
    name: Text
    cue: Text
    starts_when: Text
    """What is to be seen just before: the end of the step before it, or the set-up."""
    done_when: Text
    hands: str
    """One of `HANDS`; "hold and do": one hand holds while the other works."""
    order: str
    """"fixed": only in this place of the chain; "free": may change places with a free neighbour."""
    by: str
    """"adult": always done by the adult, whatever the plan asks."""
    hazard: Text | None


@dataclass(frozen=True, slots=True)
class Material:
    """A thing the skill needs. Sizes in millimetres, approximate."""

    id: str
    name: Text
    shape: str | None
    """One of `SHAPES` where the sizes can be screened; None for cloth, furniture and the like."""
    size_mm: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Grade:
    """One rung of the material's ladder, from easier to harder; each rung moves one lever."""

    id: str
    name: Text
    lever: str
    usual: bool
    """The thing as it is in daily life: what the easier rungs lead to."""
    size_mm: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Need:
    """Something that helps before starting, with what to do where it is not there yet."""

    id: str
    name: Text
    adaptation: Text


@dataclass(frozen=True, slots=True)
class Slip:
    """A slip often seen, and the step whose cue words answer it."""

    seen: Text
    step: str
    cue: Text


@dataclass(frozen=True, slots=True)
class Age:
    """A rough range in months, with its source. Never a reason to start or to stop a service."""

    low_months: int
    high_months: int
    source: str
    mark: str
    note: str


@dataclass(frozen=True, slots=True)
class Chaining:
    """The direction that is likely to suit, and why. No direction is proven best."""

    direction: str
    why: str


@dataclass(frozen=True, slots=True)
class Skill:
    """A ready skill: steps in order, cue words, materials and their ladder, cautions and sources."""

    id: str
    version: int
    area: str
    name: Text
    why: Text
    """What it is good for, in the family's words."""
    routine: Text
    """When and where it lives in the day."""
    start: Text
    """How things stand before the first step."""
    steps: tuple[Step, ...]
    materials: tuple[Material, ...]
    grades: tuple[Grade, ...]
    readiness: tuple[Need, ...]
    slips: tuple[Slip, ...]
    hazards: tuple[Hazard, ...]
    ages: tuple[Age, ...]
    chaining: Chaining
    warmups: tuple[str, ...]
    """Ids of warm-ups that prepare this skill."""
    status: str = STATUS

    def step(self, name: str) -> Step:
        """The step with this id; `KeyError` where there is none."""
        for step in self.steps:
            if step.id == name:
                return step
        raise KeyError(name)
