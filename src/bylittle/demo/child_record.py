"""A child of the demo as one record, the way the program keeps it: for examples, benchmarks and tests."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np

from bylittle.core.evidence.child_record import (
    ChildRecord,
    FamilyAdult,
    KeptCheck,
    KeptGoal,
    KeptPlan,
    KeptReview,
    KeptSkill,
    Rating,
    RedFlag,
    TaughtVersion,
    TeamAdult,
    Visit,
    Who,
    Written,
)
from bylittle.demo.children.wren import WREN
from bylittle.demo.load import child_of
from bylittle.demo.sketch import CheckSketch, baseline, probes
from bylittle.demo.values import SERVICE, TEAM, DemoChild, PastReview, SignedPlan

VISIT_MINUTES = 45


def child_record(told: DemoChild, number: int = 1, *, visited: bool = True) -> ChildRecord:
    """Everything of a demo child; `number` is her id. Each therapist's probe or review was a visit.

    `visited`: with those visits, and the goal rated at the first of them; the caseload that the demo begins
    with has neither.
    """
    team = {member.user: f"{member.first_name} {member.last_name}" for member in TEAM}
    roles = {member.user: member.role for member in TEAM}
    return ChildRecord(
        id=str(number),
        child=_who(told),
        adults=tuple(FamilyAdult(adult.name, adult.initials) for adult in told.adults),
        team=tuple(TeamAdult(team[user], roles[user]) for user in told.team),
        skills=(_skill(told, number, team, visited),),
        visits=_visits(told, team["ines"]) if visited else (),
        service=SERVICE,
    )


def _who(told: DemoChild) -> Who:
    return Who(
        name=told.name,
        born=told.born,
        left_handed=told.left_handed,
        language=told.language,
        precautions=told.precautions,
        allergies=told.allergies,
        stop_signs=told.stop_signs,
        yes_signs=told.yes_signs,
        call=told.call,
        mouths=told.mouths,
    )


def _skill(told: DemoChild, number: int, team: dict[str, str], visited: bool) -> KeptSkill:
    first = min((entry.day for entry in told.log), default=None) if visited else None
    version = TaughtVersion(told.skill, told.materials, told.grades, told.usual, first)
    return KeptSkill(
        id=str(number),
        name=told.skill.name,
        versions=(version,),
        library_id=told.skill_id,
        state=told.state,
        routine=told.routine,
        breakdown=told.breakdown,
        adults_differ=told.adults_differ,
        plans=tuple(_plan(plan, team) for plan in told.plans),
        goal=_goal(told, first, team["ines"]),
        practice=tuple(Written(e, 1, _plan_number(told, e.day), team["jonah"]) for e in told.log),
        reviews=tuple(_review(review, team) for review in told.reviews),
        checks=tuple(KeptCheck(c.due, c.place, c.adult, c.done_on, c.kept, c.note) for c in told.checks),
        coaching=told.coaching,
        looks=told.looks,
        screens=told.screens,
        spoken=told.spoken,
    )


def _plan(told: SignedPlan, team: dict[str, str]) -> KeptPlan:
    signer = team[told.signed_by]
    return KeptPlan(told.plan, 1, told.gate, signed_by=signer, signed_on=told.signed_on)


def _plan_number(told: DemoChild, day: date) -> int | None:
    begun = [each.plan.number for each in told.plans if each.plan.start and each.plan.start <= day]
    return max(begun, default=None)


def _goal(told: DemoChild, first: date | None, therapist: str) -> KeptGoal:
    """The goal rated once before teaching, where its baseline level is told."""
    level = told.goal.baseline_level
    if first is None or level is None:
        return KeptGoal(told.goal, first)
    return KeptGoal(told.goal, first, (Rating(first, level, name=therapist),))


def _review(told: PastReview, team: dict[str, str]) -> KeptReview:
    flags = tuple(RedFlag(question, done) for question, done in told.red_flags.items())
    decided = str(told.decided)
    return KeptReview(
        on=told.on,
        advised=decided,
        decided=decided,
        reason=told.reason,
        red_flags=flags,
        plan=told.plan_number,
        by=team[told.by],
    )


def _visits(told: DemoChild, therapist: str) -> tuple[Visit, ...]:
    probed = {entry.day for entry in told.log if entry.source.observed}
    days = sorted(probed | {review.on for review in told.reviews})
    done = f"Probe of {told.skill.name.lower()} and coaching of the adults."
    return tuple(Visit(day, VISIT_MINUTES, 38, "home", therapist, done) for day in days)


def long_record(today: date, chance: np.random.Generator, weeks: int = 26) -> ChildRecord:
    """Wren practising for `weeks` weeks: the longest report has to tell of a record like this."""
    first = -7 * weeks
    plans = tuple(
        replace(WREN.plans[place], start=first + 8 + place * (7 * weeks - 8) // 3) for place in range(3)
    )
    probed = (*baseline(first, first + 3, first + 6), *probes(*range(first + 21, 0, 14)))
    reviews = tuple(
        replace(WREN.reviews[place % 2], on=on) for place, on in enumerate(range(first + 22, 0, 14))
    )
    checks = (CheckSketch(-3, "nursery", "M", done=-3, kept=True), CheckSketch(11, "Grandma's"))
    sketch = replace(WREN, plans=plans, probes=probed, reviews=reviews, checks=checks)
    return child_record(child_of(sketch, today, chance))
