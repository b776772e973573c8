"""A child of the demo as written down: days counted from the day of loading, steps and levels by name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from bylittle.core.advice import Decision
from bylittle.core.plan.home_plan import Chaining
from bylittle.core.practice.marks import Source
from bylittle.core.skill.materials import Thing
from bylittle.demo.simulator import Learner, Probe
from bylittle.demo.values import Adult


@dataclass(frozen=True, slots=True)
class PlanSketch:
    """A plan from day `start` on: `asked` {step id: level}, and how it was practised until `last`.

    `last` None: until the day before the next plan, or yesterday. `grade`: id of the material's variant.
    """

    start: int
    asked: Mapping[str, str]
    grade: str = "own"
    share: float = 0.75
    turns: int = 4
    source: Source = Source.HOME
    place: str = "home"
    last: int | None = None


@dataclass(frozen=True, slots=True)
class ReviewSketch:
    """A review on day `on`; `red_flags` {question: what was done}."""

    on: int
    decided: Decision
    reason: str
    red_flags: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class CheckSketch:
    """A carry-over check due on day `due`."""

    due: int
    place: str
    adult: str = ""
    done: int | None = None
    kept: bool | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class CoachingSketch:
    """How an adult's practice was seen on day `on`: all of the plan's checklist done, but for these items."""

    on: int
    adult: str
    partly: tuple[str, ...] = ()
    missed: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class LookSketch:
    """What the quick looks of the breakdown finder showed on day `on`."""

    on: int
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ScreenSketch:
    """A thing held against the safety rules on day `on`; `left_out`: the day it was left out of the plan."""

    on: int
    name: str
    thing: Thing
    left_out: int | None = None


@dataclass(frozen=True, slots=True)
class SpokenSketch:
    """What an adult was heard to say on day `on`: words by step id."""

    on: int
    adult: str
    words: dict[str, str]


@dataclass(frozen=True, slots=True)
class GoalSketch:
    """The goal's statement, its five levels from -2 to +2, and the day by which."""

    statement: str
    levels: tuple[str, str, str, str, str]
    by: int = 56


@dataclass(frozen=True, slots=True)
class ChildSketch:
    """Everything that is told of one child; the practice itself comes from the simulator."""

    name: str
    age: tuple[int, int]
    skill_id: str
    expected: Decision
    course: str
    adults: tuple[Adult, ...]
    goal: GoalSketch
    learner: Learner
    code: str
    chaining: Chaining = Chaining.BACKWARD
    plans: tuple[PlanSketch, ...] = ()
    probes: tuple[Probe, ...] = ()
    reviews: tuple[ReviewSketch, ...] = ()
    checks: tuple[CheckSketch, ...] = ()
    precautions: str = "None known."
    allergies: str = "None known."
    stop_signs: tuple[str, ...] = ("turns away", "pushes the thing off")
    yes_signs: tuple[str, ...] = ("comes closer", "looks and smiles")
    team: tuple[str, ...] = ("ines", "marit")
    when_it_goes_wrong: str = "Say: let's try. Show it once more, help a little, go on."
    praise: str = "Say what worked, at once: you pulled it up!"
    breakdown: str = "unknown"
    adults_differ: bool = False
    state: str = "active"
    left_handed: bool = False
    language: str = "en"
    mouths: bool | None = None
    coaching: tuple[CoachingSketch, ...] = ()
    looks: tuple[LookSketch, ...] = ()
    screens: tuple[ScreenSketch, ...] = ()
    spoken: tuple[SpokenSketch, ...] = ()


def baseline(*days: int, grade: str = "own") -> tuple[Probe, ...]:
    """Baseline probes on these days."""
    return tuple(Probe(day, Source.BASELINE, grade=grade) for day in days)


def probes(*days: int, grade: str = "own", place: str = "home") -> tuple[Probe, ...]:
    """A therapist's probes on these days."""
    return tuple(Probe(day, Source.PROBE, grade=grade, place=place) for day in days)
