"""An invented child practising: a learner, the plans it is given, and the marks that people write down.

The learner follows the equation of the learning model (cumulative logit: reach is at least level l with
chance s(skill + day + boost of l - gap at alone)). Nothing here is evidence about a real child. Chance comes
in as a numpy Generator; days are counted from the day the demo is loaded (0), so that the past is negative.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np

from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome, ProbeKind, Source

BOOSTS = (3.2, 2.6, 2.0, 1.1, 0.0)
MOST_STOPS = 2


@dataclass(frozen=True, slots=True)
class Learner:
    """What is true of an invented child; all skills on the logit scale.

    `skill`: of each step at the start, in the order of the chain. `boosts`: of the levels above the fullest
    help, the last (alone) 0. `gain`: what one turn adds to an asked step, up to `best`. `growth`: what a day
    adds to every step without practice. `day_sd`: spread of good and bad days. `with_adult`: what an adult
    adds or takes. `kindly`: chance that the family writes a miss down as managed. `stops`: chance that the
    child ends a turn, at the first and at the last day, rising evenly over the last `stops_days` days.
    `lost`: steps that are lost, with the day from which on, and how much of their skill.
    """

    skill: tuple[float, ...]
    boosts: tuple[float, ...] = BOOSTS
    gap: float = 0.4
    gain: float = 0.05
    best: float = 4.5
    growth: float = 0.0
    day_sd: float = 0.4
    with_adult: Mapping[str, float] = field(default_factory=dict)
    kindly: float = 0.0
    stops: tuple[float, float] = (0.01, 0.01)
    stops_days: int = 10
    lost: Mapping[int, tuple[int, float]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Practice:
    """Days of practice with one plan: `first` to `last` (both in), `asked` {place in the chain: help level}.

    `share`: of the days on which there is practice. `adults` take turns by the day.
    """

    first: int
    last: int
    asked: Mapping[int, int]
    adults: tuple[str, ...]
    share: float = 0.75
    turns: int = 4
    source: Source = Source.HOME
    place: str = "home"
    grade: str = ""


@dataclass(frozen=True, slots=True)
class Probe:
    """A therapist's probe of every step that a child may do, alone and without help."""

    day: int
    source: Source = Source.PROBE
    adult: str = "IF"
    place: str = "home"
    grade: str = ""


@dataclass(frozen=True, slots=True)
class Course:
    """A learner, the steps (ids; None where an adult does it), and what was done on which days."""

    learner: Learner
    steps: tuple[str | None, ...]
    practice: tuple[Practice, ...]
    probes: tuple[Probe, ...]


def simulate(course: Course, today: date, chance: np.random.Generator) -> tuple[Entry, ...]:
    """The log of a course as it would stand on `today`, oldest first."""
    skill = np.array(course.learner.skill, dtype=float)
    entries: list[Entry] = []
    for day in _days(course):
        now = _present(course.learner, skill, day)
        good_day = chance.normal(0.0, course.learner.day_sd)
        for probe in course.probes:
            if probe.day == day:
                entries.extend(_probed(course, probe, now + good_day, today, chance))
        for practice in course.practice:
            if practice.first <= day <= practice.last and chance.random() < practice.share:
                sitting = list(_sitting(course, practice, day, now + good_day, today, chance))
                entries.extend(sitting)
                _learn(course, skill, sitting)
        skill += course.learner.growth
    return tuple(entries)


def _days(course: Course) -> range:
    firsts = [each.first for each in course.practice] + [each.day for each in course.probes]
    lasts = [each.last for each in course.practice] + [each.day for each in course.probes]
    return range(min(firsts), min(max(lasts), 0) + 1)


def _present(learner: Learner, skill: np.ndarray, day: int) -> np.ndarray:
    """Skill on a day, with what is lost taken off."""
    now = skill.copy()
    for place, (since, drop) in learner.lost.items():
        if day >= since:
            now[place] -= drop
    return now


def _learn(course: Course, skill: np.ndarray, sitting: Sequence[Entry]) -> None:
    for entry in sitting:
        if entry.outcome is not Outcome.STOPPED:
            place = course.steps.index(entry.step_id)
            skill[place] = min(skill[place] + course.learner.gain, max(course.learner.best, skill[place]))


def _probed(
    course: Course, probe: Probe, skill: np.ndarray, today: date, chance: np.random.Generator
) -> Iterator[Entry]:
    top = len(course.learner.boosts)
    for place, step in enumerate(course.steps):
        if step is None:
            continue
        alone = _reach(course.learner, skill[place], chance) == top
        yield Entry(
            day=today + timedelta(days=probe.day),
            turn=1,
            step_id=step,
            outcome=Outcome.MANAGED if alone else Outcome.NOT_MANAGED,
            source=probe.source,
            adult=probe.adult,
            offered=top,
            place=probe.place,
            grade=probe.grade,
            probe=ProbeKind.MULTIPLE,
        )


def _sitting(
    course: Course,
    practice: Practice,
    day: int,
    skill: np.ndarray,
    today: date,
    chance: np.random.Generator,
) -> Iterator[Entry]:
    """One sitting: up to the planned turns, ended early by the second stop."""
    adult = practice.adults[int(chance.integers(len(practice.adults)))]
    helped = skill + course.learner.with_adult.get(adult, 0.0)
    turns = int(chance.integers(max(1, practice.turns - 1), practice.turns + 1))
    stops = 0
    for turn in range(1, turns + 1):
        stopped = chance.random() < _stop_chance(course.learner, day)
        yield from _turn(course, practice, today + timedelta(days=day), turn, adult, helped, stopped, chance)
        stops += stopped
        if stops == MOST_STOPS:
            return


def _stop_chance(learner: Learner, day: int) -> float:
    early, late = learner.stops
    risen = min(1.0, max(0.0, 1.0 + day / learner.stops_days))
    return early + (late - early) * risen


def _turn(
    course: Course,
    practice: Practice,
    on: date,
    turn: int,
    adult: str,
    skill: np.ndarray,
    stopped: bool,
    chance: np.random.Generator,
) -> Iterator[Entry]:
    """The marks of one turn. A child who stops does so at one asked step; the later ones are not reached."""
    places = sorted(practice.asked)
    ends_at = int(chance.integers(len(places))) if stopped else len(places)
    for number, place in enumerate(places[: ends_at + 1]):
        outcome, needed = Outcome.STOPPED, None
        if number != ends_at:
            offered = practice.asked[place]
            reach = _reach(course.learner, skill[place], chance)
            outcome, needed = _written(course.learner, practice, reach, offered, chance)
        yield Entry(
            day=on,
            turn=turn,
            step_id=course.steps[place] or "",
            outcome=outcome,
            source=practice.source,
            adult=adult,
            offered=practice.asked[place],
            needed=needed,
            place=practice.place,
            grade=practice.grade,
        )


def _written(
    learner: Learner, practice: Practice, reach: int, offered: int, chance: np.random.Generator
) -> tuple[Outcome, int | None]:
    """What the family writes: on paper the help it took, else managed or not."""
    kindly = chance.random() < learner.kindly
    if reach >= offered or kindly:
        return Outcome.MANAGED, None
    return (Outcome.NEEDED, reach) if practice.source is Source.PAPER else (Outcome.NOT_MANAGED, None)


def _reach(learner: Learner, skill: float, chance: np.random.Generator) -> int:
    """The least help that would be enough now, as a ladder index."""
    at_least = np.array(learner.boosts) + skill
    at_least[-1] -= learner.gap
    return int((chance.random() < 1.0 / (1.0 + np.exp(-at_least))).sum())
