"""The nine invented children as they stand on the day the demo is loaded."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from bylittle import library
from bylittle.core.plan.gate import GateAnswer, SafetyGate
from bylittle.core.plan.goal import Goal
from bylittle.core.plan.home_plan import Dose, HomePlan, PlannedStep, StopRule
from bylittle.core.skill.ladder import DEFAULT_LADDER
from bylittle.core.skill.steps import SkillVersion, Step
from bylittle.demo.children import SKETCHES
from bylittle.demo.seen import coaching_of, looks_of, screens_of, spoken_of
from bylittle.demo.simulator import Course, Practice, simulate
from bylittle.demo.sketch import ChildSketch, PlanSketch
from bylittle.demo.values import CALL, Check, DemoChild, PastReview, SignedPlan
from bylittle.library.skill import Skill

SEED = 20260302
"""Seed of the generator that the demo is loaded with; any other gives other marks of the same children."""


def caseload(today: date, chance: np.random.Generator) -> tuple[DemoChild, ...]:
    """The children with their logs up to yesterday. Each child has a stream of chance of her own."""
    streams = chance.spawn(len(SKETCHES))
    return tuple(child_of(sketch, today, own) for sketch, own in zip(SKETCHES, streams, strict=True))


def child_of(sketch: ChildSketch, today: date, chance: np.random.Generator) -> DemoChild:
    """One child from her sketch."""
    ready = library.skill(sketch.skill_id)
    skill = skill_version(ready, sketch.left_handed)
    birthday = born(today, *sketch.age)
    plans = tuple(_plan(sketch, number, ready, skill, today) for number in range(1, len(sketch.plans) + 1))
    grades = {grade.id: str(grade.name) for grade in ready.grades}
    return DemoChild(
        name=sketch.name,
        born=birthday,
        skill_id=sketch.skill_id,
        skill=skill,
        expected=sketch.expected,
        course=sketch.course,
        adults=sketch.adults,
        team=sketch.team,
        goal=_goal(sketch, today),
        plans=plans,
        reviews=_reviews(sketch, today),
        checks=_checks(sketch, today),
        log=simulate(_course(sketch, skill, grades), today, chance),
        precautions=sketch.precautions,
        allergies=sketch.allergies,
        stop_signs=sketch.stop_signs,
        yes_signs=sketch.yes_signs,
        routine=str(ready.routine),
        grades=tuple(grades.values()),
        usual=next(str(grade.name) for grade in ready.grades if grade.usual),
        materials=tuple(str(material.name) for material in ready.materials),
        breakdown=sketch.breakdown,
        adults_differ=sketch.adults_differ,
        state=sketch.state,
        left_handed=sketch.left_handed,
        language=sketch.language,
        mouths=sketch.mouths,
        coaching=coaching_of(sketch, plans, today),
        looks=looks_of(sketch, today),
        screens=screens_of(sketch, birthday, today),
        spoken=spoken_of(sketch, today),
    )


def skill_version(ready: Skill, mirrored: bool = False) -> SkillVersion:
    """The first version of a child's steps: the ready skill as it is."""
    steps = tuple(
        Step(
            id=step.id,
            name=str(step.name),
            cue=str(step.cue),
            done_when=str(step.done_when),
            adult_only=step.by == "adult",
            hazard=str(step.hazard or ""),
        )
        for step in ready.steps
    )
    return SkillVersion(1, str(ready.name), steps, mirrored)


def born(today: date, years: int, months: int) -> date:
    """A birthday in the middle of the month that makes this age, so that it holds for the weeks to come."""
    day = today - timedelta(days=10)
    whole = day.year * 12 + day.month - 1 - years * 12 - months
    return date(whole // 12, whole % 12 + 1, min(day.day, 28))


def _plan(sketch: ChildSketch, number: int, ready: Skill, skill: SkillVersion, today: date) -> SignedPlan:
    told = sketch.plans[number - 1]
    start = today + timedelta(days=told.start)
    plan = HomePlan(
        plan_id=sketch.code,
        number=number,
        skill_name=skill.name,
        steps=tuple(_planned(step, told) for step in skill.steps),
        chaining=sketch.chaining,
        dose=Dose(turns_per_day=told.turns, routine=str(ready.routine)),
        stop_rule=StopRule(sketch.stop_signs, sketch.yes_signs, call=CALL),
        grade=_grade_name(ready, told.grade),
        materials=tuple(str(material.name) for material in ready.materials),
        precautions=(sketch.precautions, sketch.allergies),
        when_it_goes_wrong=sketch.when_it_goes_wrong,
        praise=sketch.praise,
        adults=tuple(adult.initials for adult in sketch.adults),
        child=sketch.name,
        start=start,
        mirrored=sketch.left_handed,
        language=sketch.language,
    )
    return SignedPlan(plan, _gate(sketch), signed_on=start)


def _planned(step: Step, told: PlanSketch) -> PlannedStep:
    level = told.asked.get(step.id)
    return PlannedStep(
        step_id=step.id,
        name=step.name,
        cue=step.cue,
        asked=level is not None,
        help_level=None if level is None else DEFAULT_LADDER.index(level),
        hazard=step.hazard,
        adult_only=step.adult_only,
    )


def _grade_name(ready: Skill, wanted: str) -> str:
    return next(str(grade.name) for grade in ready.grades if grade.id == wanted)


def _gate(sketch: ChildSketch) -> SafetyGate:
    """The gate as the therapist answered it with the family before the plan was signed."""
    answers = tuple(GateAnswer(flag.id, yes=False) for flag in library.red_flags())
    return SafetyGate(
        answers, sketch.precautions, sketch.allergies, sketch.stop_signs, sketch.yes_signs, CALL
    )


def _goal(sketch: ChildSketch, today: date) -> Goal:
    by = today + timedelta(days=sketch.goal.by)
    return Goal(sketch.goal.statement, sketch.goal.levels, baseline_level=-2, by=by)


def _reviews(sketch: ChildSketch, today: date) -> tuple[PastReview, ...]:
    return tuple(
        PastReview(
            on=today + timedelta(days=told.on),
            decided=told.decided,
            reason=told.reason,
            plan_number=_plan_on(sketch.plans, told.on),
            red_flags=told.red_flags,
        )
        for told in sketch.reviews
    )


def _plan_on(plans: Sequence[PlanSketch], day: int) -> int | None:
    """The plan that a review on `day` looks back on; None before the first."""
    begun = [number for number, plan in enumerate(plans, start=1) if plan.start < day]
    return begun[-1] if begun else None


def _checks(sketch: ChildSketch, today: date) -> tuple[Check, ...]:
    return tuple(
        Check(
            due=today + timedelta(days=told.due),
            place=told.place,
            adult=told.adult,
            done_on=None if told.done is None else today + timedelta(days=told.done),
            kept=told.kept,
            note=told.note,
        )
        for told in sketch.checks
    )


def _course(sketch: ChildSketch, skill: SkillVersion, grades: dict[str, str]) -> Course:
    steps = tuple(None if step.adult_only else step.id for step in skill.steps)
    ends = [plan.start - 1 for plan in sketch.plans[1:]] + [-1]
    practice = tuple(
        Practice(
            first=plan.start,
            last=plan.last if plan.last is not None else end,
            asked={skill.position(step): DEFAULT_LADDER.index(level) for step, level in plan.asked.items()},
            adults=tuple(adult.initials for adult in sketch.adults),
            share=plan.share,
            turns=plan.turns,
            source=plan.source,
            place=plan.place,
            grade=grades[plan.grade],
        )
        for plan, end in zip(sketch.plans, ends, strict=False)
    )
    return Course(sketch.learner, steps, practice, sketch.probes)
