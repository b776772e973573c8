"""A child's whole record as one value of the core: what reports tell and exports carry."""

from __future__ import annotations

import json
from collections.abc import Iterable

from django.utils import timezone

from bylittle.core.evidence.agreement import Scorer
from bylittle.core.evidence.child_record import (
    ChildRecord,
    DayRoutine,
    FamilyAdult,
    KeptCheck,
    KeptGoal,
    KeptPlan,
    KeptReview,
    KeptSkill,
    RatedBy,
    Rating,
    ReadinessSeen,
    ReasonGiven,
    RedFlag,
    TaughtVersion,
    TeamAdult,
    Visit,
    Who,
    Written,
)
from bylittle.core.plan.goal import Goal as CoreGoal
from bylittle.core.practice.marks import Source
from bylittle.web.people.models import Child, Person, Service
from bylittle.web.plans.models import Gate, Goal, Plan
from bylittle.web.plans.queries import as_gate, as_home_plan, lines, plans_of
from bylittle.web.practice.models import Record
from bylittle.web.practice.queries import records_from
from bylittle.web.reviews.models import Review
from bylittle.web.skills.models import Skill, SkillVersion
from bylittle.web.skills.queries import as_core


def record_of(child: Child) -> ChildRecord:
    """Everything that is kept of a child, with every correction."""
    return ChildRecord(
        id=str(child.pk),
        child=_who(child),
        adults=tuple(FamilyAdult(adult.name, adult.initials) for adult in child.caregivers.all()),
        team=tuple(TeamAdult(person.shown_name, person.role) for person in child.team.order_by("pk")),
        skills=tuple(_skill(skill) for skill in child.skills.select_related("child")),
        visits=tuple(_visits(child)),
        service=Service.current().name,
        routines=tuple(
            DayRoutine(row.what, row.who, row.place, row.minutes, row.mood) for row in child.routines.all()
        ),
    )


def _who(child: Child) -> Who:
    return Who(
        name=child.name,
        born=child.born,
        due=child.due,
        left_handed=child.left_handed,
        language=child.language,
        precautions=child.precautions,
        allergies=child.allergies,
        stop_signs=lines(child.stop_signs),
        yes_signs=lines(child.yes_signs),
        call=child.call,
        second_language=child.second_language,
        loves=child.loves,
        finds_hard=child.finds_hard,
        wears=child.wears,
        mouths=child.mouths,
    )


def _visits(child: Child) -> Iterable[Visit]:
    for row in child.visits.select_related("by"):
        yield Visit(row.on, row.minutes, row.timed_minutes, row.place, _name(row.by), row.done)


def _name(person: Person | None) -> str:
    return person.shown_name if person else ""


def _skill(skill: Skill) -> KeptSkill:
    return KeptSkill(
        id=str(skill.pk),
        name=skill.name,
        versions=tuple(_versions(skill)),
        library_id=skill.library_id,
        state=skill.state,
        routine=skill.routine,
        breakdown=skill.breakdown,
        adults_differ=skill.adults_differ,
        plans=tuple(_plan(plan) for plan in plans_of(skill)),
        goal=_goal(Goal.objects.filter(skill=skill).prefetch_related("ratings").first()),
        practice=tuple(_practice(skill)),
        reviews=tuple(_review(review) for review in skill.reviews.select_related("by", "plan")),
        checks=tuple(
            KeptCheck(check.due, check.place, check.adult, check.done_on, check.kept, check.note)
            for check in skill.carryovers.all()
        ),
        twice=tuple(
            (
                Scorer(Source(pair.first_source), pair.first_adult),
                Scorer(Source(pair.second_source), pair.second_adult),
            )
            for pair in skill.scored_twice.all()
        ),
        fits_in=skill.fits_in,
        fits_in_note=skill.fits_in_note,
        readiness=tuple(
            ReadinessSeen(seen.item, seen.answer, seen.adaptation) for seen in skill.readiness.all()
        ),
    )


def _versions(skill: Skill) -> Iterable[TaughtVersion]:
    for version in skill.versions.select_related("skill").prefetch_related("steps"):
        yield TaughtVersion(
            steps=as_core(version),
            materials=lines(version.materials),
            grades=tuple(version.grade_names),
            usual_grade=version.usual_grade,
            since=timezone.localdate(version.created),
            translations=_translations(version),
        )


def _translations(version: SkillVersion) -> str:
    steps = {row.step_id: row.translations for row in version.steps.all() if row.translations}
    told = {"whole": version.translations, "steps": steps}
    return json.dumps(told, ensure_ascii=False, sort_keys=True) if steps or version.translations else ""


def _plan(plan: Plan) -> KeptPlan:
    gate: Gate | None = getattr(plan, "gate", None)
    return KeptPlan(
        plan=as_home_plan(plan),
        version=plan.version.number,
        gate=as_gate(gate) if gate else None,
        band=(plan.band_low, plan.band_high),
        signed_by=_name(plan.signed_by),
        signed_on=timezone.localdate(plan.signed_at) if plan.signed_at else None,
        language_check=gate.language_check if gate else "",
    )


def _goal(goal: Goal | None) -> KeptGoal | None:
    if goal is None:
        return None
    ratings = tuple(
        Rating(row.on, row.level, RatedBy(row.rated_by), row.name, row.note) for row in goal.ratings.all()
    )
    told = CoreGoal(goal.statement, goal.levels, goal.baseline_level, goal.by)
    return KeptGoal(told, goal.written_on, ratings)


def _practice(skill: Skill) -> Iterable[Written]:
    rows = list(skill.records.select_related("by", "version", "plan", "imported").order_by("pk"))
    for row, record in zip(rows, records_from(rows), strict=True):
        yield Written(
            record=record,
            version=row.version.number,
            plan=row.plan.number if row.plan else None,
            by=_name(row.by),
            at=row.at,
            file=_file(row),
        )


def _file(row: Record) -> str:
    return row.imported.name if row.imported else ""


def _review(review: Review) -> KeptReview:
    flags = review.red_flags.items()
    return KeptReview(
        on=review.on,
        advised=review.advised,
        decided=review.decided,
        reason=review.reason,
        why=tuple(ReasonGiven(why["code"], json.dumps(why.get("values", {}))) for why in review.advised_why),
        red_flags=tuple(RedFlag(name, told.get("done", "")) for name, told in flags if told.get("yes")),
        plan=review.plan.number if review.plan else None,
        by=review.by.shown_name,
        at=review.at,
    )
