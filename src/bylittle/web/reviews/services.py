"""Deciding: the advice, what the therapist decided, and what follows from it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from django.db import transaction

from bylittle.core.advice import Decision
from bylittle.core.faults import BadValue
from bylittle.web.people.models import Person
from bylittle.web.plans import services as plans
from bylittle.web.plans.models import Plan
from bylittle.web.plans.queries import plans_of, signed_plan
from bylittle.web.reviews.advice import advised, as_json, challenge_of
from bylittle.web.reviews.models import Carryover, Review
from bylittle.web.skills.models import Skill, SkillState
from bylittle.web.skills.services import set_state
from bylittle.workflows.advise_log import AdvisedLog

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


def what_if(found: AdvisedLog, challenge: Mapping[str, int]) -> list[dict[str, Any]]:
    """For each step that would be asked: its chance with that help, and how it lies to the band."""
    return [
        {"step": step, "level": challenge[step.step_id], "chance": step.chances[challenge[step.step_id]]}
        for step in found.steps
        if step.step_id in challenge and step.chances and challenge[step.step_id] < len(step.chances)
    ]
