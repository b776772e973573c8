"""Phases of a graph: the baseline, then each plan that changed what the child does or with what help."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from bylittle.core.evidence.series import Series
from bylittle.core.plan.home_plan import HomePlan, PlannedStep
from bylittle.core.plan.order_of_help import OrderOfHelp


class PhaseKind(StrEnum):
    """What happened in a phase."""

    BASELINE = "baseline"
    TEACHING = "teaching"
    CARRY_OVER = "carry over"
    NOT_ASKED = "not asked"


@dataclass(frozen=True, slots=True)
class Phase:
    """From `first` (included) to `end` (not included; None: still open).

    `number`: the plan's version. `asked`: names of the steps asked; `helps`: ladder indices offered, lowest
    and highest, None where help goes from least to most; `grade`: of the material.
    """

    kind: PhaseKind
    first: date
    end: date | None = None
    number: int | None = None
    asked: tuple[str, ...] = ()
    helps: tuple[int, int] | None = None
    help_names: tuple[str, ...] = ()
    grade: str = ""

    def holds(self, day: date) -> bool:
        """True when a day lies in this phase."""
        return self.first <= day and (self.end is None or day < self.end)


def phases_of(
    series: Series, plans: Sequence[HomePlan], carry_over_from: date | None = None
) -> tuple[Phase, ...]:
    """The phases of a series, in order. Only signed plans with a start date belong here.

    Plans that change neither asked steps nor help nor material grade go on with the phase before. A plan
    that another one replaced on the same day has no phase. `carry_over_from`: the day from which nothing
    is taught any more and only carry-over is checked.
    """
    starts = [(plan.start, plan) for plan in plans if plan.start is not None]
    found = _baseline(series, [start for start, _ in starts])
    for start, plan in sorted(starts, key=lambda pair: (pair[0], pair[1].number)):
        phase = _teaching(plan, start, plan.asked)
        if found and _same(found[-1], phase):
            continue
        if found and found[-1].first >= start:
            found.pop()
        found.append(phase)
    if carry_over_from is not None:
        found = [phase for phase in found if phase.first < carry_over_from]
        found.append(Phase(PhaseKind.CARRY_OVER, carry_over_from))
    return _closed(found)


def _baseline(series: Series, starts: Sequence[date]) -> list[Phase]:
    days = [probe.day for probe in series.probes if probe.baseline]
    if not days or (starts and min(starts) <= min(days)):
        return []
    return [Phase(PhaseKind.BASELINE, min(days))]


def phases_of_step(series: Series, plans: Sequence[HomePlan], step_id: str) -> tuple[Phase, ...]:
    """The phases of one step: its baseline lasts until a plan first asks it of the child.

    For the multiple-probe view, whose steps start one after another. A later plan that does not ask the
    step any more begins a phase `NOT_ASKED`.
    """
    starts = [(plan.start, plan) for plan in plans if plan.start is not None]
    found: list[Phase] = []
    for start, plan in sorted(starts, key=lambda pair: (pair[0], pair[1].number)):
        mine = tuple(step for step in plan.asked if step.step_id == step_id)
        if not mine and not found:
            continue
        phase = _teaching(plan, start, mine) if mine else Phase(PhaseKind.NOT_ASKED, start)
        if not found or not _same(found[-1], phase):
            found.append(phase)
    days = [probe.day for probe in series.probes]
    if days and (not found or min(days) < found[0].first):
        found.insert(0, Phase(PhaseKind.BASELINE, min(days)))
    return _closed(found)


def _teaching(plan: HomePlan, start: date, asked: Sequence[PlannedStep]) -> Phase:
    offers = sorted(step.help_level for step in asked if step.help_level is not None)
    fixed = plan.order_of_help is OrderOfHelp.FIXED_OFFER and bool(offers)
    names = tuple(plan.ladder.name(level) for level in sorted(set(offers))) if fixed else ()
    return Phase(
        kind=PhaseKind.TEACHING,
        first=start,
        number=plan.number,
        asked=tuple(step.name for step in asked),
        helps=(offers[0], offers[-1]) if fixed else None,
        help_names=names,
        grade=plan.grade,
    )


def _same(one: Phase, other: Phase) -> bool:
    return (one.kind, one.asked, one.helps, one.help_names, one.grade) == (
        other.kind, other.asked, other.helps, other.help_names, other.grade
    )  # fmt: skip


def _closed(found: Sequence[Phase]) -> tuple[Phase, ...]:
    """Each phase ends where the next begins; the last one is open."""
    ends: list[date | None] = [phase.first for phase in found[1:]]
    return tuple(replace(phase, end=end) for phase, end in zip(found, [*ends, None], strict=False))
