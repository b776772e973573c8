"""From a practice log to what is believed and what to do next: the same for the browser and the command line.

Pure: the log, the setting and the day come in as values. Steps that an adult always does are no part of the
learning: they have no chance, are never asked and keep no skill from being mastered.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from bylittle.core.advice import Advice, Decision, Facts, IfThen, LowFidelity, SkillTracker, Why
from bylittle.core.advice.patterns import Pattern
from bylittle.core.faults import BadValue
from bylittle.core.learning.forecast import Chance
from bylittle.core.learning.prior import Prior
from bylittle.core.plan.home_plan import Chaining
from bylittle.core.practice.log import Entry, PracticeLog
from bylittle.core.practice.marks import ProbeKind, Source, Status
from bylittle.core.skill.ladder import DEFAULT_LADDER, Ladder
from bylittle.core.skill.steps import SkillVersion
from bylittle.workflows.foresight import Gap, WholeSkill, reported_gap, whole_skill
from bylittle.workflows.replay import Course, StepChange, begin

BASELINE_COUNTS_DAYS = 14
"""A baseline is judged until the first review of the teaching (a plan is looked at again within 14 days)."""
NOTHING_ASKED = (Decision.REFER, Decision.PAUSE, Decision.DONE)
"""Decisions after which no step is asked until a therapist has looked."""


@dataclass(frozen=True, slots=True)
class AdviceSetting:
    """What the therapist set, and what people told that no log holds.

    `band`: chance of success wanted. `mastery`: chance alone, how sure, on how many days. `plan_since`: first
    day of the present plan; None: the first day of practice in the log. `baseline_wanted`: a baseline without
    any point counts as short. `lost_steps`: ids of steps that were mastered and are lost. `grades`: materials
    from easier to harder; `grade`: the one that is practised from now on. `changes`: steps that were split or
    put together on the way to this version, oldest first.
    """

    version: SkillVersion
    ladder: Ladder = DEFAULT_LADDER
    chaining: Chaining = Chaining.WHOLE
    leap_ahead: bool = False
    band: tuple[float, float] = (0.70, 0.90)
    max_new_steps: int | None = None
    advice_every: str = "day"
    mastery: tuple[float, float, int] = (0.85, 0.90, 3)
    prior: Prior | None = None
    plan_since: date | None = None
    baseline_wanted: bool = False
    red_flags: tuple[str, ...] = ()
    lost_steps: tuple[str, ...] = ()
    doing_breaks_down: bool = False
    easier_material: bool = False
    adults_differ: bool = False
    grades: tuple[str, ...] = ()
    grade: str = ""
    low_fidelity: LowFidelity | None = None
    changes: tuple[StepChange, ...] = ()


@dataclass(frozen=True, slots=True)
class StepOutlook:
    """What is believed of one step; `number` from 1. `chances`: one for each help level, none for an adult's.

    `mastered` is the statistical call, `probably_ready` the weaker one: check with a probe. `new`:
    the advice asks only so many of these at once.
    """

    number: int
    step_id: str
    name: str
    chances: tuple[Chance, ...]
    mastered: bool
    probably_ready: bool
    new: bool = False

    @property
    def by_adult(self) -> bool:
        """True for a step that an adult always does."""
        return not self.chances


@dataclass(frozen=True, slots=True)
class NextStep:
    """A step to ask next: `number` from 1, `level` the ladder index of its help, `chance` of success."""

    number: int
    step_id: str
    level: int
    chance: float


@dataclass(frozen=True, slots=True)
class AdvisedLog:
    """The answer for one day. `proposed` is the challenge; `asked` is what of it may be asked now: nothing
    where a therapist should look first. `ahead`: when the whole skill may be done; `gap`: reported against
    observed. Steps in `why`, `patterns`, `rules` count from 0 in the chain.
    """

    on: date
    ladder: Ladder
    steps: tuple[StepOutlook, ...]
    decision: Decision
    why: tuple[Why, ...]
    patterns: tuple[Pattern, ...]
    proposed: tuple[NextStep, ...]
    least_to_most: bool
    marks: int
    practice_days: int
    passed_over: int
    ahead: WholeSkill
    gap: Gap
    rules: tuple[IfThen, ...] = ()

    @property
    def asked(self) -> tuple[NextStep, ...]:
        return () if self.decision in NOTHING_ASKED else self.proposed


def advise_log(log: PracticeLog, setting: AdviceSetting, on: date | None) -> AdvisedLog:
    """Replay a log and advise for the day `on` (the day after the last entry when None).

    Entries of steps that this version no longer has are passed over and counted. BadValue for a day before
    the last entry, for a log without entries when no day is given, and for a skill whose steps are all an
    adult's.
    """
    taught = places_taught(setting.version)
    day = _day(log, on)
    seen = replayed(log, setting)
    advice = seen.tracker.advise(day.toordinal(), facts_of(log, setting, day))
    return AdvisedLog(
        on=day,
        ladder=setting.ladder,
        steps=_outlooks(seen.tracker, setting, taught, day),
        decision=advice.decision,
        why=tuple(_in_chain(why, setting.version, taught) for why in advice.why),
        patterns=advice.patterns,
        proposed=_proposed(advice, setting, taught),
        least_to_most=advice.ladder,
        marks=seen.telling,
        practice_days=len(seen.days),
        passed_over=seen.passed_over,
        rules=_rules(advice, setting.version, taught),
        ahead=whole_skill(seen.tracker, day, advice.decision),
        gap=reported_gap(seen.tracker),
    )


def course_for(setting: AdviceSetting) -> Course:
    """A replay that has seen nothing yet, with the steps that were taught first."""
    taught = tuple(places_taught(setting.version))
    tracker = SkillTracker(
        len(setting.changes[0].before) if setting.changes else len(taught),
        len(setting.ladder),
        goal=setting.chaining.value,
        band=setting.band,
        max_new_steps=setting.max_new_steps,
        advice_every=setting.advice_every,
        mastery=setting.mastery,
        prior=setting.prior,
        grades=setting.grades,
        leap_ahead=setting.leap_ahead,
    )
    return begin(tracker, setting.changes, taught, setting.ladder.top)


def replayed(log: PracticeLog, setting: AdviceSetting) -> Course:
    """Enter the whole log turn by turn; entries of steps that were not taught then are left out.

    Where steps were split or put together, belief is carried over when the first mark of the new ones comes,
    at the latest at the end.
    """
    course = course_for(setting)
    for day, entries in log.turns():
        course.enter(day, entries)
    course.finish()
    course.tracker.use_grade(setting.grade)
    return course


def facts_of(log: PracticeLog, setting: AdviceSetting, day: date) -> Facts:
    """What people told, with the plan's first day and the baseline points counted from the log."""
    taught = places_taught(setting.version)
    entries = [entry for entry in log.entries() if entry.step_id in taught]
    practice = [entry.day for entry in entries if entry.source not in (Source.BASELINE, Source.PROBE)]
    taught_since = practice[0] if practice else None
    since = setting.plan_since or taught_since
    return Facts(
        red_flags=setting.red_flags,
        lost_steps=tuple(taught[step] for step in setting.lost_steps if step in taught),
        plan_since=None if since is None else since.toordinal(),
        baseline=_baseline(entries, setting, taught_since, day),
        doing_breaks_down=setting.doing_breaks_down,
        easier_material=setting.easier_material,
        adults_differ=setting.adults_differ,
        low_fidelity=setting.low_fidelity,
    )


def baseline_points(entries: Iterable[Entry], ladder: Ladder) -> tuple[float, ...]:
    """The share of the probed steps done alone, one point for each baseline probe, in order.

    A probe is the baseline rows of one day, adult and turn. In a single-opportunity probe the steps that
    were not reached count as not done, so that its points have one denominator (common practice, no
    source); else a step without a mark or with a stop says nothing. A probe that says nothing is no point.
    """
    probes: dict[tuple[date, int, str], list[Entry]] = {}
    for entry in entries:
        if entry.source is Source.BASELINE:
            probes.setdefault((entry.day, entry.turn, entry.adult), []).append(entry)
    steps = len({entry.step_id for rows in probes.values() for entry in rows})
    points = [_point(probes[probe], steps, ladder.top) for probe in sorted(probes)]
    return tuple(point for point in points if point is not None)


def _point(rows: Sequence[Entry], steps: int, top: int) -> float | None:
    seen = [reach for entry in rows if (reach := entry.reach(top)).status is Status.DONE]
    single = any(entry.probe is ProbeKind.SINGLE for entry in rows)
    probed = steps if single else len(seen)
    return sum(reach.lo == top for reach in seen) / probed if seen else None


def places_taught(version: SkillVersion) -> dict[str, int]:
    """Place of each step that can be learned among those that can, by step id."""
    ids = [step.id for step in version.steps if not step.adult_only]
    if not ids:
        raise BadValue("no_step_to_learn", name="steps", value=version.name, allowed="one step or more")
    return {step_id: place for place, step_id in enumerate(ids)}


def _day(log: PracticeLog, on: date | None) -> date:
    days = [entry.day for entry in log.entries()]
    if on is None and not days:
        raise BadValue("day_missing", name="on", value=None, allowed="a date, where the log is empty")
    if on is not None and days and on < days[-1]:
        raise BadValue("day_before_last_entry", name="on", value=on, allowed=days[-1])
    return on or days[-1] + timedelta(days=1)


def _baseline(
    entries: Sequence[Entry], setting: AdviceSetting, taught_since: date | None, day: date
) -> tuple[float, ...] | None:
    points = baseline_points(entries, setting.ladder)
    if not points and not setting.baseline_wanted:
        return None
    if taught_since is not None and (day - taught_since).days > BASELINE_COUNTS_DAYS:
        return None
    return points


def _outlooks(
    tracker: SkillTracker, setting: AdviceSetting, taught: Mapping[str, int], day: date
) -> tuple[StepOutlook, ...]:
    on = day.toordinal()
    mastered, ready, new = tracker.mastered(on), tracker.probably_ready(on), tracker.new_steps(on)
    found = []
    for number, step in enumerate(setting.version.steps, start=1):
        place = taught.get(step.id)
        if place is None:
            found.append(StepOutlook(number, step.id, step.name, (), False, False))
            continue
        chances = tuple(tracker.chance(place, level, on) for level in range(len(setting.ladder)))
        told = mastered[place], ready[place], new[place]
        found.append(StepOutlook(number, step.id, step.name, chances, *told))
    return tuple(found)


def _proposed(advice: Advice, setting: AdviceSetting, taught: Mapping[str, int]) -> tuple[NextStep, ...]:
    found = []
    for number, step in enumerate(setting.version.steps, start=1):
        place = taught.get(step.id)
        level = None if place is None else advice.levels[place]
        if place is not None and level is not None and level >= 0:
            chance = advice.predicted[place]
            found.append(NextStep(number, step.id, int(level), float(chance if chance is not None else 0.0)))
    return tuple(found)


_ONE, _LISTS = "step", ("steps", "next", "called")


def _in_chain(why: Why, version: SkillVersion, taught: Mapping[str, int]) -> Why:
    """The reason with its steps counted in the whole chain, an adult's steps included."""
    places = [place for place, step in enumerate(version.steps) if step.id in taught]
    return Why(why.code, {name: _moved(name, value, places) for name, value in why.values.items()})


def _rules(advice: Advice, version: SkillVersion, taught: Mapping[str, int]) -> tuple[IfThen, ...]:
    """What the family may do until the next advice; nothing where a therapist should look first."""
    if advice.decision in NOTHING_ASKED:
        return ()
    places = [place for place, step in enumerate(version.steps) if step.id in taught]
    return tuple(replace(rule, step=places[rule.step]) for rule in advice.rules)


def _moved(name: str, value: Any, places: Sequence[int]) -> Any:
    if name in _LISTS and isinstance(value, tuple | list):
        return tuple(places[place] for place in value)
    return places[value] if name == _ONE and isinstance(value, int) else value
