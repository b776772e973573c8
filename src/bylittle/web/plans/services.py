"""Drafting and signing home plans. A signed plan never changes; the next version takes its place."""

from __future__ import annotations

import secrets
from collections.abc import Mapping, Sequence
from typing import Any

from django.db import transaction
from django.utils import timezone

from bylittle import library
from bylittle.core.faults import BadValue
from bylittle.web.people.models import Person
from bylittle.web.plans import own_pictures, waiting
from bylittle.web.plans.models import Gate, Plan, PlanStep
from bylittle.web.plans.queries import as_gate, as_home_plan, draft_plan, plans_of, signed_plan
from bylittle.web.skills.models import Skill
from bylittle.web.skills.queries import latest_version, ready_skill

_CARRIED = (
    "chaining",
    "leap_ahead",
    "order_of_help",
    "procedure",
    "levels",
    "grade",
    "routine",
    "turns_per_day",
    "days",
    "minutes",
    "wait_s",
    "when_it_goes_wrong",
    "praise",
    "bad_days",
    "band_low",
    "band_high",
)

#: What is asked of the child: {step id: ladder index of the help offered}.
Challenge = Mapping[str, int]


@transaction.atomic
def draft_for(skill: Skill, challenge: Challenge) -> Plan:
    """The draft of the next plan: the one there is, or a new one that carries the last plan on.

    A new draft asks what `challenge` says. A draft of older steps is moved to the newest ones.
    """
    plans = plans_of(skill)
    version = latest_version(skill)
    draft = draft_plan(plans)
    if draft is not None and draft.version_id == version.pk:
        return draft
    if draft is not None:
        draft.version = version
        draft.save(update_fields=["version"])
        set_steps(draft, challenge)
        return draft
    last = signed_plan(plans)
    plan = Plan(skill=skill, version=version, number=len(plans) + 1, code=_code(last))
    for name in _CARRIED if last else ():
        setattr(plan, name, getattr(last, name))
    if last is None:
        _first_words(plan)
    plan.save()
    set_steps(plan, challenge)
    return plan


def _code(last: Plan | None) -> str:
    return last.code if last else secrets.token_hex(3).upper()


def _first_words(plan: Plan) -> None:
    plan.routine = plan.skill.routine
    ready = ready_skill(plan.skill.library_id)
    if ready is not None:
        plan.chaining = ready.chaining.direction
        plan.grade = plan.version.usual_grade


def set_steps(plan: Plan, challenge: Challenge) -> None:
    """Write who does which step. Adult-only steps stay the adult's whatever is asked."""
    _draft_only(plan)
    plan.steps.all().delete()
    PlanStep.objects.bulk_create(
        PlanStep(
            plan=plan,
            step_id=row.step_id,
            asked=row.step_id in challenge and not row.adult_only,
            help_level=challenge.get(row.step_id) if not row.adult_only else None,
        )
        for row in plan.version.steps.all()
    )


@transaction.atomic
def save_draft(plan: Plan, values: Mapping[str, Any], challenge: Challenge) -> Plan:
    """Save what was edited in a draft."""
    _draft_only(plan)
    for name, value in values.items():
        setattr(plan, name, value)
    plan.save()
    set_steps(plan, challenge)
    return plan


@transaction.atomic
def answer_gate(
    plan: Plan,
    values: Mapping[str, Any],
    answers: Mapping[str, Mapping[str, Any]],
    by: Person,
    language_check: str = "",
) -> Gate:
    """Keep the answers of the safety gate, and the child's own facts with the child."""
    _draft_only(plan)
    told = {**values, "answers": answers, "language_check": language_check}
    told |= {"answered_by": by, "answered_at": timezone.now()}
    gate, _ = Gate.objects.update_or_create(plan=plan, defaults=told)
    child = plan.skill.child
    for name, value in values.items():
        setattr(child, name, value)
    child.save()
    return gate


def questions() -> Sequence[str]:
    """The ids of the red-flag questions of the gate."""
    return [question.id for question in library.red_flags()]


@transaction.atomic
def sign(plan: Plan, by: Person) -> Plan:
    """Sign a plan. Faults say what blocks it: no asked step, an open question, a yes nobody acted on."""
    _draft_only(plan)
    as_home_plan(plan).check()
    gate = Gate.objects.filter(plan=plan).first()
    if gate is None:
        raise BadValue("gate_not_answered", name="gate", value="", allowed="answers")
    as_gate(gate).check(questions())
    waiting.check(plan)
    if not by.may_sign:
        raise BadValue("may_not_sign", name="signed_by", value=by.role, allowed="therapist")
    plan.signed_by = by
    plan.signed_at = timezone.now()
    plan.start = plan.start or timezone.localdate()
    plan.initials = [adult.initials for adult in plan.skill.child.caregivers.all()]
    plan.save()
    own_pictures.record(plan, by, timezone.localdate())
    return plan


def _draft_only(plan: Plan) -> None:
    if plan.signed:
        raise BadValue("plan_is_signed", name="plan", value=plan.number, allowed="a draft")
