"""What lies ahead of a whole skill, and how far reported runs from observed; silence tells its reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from bylittle.core.advice import Decision, SkillTracker
from bylittle.core.faults import Fault, NotEnoughData, Undefined

LOOK_FIRST = (Decision.REFER, Decision.PAUSE, Decision.MORE_DATA)
"""Decisions after which practice does not go on as before, so that nothing is foretold from it."""


@dataclass(frozen=True, slots=True)
class WholeSkill:
    """When every step is likely done alone: days with chance .1, .5 and .9; `late` None: out of sight.

    Assumes practice as lately (`days_a_week`, at most `at_once` new steps), no illness, no long break. `bar`:
    the chance alone that counts as done; `chance_now`: how likely it is already. Where the data do not say,
    `silent` is the reason's code and the days are None.
    """

    early: date | None = None
    middle: date | None = None
    late: date | None = None
    days_a_week: float = 0.0
    at_once: int = 0
    bar: float = 0.0
    chance_now: float = 0.0
    silent: str = ""
    values: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Gap:
    """Share alone as reported at home less the share as observed, with its 90 % interval (-1..1).

    Where there is too little of either, `silent` is the reason's code and the figures are None.
    """

    gap: float | None = None
    low: float | None = None
    high: float | None = None
    reported: float | None = None
    reported_n: int = 0
    observed: float | None = None
    observed_n: int = 0
    silent: str = ""
    values: Mapping[str, object] = field(default_factory=dict)


def whole_skill(tracker: SkillTracker, day: date, decision: Decision) -> WholeSkill:
    """The range for the whole skill as seen on `day`; silent where practice pauses or data are too few."""
    if decision in LOOK_FIRST:
        return WholeSkill(silent="look_first")
    try:
        found = tracker.when_done(day.toordinal())
    except (NotEnoughData, Undefined) as fault:
        return WholeSkill(silent=fault.code, values=_values(fault))
    return WholeSkill(
        early=date.fromordinal(found.early),
        middle=date.fromordinal(found.middle),
        late=None if found.late is None else date.fromordinal(found.late),
        days_a_week=found.days_a_week,
        at_once=found.at_once,
        bar=found.bar,
        chance_now=found.chance_now,
    )


def reported_gap(tracker: SkillTracker) -> Gap:
    """How far the family's marks run ahead of what was observed."""
    try:
        found = tracker.report_gap()
    except NotEnoughData as fault:
        return Gap(silent=fault.code, values=_values(fault))
    return Gap(
        found.gap,
        found.low,
        found.high,
        found.reported,
        found.reported_n,
        found.observed,
        found.observed_n,
    )


def _values(fault: Fault) -> dict[str, object]:
    return {name: value for name, value in fault.values.items() if isinstance(value, int | float)}
