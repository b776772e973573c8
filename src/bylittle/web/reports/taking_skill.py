"""One skill of a record into the database: its versions, plans, goal, and all that was seen and decided."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date, datetime, time

from django.utils import timezone

from bylittle.core.evidence import child_record as kept
from bylittle.core.evidence.kept_parts import KeptFile
from bylittle.web.people.models import Child
from bylittle.web.plans.models import Gate, Goal, GoalRating, Plan, PlanStep
from bylittle.web.practice.models import FidelityCheck, ScoredTwice
from bylittle.web.reports import sound
from bylittle.web.reports.hands import Found, as_typed
from bylittle.web.reports.taking_practice import take_hindrances, take_practice, take_scans
from bylittle.web.reviews.models import Carryover, Review
from bylittle.web.skills.models import (
    BreakdownLook,
    Closing,
    MaterialScreen,
    ReadinessAnswer,
    Skill,
    SkillVersion,
    SpokenWords,
    StepRow,
)

#: The hour of what is only known by its day.
EVENING = time(17, 30)


def take_skill(child: Child, told: kept.KeptSkill, people: Found, files: Mapping[str, KeptFile]) -> Skill:
    """The skill's rows."""
    skill = sound.kept(
        Skill(
            child=child,
            name=told.name,
            library_id=told.library_id,
            state=told.state,
            routine=told.routine,
            breakdown=told.breakdown,
            adults_differ=told.adults_differ,
            fits_in=told.fits_in,
            fits_in_note=told.fits_in_note,
            waits_at=told.waits_at,
            next_because=told.next_because,
            created=told.made_at or timezone.now(),
        )
    )
    versions = {version.steps.number: _version(skill, version) for version in told.versions}
    plans = {plan.plan.number: _plan(skill, versions[plan.version], plan, people) for plan in told.plans}
    _goal(skill, told.goal)
    records = take_practice(skill, told, versions, plans, people)
    take_scans(told, plans, records, people, files)
    take_hindrances(told, skill, plans, people)
    _decided(skill, told, plans, people)
    _seen(skill, told, plans, people)
    return skill


def _version(skill: Skill, told: kept.TaughtVersion) -> SkillVersion:
    words = json.loads(told.translations) if told.translations else {}
    since = _at(told.since) if told.since is not None else timezone.now()
    version = sound.kept(
        SkillVersion(
            skill=skill,
            number=told.steps.number,
            mirrored=told.steps.mirrored,
            usual_grade=told.usual_grade,
            translations=words.get("whole", {}),
            origins=json.loads(told.origins) if told.origins else {},
            created=told.made_at or since,
            **as_typed(told.typed, {"materials": told.materials, "grades": told.grades}),
        )
    )
    said = words.get("steps", {})
    rows = [
        StepRow(
            version=version,
            position=position,
            step_id=step.id,
            name=step.name,
            cue=step.cue,
            done_when=step.done_when,
            hazard=step.hazard,
            adult_only=step.adult_only,
            translations=said.get(step.id, {}),
        )
        for position, step in enumerate(told.steps.steps)
    ]
    sound.check(rows)
    StepRow.objects.bulk_create(rows)
    return version


def _at(day: date) -> datetime:
    return timezone.make_aware(datetime.combine(day, EVENING))


def _plan(skill: Skill, version: SkillVersion, told: kept.KeptPlan, people: Found) -> Plan:
    home = told.plan
    on = told.signed_at or (_at(told.signed_on) if told.signed_on else None)
    initials = home.adults if told.initials is None and told.signed else told.initials or ()
    plan = sound.kept(
        Plan(
            skill=skill,
            version=version,
            number=home.number,
            code=home.plan_id,
            chaining=home.chaining,
            leap_ahead=home.leap_ahead,
            order_of_help=home.order_of_help,
            procedure=told.procedure,
            levels=list(home.ladder.names),
            grade=home.grade,
            routine=home.dose.routine,
            turns_per_day=home.dose.turns_per_day,
            days=home.dose.days,
            minutes=home.dose.minutes,
            wait_s=home.wait_s,
            when_it_goes_wrong=home.when_it_goes_wrong,
            praise=home.praise,
            bad_days=told.bad_days,
            start=home.start,
            band_low=told.band[0],
            band_high=told.band[1],
            signed_by=people.somebody(told.signed_by) if told.signed else None,
            signed_at=on if told.signed else None,
            initials=list(initials),
            copies=json.loads(told.copies_json),
        )
    )
    if told.made_at is not None:
        Plan.objects.filter(pk=plan.pk).update(created=told.made_at)
    rows = [
        PlanStep(plan=plan, step_id=step.step_id, asked=step.asked, help_level=step.help_level)
        for step in home.steps
    ]
    sound.check(rows)
    PlanStep.objects.bulk_create(rows)
    _gate(plan, told, people)
    return plan


def _gate(plan: Plan, told: kept.KeptPlan, people: Found) -> None:
    gate = told.gate
    if gate is None:
        return
    sound.kept(
        Gate(
            plan=plan,
            answers={answer.question: {"yes": answer.yes, "done": answer.done} for answer in gate.answers},
            precautions=gate.precautions or "",
            allergies=gate.allergies or "",
            call=gate.call,
            language_check=told.language_check,
            answered_by=people.somebody(told.gate_by or told.signed_by),
            answered_at=told.gate_at or plan.signed_at or timezone.now(),
            **as_typed(told.typed, {"stop_signs": gate.stop_signs, "yes_signs": gate.yes_signs}),
        )
    )


def _goal(skill: Skill, told: kept.KeptGoal | None) -> None:
    if told is None:
        return
    names = ("much_less", "less", "expected", "more", "much_more")
    goal = sound.kept(
        Goal(
            skill=skill,
            statement=told.goal.statement,
            baseline_level=told.goal.baseline_level,
            by=told.goal.by,
            written_on=told.written_on or timezone.localdate(),
            **dict(zip(names, told.goal.levels, strict=True)),
        )
    )
    for rating in told.ratings:
        said = {"rated_by": rating.by, "name": rating.name, "note": rating.note}
        sound.kept(GoalRating(goal=goal, on=rating.on, level=rating.level, **said))


def _decided(skill: Skill, told: kept.KeptSkill, plans: Mapping[int, Plan], people: Found) -> None:
    for review in told.reviews:
        row = Review(
            skill=skill,
            plan=plans[review.plan] if review.plan is not None else None,
            on=review.on,
            advised=review.advised,
            advised_why=[{"code": why.code, "values": json.loads(why.values)} for why in review.why],
            decided=review.decided,
            reason=review.reason,
            red_flags={flag.question: {"yes": flag.yes, "done": flag.done} for flag in review.red_flags},
            by=people.somebody(review.by),
        )
        row.at = review.at or row.at
        sound.kept(row)
    for check in told.checks:
        due = {"due": check.due, "place": check.place, "adult": check.adult}
        done = {"done_on": check.done_on, "kept": check.kept, "note": check.note}
        sound.kept(Carryover(skill=skill, **due, **done))
    for closing in told.closings:
        why = {"on": closing.on, "reason": closing.reason, "tried": closing.tried}
        again = {"reopened_on": closing.reopened_on, "reopened_by": people.named(closing.reopened_by)}
        sound.kept(Closing(skill=skill, by=people.named(closing.by), **why, **again))


def _seen(skill: Skill, told: kept.KeptSkill, plans: Mapping[int, Plan], people: Found) -> None:
    for one, other in told.twice:
        pair = {"first_source": one.source, "first_adult": one.adult}
        sound.kept(ScoredTwice(skill=skill, second_source=other.source, second_adult=other.adult, **pair))
    for ready in told.readiness:
        answer = {"item": ready.item, "answer": ready.answer, "adaptation": ready.adaptation}
        sound.kept(ReadinessAnswer(skill=skill, **answer))
    for look in told.looks:
        pointed = {"seen": list(look.seen), "strength": look.strength, "kind": look.kind}
        sound.kept(BreakdownLook(skill=skill, on=look.on, by=people.named(look.by), **pointed))
    for check in told.coaching:
        seen = {"on": check.on, "adult": check.adult, "seen": check.answers(), "note": check.note}
        by = people.named(check.by)
        sound.kept(FidelityCheck(skill=skill, plan=plans[check.plan], by=by, **seen))
    for heard in told.spoken:
        said = {"on": heard.on, "language": heard.language, "words": dict(heard.words)}
        who = {"adult": heard.adult, "at_visit": heard.at_visit, "by": people.named(heard.by)}
        sound.kept(SpokenWords(skill=skill, **said, **who))
    for screen in told.screens:
        sound.kept(
            MaterialScreen(
                skill=skill,
                name=screen.name,
                on=screen.on,
                by=people.named(screen.by),
                thing=json.loads(screen.thing_json),
                food_allergy=screen.food_allergy,
                swallow_concern=screen.swallow_concern,
                mouths=screen.mouths,
                age_months=screen.age_months,
                strict=screen.strict,
                verdict=screen.verdict,
                findings=json.loads(screen.findings_json),
                left_out_on=screen.left_out_on,
            )
        )
