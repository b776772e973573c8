"""What of a home plan goes onto a log sheet, and the sheets that a plan asks for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from bylittle.core.faults import BadValue, Fault, raise_all
from bylittle.core.sheet import geometry, identity
from bylittle.core.sheet.identity import SheetId
from bylittle.core.sheet.shape import ADULTS, DAYS, LEVELS, STEPS, TURNS, Paper, Shape

CHAININGS = ("backward", "forward", "whole")
FIXED_OFFER, LEAST_TO_MOST = "fixed offer", "least-to-most"
ORDERS_OF_HELP = (FIXED_OFFER, LEAST_TO_MOST)


@dataclass(frozen=True, slots=True)
class SheetStep:
    """One step of the chain; `help` is the level offered where the step is asked, by name."""

    name: str
    cue: str = ""
    asked: bool = False
    help: str | None = None


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """One version of a home plan as a log sheet shows it; `child` is None where no name may be printed.

    `levels` run from the fullest help to alone, `wait_s` is in seconds.
    """

    plan: str
    version: int
    skill: str
    steps: tuple[SheetStep, ...]
    levels: tuple[str, ...]
    days: int
    turns_per_day: int
    language: str
    adults: tuple[str, ...]
    child: str | None = None
    start: date | None = None
    copy: str = "A"
    chaining: str | None = None
    leap_ahead: bool = False
    order_of_help: str = FIXED_OFFER
    wait_s: int | None = None
    stop_signs: tuple[str, ...] = ()
    call: str | None = None
    second_language: str | None = None

    @property
    def asked(self) -> tuple[SheetStep, ...]:
        return tuple(step for step in self.steps if step.asked)


def sheets(plan: SheetPlan, paper: Paper) -> tuple[SheetId, ...]:
    """The ids of the pages that `plan` needs on `paper`; all faults told together."""
    raise_all(faults_of(plan))
    one = len(plan.asked) == 1
    shape = Shape(
        paper,
        plan.days,
        plan.turns_per_day if one else 1,
        len(plan.asked),
        len(plan.levels),
        len(plan.adults),
    )
    first = SheetId(shape, identity.plan_number(plan.plan), plan.version, 1, start=plan.start, copy=plan.copy)
    return tuple(replace(first, page=page.number) for page in geometry.pages(shape))


def faults_of(plan: SheetPlan) -> list[Fault]:
    """What keeps `plan` from going onto a sheet, each with the range that would do."""
    return [*_count_faults(plan), *_help_faults(plan)]


def _count_faults(plan: SheetPlan) -> Iterator[Fault]:
    counts = (
        ("asked steps", len(plan.asked), STEPS),
        ("levels", len(plan.levels), LEVELS),
        ("days", plan.days, DAYS),
        ("turns_per_day", plan.turns_per_day, TURNS),
        ("adults", len(plan.adults), ADULTS),
        ("version", plan.version, identity.VERSIONS),
    )
    for name, value, allowed in counts:
        if value not in allowed:
            yield BadValue("out_of_range", name=name, value=value, allowed=(allowed[0], allowed[-1]))
    if len(plan.copy) != 1 or plan.copy not in identity.COPIES:
        yield BadValue("out_of_range", name="copy", value=plan.copy, allowed=("A", "Z"))
    earliest, latest = identity.STARTS
    if plan.start is not None and not earliest <= plan.start <= latest:
        allowed_dates = (earliest.isoformat(), latest.isoformat())
        yield BadValue("out_of_range", name="start", value=plan.start.isoformat(), allowed=allowed_dates)


def _help_faults(plan: SheetPlan) -> Iterator[Fault]:
    for number, step in enumerate(plan.steps, 1):
        if step.help is not None and step.help not in plan.levels:
            where = f"steps[{number}].help"
            yield BadValue("level_not_on_ladder", name=where, value=step.help, allowed=plan.levels)
