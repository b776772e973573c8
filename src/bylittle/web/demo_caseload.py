"""Writing the invented caseload into the records, once: through the same services as the pages."""

from __future__ import annotations

from datetime import date, datetime, time

import numpy as np
from django.db import transaction
from django.utils import timezone

from bylittle import library
from bylittle.core.practice.log import Entry, PracticeLog
from bylittle.demo.load import SEED, caseload
from bylittle.demo.values import CALL, SERVICE, TEAM, Check, DemoChild, PastReview, SignedPlan
from bylittle.web.people.models import Caregiver, Child, Person, Service
from bylittle.web.plans.models import Gate, Goal, Plan, PlanStep
from bylittle.web.practice import services as practice
from bylittle.web.reviews.advice import advised, as_json, setting_of
from bylittle.web.reviews.models import Carryover, Review
from bylittle.web.skills import translations, versions
from bylittle.web.skills.models import Skill, SkillVersion
from bylittle.web.skills.queries import latest_version
from bylittle.workflows.advise_log import advise_log

USERS = tuple(member.user for member in TEAM)
_EVENING = time(17, 30)


@transaction.atomic
def load(password: str) -> None:
    """Make the team and the nine children; nothing where there are people already but the password."""
    if Person.objects.exists():
        _set_password(password)
        return
    team = {
        member.user: _person(member.user, member.first_name, member.last_name, member.role) for member in TEAM
    }
    _set_password(password)
    Service.objects.create(name=SERVICE, call=CALL)
    today = timezone.localdate()
    for child in caseload(today, np.random.default_rng(SEED)):
        advised(_load_child(child, team), today)


def _person(user: str, first: str, last: str, role: str) -> Person:
    return Person.objects.create(username=user, first_name=first, last_name=last, role=role)


def _set_password(password: str) -> None:
    for person in Person.objects.filter(username__in=USERS):
        if not person.check_password(password):
            person.set_password(password)
            person.save(update_fields=["password"])


def _load_child(told: DemoChild, team: dict[str, Person]) -> Skill:
    child = Child.objects.create(
        name=told.name,
        born=told.born,
        left_handed=told.left_handed,
        language=told.language,
        precautions=told.precautions,
        allergies=told.allergies,
        stop_signs="\n".join(told.stop_signs),
        yes_signs="\n".join(told.yes_signs),
        call=told.call,
    )
    child.team.set([team[user] for user in told.team])
    Caregiver.objects.bulk_create(
        Caregiver(child=child, name=adult.name, initials=adult.initials) for adult in told.adults
    )
    return _load_skill(told, child, team)


def _load_skill(told: DemoChild, child: Child, team: dict[str, Person]) -> Skill:
    skill = Skill.objects.create(
        child=child,
        name=told.skill.name,
        library_id=told.skill_id,
        state=told.state,
        routine=told.routine[:120],
        breakdown=told.breakdown,
        adults_differ=told.adults_differ,
    )
    setting = versions.Setting(
        told.skill.mirrored, "\n".join(told.materials), "\n".join(told.grades), told.usual[:80]
    )
    versions.write_version(skill, told.skill.number, told.skill.steps, setting)
    version = latest_version(skill)
    for language in translations.TRANSLATED:
        translations.translate_from(version, library.skill(told.skill_id), language)
    goal = told.goal
    names = ("much_less", "less", "expected", "more", "much_more")
    Goal.objects.create(
        skill=skill,
        statement=goal.statement,
        baseline_level=goal.baseline_level,
        by=goal.by,
        **dict(zip(names, goal.levels, strict=True)),
    )
    plans = [_load_plan(skill, version, plan, team) for plan in told.plans]
    _load_log(skill, version, plans, told.log, team)
    for check in told.checks:
        _load_check(skill, check)
    for review in told.reviews:
        _load_review(skill, version, plans, review, told.log, team)
    return skill


def _load_plan(skill: Skill, version: SkillVersion, told: SignedPlan, team: dict[str, Person]) -> Plan:
    home, signer = told.plan, team[told.signed_by]
    plan = Plan.objects.create(
        skill=skill,
        version=version,
        number=home.number,
        code=home.plan_id,
        chaining=home.chaining,
        order_of_help=home.order_of_help,
        levels=list(home.ladder.names),
        grade=home.grade[:80],
        routine=home.dose.routine[:120],
        turns_per_day=home.dose.turns_per_day,
        days=home.dose.days,
        minutes=home.dose.minutes,
        wait_s=home.wait_s,
        when_it_goes_wrong=home.when_it_goes_wrong,
        praise=home.praise,
        start=home.start,
        signed_by=signer,
        signed_at=_evening(told.signed_on),
        initials=list(home.adults),
    )
    PlanStep.objects.bulk_create(
        PlanStep(plan=plan, step_id=step.step_id, asked=step.asked, help_level=step.help_level)
        for step in home.steps
    )
    gate = told.gate
    Gate.objects.create(
        plan=plan,
        answers={answer.question: {"yes": bool(answer.yes), "done": answer.done} for answer in gate.answers},
        precautions=gate.precautions or "",
        allergies=gate.allergies or "",
        stop_signs="\n".join(gate.stop_signs),
        yes_signs="\n".join(gate.yes_signs),
        call=gate.call,
        answered_by=signer,
        answered_at=_evening(told.signed_on),
    )
    return plan


def _evening(day: date) -> datetime:
    return timezone.make_aware(datetime.combine(day, _EVENING))


def _plan_of(plans: list[Plan], day: date) -> Plan | None:
    begun = [plan for plan in plans if plan.start is not None and plan.start <= day]
    return begun[-1] if begun else None


def _load_log(
    skill: Skill, version: SkillVersion, plans: list[Plan], log: tuple[Entry, ...], team: dict[str, Person]
) -> None:
    by_plan: dict[Plan | None, list[Entry]] = {}
    for entry in log:
        by_plan.setdefault(_plan_of(plans, entry.day), []).append(entry)
    for plan, entries in by_plan.items():
        practice.write(skill, version, entries, by=team["jonah"], plan=plan)


def _load_check(skill: Skill, told: Check) -> None:
    Carryover.objects.create(
        skill=skill,
        due=told.due,
        place=told.place,
        adult=told.adult,
        done_on=told.done_on,
        kept=told.kept,
        note=told.note,
    )


def _load_review(
    skill: Skill,
    version: SkillVersion,
    plans: list[Plan],
    told: PastReview,
    log: tuple[Entry, ...],
    team: dict[str, Person],
) -> None:
    """A past review with what would have been advised from the log as it stood that day."""
    plan = next((plan for plan in plans if plan.number == told.plan_number), None)
    earlier = PracticeLog.of(entry for entry in log if entry.day < told.on)
    found = advise_log(earlier, setting_of(skill, version, plan), told.on)
    Review.objects.create(
        skill=skill,
        plan=plan,
        on=told.on,
        advised=found.decision,
        advised_why=as_json(found)["why"],
        decided=told.decided,
        reason=told.reason,
        red_flags={name: {"yes": True, "done": done} for name, done in told.red_flags.items()},
        by=team[told.by],
    )
