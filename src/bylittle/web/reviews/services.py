"""Deciding: the advice, what the therapist decided, and what follows from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db import transaction

from bylittle.core.advice import Decision, Goal
from bylittle.core.advice.plan import MOST_NEW
from bylittle.core.faults import BadValue
from bylittle.web.people.models import Person
from bylittle.web.plans import services as plans
from bylittle.web.plans.models import Plan
from bylittle.web.plans.queries import plans_of, signed_plan
from bylittle.web.reviews.advice import advised, as_json, challenge_of
from bylittle.web.reviews.models import Carryover, Review
from bylittle.web.skills.models import Skill, SkillState
from bylittle.web.skills.services import set_state
from bylittle.workflows.advise_log import AdvisedLog, StepOutlook

#: Weeks after mastery at which the skill is looked at again (design default; studies used 1 to 18 weeks).
CARRY_OVER_WEEKS = (1, 2, 4, 8, 12)
#: After these decisions the next thing is another plan.
NEW_PLAN = (Decision.MOVE_ON, Decision.STEP_BACK, Decision.CHANGE_MATERIAL, Decision.FADE_HELP)


@transaction.atomic
def decide(
    skill: Skill, decided: Decision, reason: str, red_flags: Mapping[str, Any], *, by: Person, today: date
) -> Review:
    """Keep a review and do what follows: pause, schedule carry-over checks.

    BadValue when an override has no reason, or when somebody decides who may not.
    """
    if not by.may_sign:
        raise BadValue("may_not_sign", name="by", value=by.role, allowed="therapist")
    found = advised(skill, today)
    if decided is not found.decision and not reason.strip():
        raise BadValue("override_without_reason", name="reason", value="", allowed="text")
    review = Review.objects.create(
        skill=skill,
        plan=signed_plan(plans_of(skill)),
        on=today,
        advised=found.decision,
        advised_why=as_json(found)["why"],
        decided=decided,
        reason=reason.strip(),
        red_flags=dict(red_flags),
        by=by,
    )
    if decided is Decision.PAUSE:
        set_state(skill, SkillState.PAUSED)
    if decided is Decision.DONE:
        set_state(skill, SkillState.LASTING)
        schedule_carry_over(skill, today)
    return review


def schedule_carry_over(skill: Skill, since: date) -> None:
    """Checks at 1, 2, 4, 8 and 12 weeks, where none are due yet."""
    if skill.carryovers.filter(done_on=None).exists():
        return
    Carryover.objects.bulk_create(
        Carryover(skill=skill, due=since + timedelta(weeks=weeks)) for weeks in CARRY_OVER_WEEKS
    )


def start_draft(skill: Skill, today: date) -> Plan:
    """The draft of the next plan, with the proposed challenge, or the draft that is there already."""
    return plans.draft_for(skill, challenge_of(advised(skill, today)))


@dataclass(frozen=True, slots=True)
class WhatIf:
    """What a challenge would mean: each asked step with its chance and how it lies to the band, and the load.

    `unknown`: asked steps of which nothing can be said. `new`: how many the advice counts as new. `expected`:
    the mean chance of a go; `goes_a_day`: goes at an asked step, with the plan's turns.
    """

    rows: tuple[dict[str, Any], ...]
    unknown: int
    new: int
    most_new: int
    expected: float
    goes_a_day: int
    band: tuple[float, float]


def what_if(found: AdvisedLog, challenge: Mapping[str, int], plan: Plan, band: tuple[float, float]) -> WhatIf:
    """What asking these steps with this help would mean, without anything being saved."""
    steps = [step for step in found.steps if step.step_id in challenge]
    known = [step for step in steps if challenge[step.step_id] < len(step.chances)]
    rows = tuple(_row(step, challenge[step.step_id], band) for step in known)
    chances = [row["chance"][0] for row in rows]
    new = sum(step.new for step in known)
    return WhatIf(
        rows=rows,
        unknown=len(challenge) - len(known),
        new=new,
        most_new=MOST_NEW[Goal(plan.chaining)],
        expected=sum(chances) / len(chances) if chances else 0.0,
        goes_a_day=len(challenge) * plan.turns_per_day,
        band=band,
    )


def _row(step: StepOutlook, level: int, band: tuple[float, float]) -> dict[str, Any]:
    mean, low = step.chances[level][0], band[0]
    top = len(step.chances) - 1
    lies = "hard" if mean < low else "right" if mean <= band[1] else "easy" if level < top else "stands"
    return {"step": step, "level": level, "chance": step.chances[level], "lies": lies}
