"""The home plan: one signed version of who does which step with what help, how often, when to stop."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from bylittle.core.faults import BadValue, Fault, raise_all
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.skill.ladder import DEFAULT_LADDER, Ladder

MOST_ASKED_STEPS = 12
MOST_WAIT_S = 60
MOST_TURNS_A_DAY = 20
MOST_MINUTES = 30


class Chaining(StrEnum):
    """Which step the child learns first. None is proven best (Slocum & Tiger 2011)."""

    BACKWARD = "backward"
    FORWARD = "forward"
    WHOLE = "whole"

    @property
    def can_leap(self) -> bool:
        """Whether steps can be passed over: only where they are taken up one after another."""
        return self is not Chaining.WHOLE


@dataclass(frozen=True, slots=True)
class PlannedStep:
    """What the plan says of one step: `help_level` is the ladder index offered where it is asked."""

    step_id: str
    name: str
    cue: str = ""
    asked: bool = False
    help_level: int | None = None
    hazard: str = ""
    adult_only: bool = False


@dataclass(frozen=True, slots=True)
class StopRule:
    """When a sitting ends and when the therapist is called; the child's own signs come first."""

    stop_signs: tuple[str, ...] = ()
    yes_signs: tuple[str, ...] = ()
    stops_in_a_sitting: int = 2
    days_running: int = 2
    call: str = ""


@dataclass(frozen=True, slots=True)
class Dose:
    """How much and when: turns a sitting, sittings tied to a routine, days planned."""

    turns_per_day: int = 4
    days: int = 7
    minutes: int = 5
    routine: str = ""


@dataclass(frozen=True, slots=True)
class HomePlan:
    """A home plan as agreed. `number` is its version; `plan_id` stays the same through versions.

    It is a draft until a licensed therapist signs it; nothing here says that it is signed: the record
    of the signature does (who, when). `procedure`: id of the chosen way of helping, where one was chosen.
    `leap_ahead`: steps that go alone already are passed over and probed, not taught (backward or forward
    chaining with leap-aheads).
    """

    plan_id: str
    number: int
    skill_name: str
    steps: tuple[PlannedStep, ...]
    ladder: Ladder = DEFAULT_LADDER
    chaining: Chaining = Chaining.BACKWARD
    leap_ahead: bool = False
    order_of_help: OrderOfHelp = OrderOfHelp.FIXED_OFFER
    procedure: str = ""
    wait_s: int = 5
    dose: Dose = field(default_factory=Dose)
    stop_rule: StopRule = field(default_factory=StopRule)
    grade: str = ""
    materials: tuple[str, ...] = ()
    precautions: tuple[str, ...] = ()
    when_it_goes_wrong: str = ""
    praise: str = ""
    bad_days: str = ""
    adults: tuple[str, ...] = ()
    child: str = ""
    start: date | None = None
    mirrored: bool = False
    language: str = "en"

    @property
    def asked(self) -> tuple[PlannedStep, ...]:
        """The steps that the child does in this plan, in the order of the chain."""
        return tuple(step for step in self.steps if step.asked)

    def check(self) -> None:
        """Raise all that keeps this plan from being signed; the safety gate is checked apart."""
        raise_all(faults_of(self))


def faults_of(plan: HomePlan) -> list[Fault]:
    """Everything wrong with a plan, told together, each with what is permitted."""
    found = _asked_faults(plan)
    for number, step in enumerate(plan.steps, start=1):
        found.extend(_step_faults(plan, number, step))
    if plan.leap_ahead and not plan.chaining.can_leap:
        allowed = tuple(each.value for each in Chaining if each.can_leap)
        found.append(
            BadValue("leap_ahead_of_whole", name="chaining", value=plan.chaining.value, allowed=allowed)
        )
    found.extend(_within("wait_s", plan.wait_s, 0, MOST_WAIT_S))
    found.extend(_within("turns_per_day", plan.dose.turns_per_day, 1, MOST_TURNS_A_DAY))
    found.extend(_within("days", plan.dose.days, 1, 14))
    found.extend(_within("minutes", plan.dose.minutes, 1, MOST_MINUTES))
    return found


def _asked_faults(plan: HomePlan) -> list[Fault]:
    if not plan.asked:
        return [BadValue("no_asked_step", name="steps", value=0, allowed=(1, MOST_ASKED_STEPS))]
    if len(plan.asked) > MOST_ASKED_STEPS:
        allowed = (1, MOST_ASKED_STEPS)
        return [BadValue("too_many_asked_steps", name="steps", value=len(plan.asked), allowed=allowed)]
    return []


def _step_faults(plan: HomePlan, number: int, step: PlannedStep) -> list[Fault]:
    if not step.asked:
        return []
    found: list[Fault] = []
    if step.adult_only:
        found.append(
            BadValue("adult_only_step_asked", name="asked", value=step.name, allowed=False, step=number)
        )
    if step.help_level is None:
        names = plan.ladder.names
        found.append(BadValue("asked_step_without_help", name="help", value="", allowed=names, step=number))
    elif not 0 <= step.help_level <= plan.ladder.top:
        names = plan.ladder.names
        fault = BadValue(
            "level_not_on_ladder", name="help", value=step.help_level, allowed=names, step=number
        )
        found.append(fault)
    return found


def _within(name: str, value: int, low: int, high: int) -> list[Fault]:
    if low <= value <= high:
        return []
    return [BadValue("out_of_range", name=name, value=value, allowed=(low, high))]
