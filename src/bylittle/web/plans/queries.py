"""Reading home plans, and giving them as the core's values."""

from __future__ import annotations

from dataclasses import replace

from django.db.models import QuerySet

from bylittle.core.plan.gate import GateAnswer, SafetyGate
from bylittle.core.plan.home_plan import Chaining, Dose, HomePlan, PlannedStep, StopRule
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.web.people.models import Child
from bylittle.web.plans.models import Gate, Plan
from bylittle.web.skills.models import Skill


def plan_rows() -> QuerySet[Plan]:
    """Plans with all that pages and `as_home_plan` read, in a fixed number of queries."""
    rows = Plan.objects.select_related("skill__child", "version__skill", "signed_by", "gate__answered_by")
    return rows.prefetch_related("steps", "version__steps", "skill__child__caregivers")


def plans_of(skill: Skill) -> list[Plan]:
    """All versions of the skill's plan with their steps, oldest first."""
    return list(plan_rows().filter(skill=skill))


def signed_plan(plans: list[Plan]) -> Plan | None:
    """The newest signed version: what the family has."""
    return next((plan for plan in reversed(plans) if plan.signed), None)


def draft_plan(plans: list[Plan]) -> Plan | None:
    """The draft, if the newest version is one."""
    return plans[-1] if plans and not plans[-1].signed else None


def lines(text: str) -> tuple[str, ...]:
    """The lines of a text that say something."""
    return tuple(line.strip() for line in text.splitlines() if line.strip())


def as_home_plan(plan: Plan, *, start: object = None) -> HomePlan:
    """A plan as the core's value, with the child's safety facts on it."""
    child = plan.skill.child
    safety = _safety(plan, child)
    return HomePlan(
        plan_id=plan.code,
        number=plan.number,
        skill_name=plan.skill.name,
        steps=_planned_steps(plan),
        ladder=plan.ladder,
        chaining=Chaining(plan.chaining),
        leap_ahead=plan.leap_ahead,
        order_of_help=OrderOfHelp(plan.order_of_help),
        procedure=plan.procedure,
        wait_s=plan.wait_s,
        dose=Dose(plan.turns_per_day, plan.days, plan.minutes, plan.routine),
        stop_rule=StopRule(
            stop_signs=lines(safety.stop_signs), yes_signs=lines(safety.yes_signs), call=safety.call
        ),
        grade=plan.grade,
        materials=lines(plan.version.materials),
        precautions=lines(safety.precautions) + lines(safety.allergies),
        when_it_goes_wrong=plan.when_it_goes_wrong,
        praise=plan.praise,
        bad_days=plan.bad_days,
        adults=initials_of(plan),
        child=child.name,
        start=plan.start,
        mirrored=plan.version.mirrored,
        language="en",
    )


def initials_of(plan: Plan) -> tuple[str, ...]:
    """The adults' initials as they stand on the plan's log sheets; of a draft, as they are now."""
    if plan.signed and plan.initials:
        return tuple(plan.initials)
    return tuple(adult.initials for adult in plan.skill.child.caregivers.all())


def in_language(plan: Plan, home: HomePlan, language: str) -> HomePlan | None:
    """The same plan in the family's words; None where a step has none yet: no page mixes languages."""
    rows = {row.step_id: row.translations.get(language, {}) for row in plan.version.steps.all()}
    if not all(rows[step.step_id].get("name") for step in home.steps):
        return None
    whole = plan.version.translations.get(language, {})
    steps = tuple(
        replace(
            step,
            name=rows[step.step_id]["name"],
            cue=rows[step.step_id].get("cue") or step.cue,
            hazard=rows[step.step_id].get("hazard") or step.hazard,
        )
        for step in home.steps
    )
    return replace(
        home,
        steps=steps,
        language=language,
        skill_name=whole.get("name") or home.skill_name,
        dose=replace(home.dose, routine=whole.get("routine") or home.dose.routine),
        materials=lines(whole.get("materials", "")) or home.materials,
        grade=_same_rung(home.grade, plan.version.grade_names, lines(whole.get("grades", ""))),
    )


def _same_rung(grade: str, own: list[str], other: tuple[str, ...]) -> str:
    """A variant of the material in the other language: the one at the same place of the ladder."""
    return other[own.index(grade)] if grade in own and len(own) == len(other) else grade


def _safety(plan: Plan, child: Child) -> Gate | Child:
    """What was answered at this plan's gate; before that, what is known of the child."""
    return getattr(plan, "gate", None) or child


def _planned_steps(plan: Plan) -> tuple[PlannedStep, ...]:
    said = {step.step_id: step for step in plan.steps.all()}
    return tuple(
        PlannedStep(
            step_id=row.step_id,
            name=row.name,
            cue=row.cue,
            asked=row.step_id in said and said[row.step_id].asked,
            help_level=said[row.step_id].help_level if row.step_id in said else None,
            hazard=row.hazard,
            adult_only=row.adult_only,
        )
        for row in plan.version.steps.all()
    )


def as_gate(gate: Gate) -> SafetyGate:
    """The answers of a gate as the core's value."""
    answers = tuple(
        GateAnswer(question, told.get("yes"), told.get("done", "")) for question, told in gate.answers.items()
    )
    return SafetyGate(
        answers=answers,
        precautions=gate.precautions,
        allergies=gate.allergies,
        stop_signs=lines(gate.stop_signs),
        yes_signs=lines(gate.yes_signs),
        call=gate.call,
    )
