"""Everything of the caseload in a fixed number of queries."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Max, Prefetch, Q, QuerySet

from bylittle.core.advice import Decision
from bylittle.web.people.access import children_of
from bylittle.web.people.models import Child, Person
from bylittle.web.plans.models import Plan
from bylittle.web.plans.queries import draft_plan, plan_rows, signed_plan
from bylittle.web.reviews import shown
from bylittle.web.reviews.advice import advised
from bylittle.web.reviews.models import Carryover
from bylittle.web.skills import parked
from bylittle.web.skills.models import Skill, SkillState, SkillVersion

SHOWN = (SkillState.ACTIVE, SkillState.PAUSED, SkillState.LASTING)

#: What needs her first: danger, then what cannot go on, then what moves a child on, then what can wait.
ORDER = (
    Decision.REFER,
    Decision.PAUSE,
    Decision.STEP_BACK,
    Decision.CHECK_FIDELITY,
    Decision.MOVE_ON,
    Decision.DONE,
    Decision.CHANGE_MATERIAL,
    Decision.FADE_HELP,
    Decision.MORE_DATA,
    Decision.HOLD,
)
DRAFT_WAITS, NO_PLAN, REVIEW_DAYS = 2.5, 5.5, 14


@dataclass(frozen=True, slots=True)
class Need:
    """One child's line of the week: what needs her, why, and how soon."""

    child: Child
    skill: Skill | None
    title: str
    reason: str
    place: float
    advice: shown.Told | None = None
    draft: Plan | None = None
    due: Carryover | None = None
    following: Skill | None = None


def skills_with_all() -> QuerySet[Skill]:
    """Skills with what the advice and the pages read, for any number of skills."""
    versions = SkillVersion.objects.select_related("skill").prefetch_related("steps")
    return (
        Skill.objects.select_related("kept_advice", "child")
        .annotate(last_record=Max("records__id"))
        .prefetch_related(
            Prefetch("plans", plan_rows()),
            Prefetch("versions", versions),
            "reviews",
            "carryovers",
            "fidelity_checks__plan",
            "fidelity_checks__by",
            "child__caregivers",
        )
    )


def week(who: Person, today: date) -> list[Need]:
    """All children whom she sees, the one who needs her most first, each with the reason."""
    shown_skills = skills_with_all().filter(Q(state__in=SHOWN) | ~Q(next_because=""))
    children = children_of(who).prefetch_related(Prefetch("skills", shown_skills, to_attr="shown_skills"))
    needs = [_need(child, today) for child in children]
    return sorted(needs, key=lambda need: (need.place, need.child.name))


def _need(child: Child, today: date) -> Need:
    skills: list[Skill] = child.shown_skills  # type: ignore[attr-defined]
    needs = [need_of(child, skill, today) for skill in skills if skill.state in SHOWN]
    following = parked.next_of(skills)
    if following and not any(skill.state in (SkillState.ACTIVE, SkillState.PAUSED) for skill in skills):
        reason = f"{following.name}: {following.next_because}"
        needs.append(Need(child, None, "Start the next skill", reason, NO_PLAN, following=following))
    if not needs:
        return Need(child, None, "Choose a skill", "No skill is being learned yet.", NO_PLAN)
    return min(needs, key=lambda need: need.place)


def need_of(child: Child, skill: Skill, today: date) -> Need:
    """What one skill needs today."""
    plans = list(skill.plans.all())
    due = next(
        (check for check in skill.carryovers.all() if check.done_on is None and check.due <= today), None
    )
    if skill.state == SkillState.PAUSED:
        return Need(child, skill, "Paused", "Look again together with the family before going on.", 7)
    found = advised(skill, today)
    told = shown.advice(found, child)
    if skill.state == SkillState.LASTING:
        return _lasting(child, skill, due, told, found.decision)
    draft = draft_plan(plans)
    if draft is not None and found.decision not in (Decision.REFER, Decision.PAUSE):
        reason = f"Plan {draft.number} is a draft. It goes home once you sign it."
        return Need(child, skill, "Sign the plan", reason, DRAFT_WAITS, told, draft)
    if signed_plan(plans) is None and found.decision is not Decision.MORE_DATA:
        return Need(child, skill, "Make the plan", "The baseline is there; no plan yet.", NO_PLAN, told)
    return Need(
        child,
        skill,
        told.title,
        told.why[0] if told.why else told.explained,
        ORDER.index(found.decision),
        told,
    )


def _lasting(child: Child, skill: Skill, due: Carryover | None, told: shown.Told, decision: Decision) -> Need:
    if decision is Decision.REFER:
        return Need(child, skill, told.title, told.why[0], ORDER.index(decision), told)
    if due is not None:
        where = f" at {due.place}" if due.place else ""
        reason = f"{skill.name} is learned. A carry-over check{where} was due on {due.due:%-d %B}."
        return Need(child, skill, "Carry-over check due", reason, ORDER.index(Decision.DONE), told, due=due)
    return Need(child, skill, "Lasting", f"{skill.name} is learned; the next check is not due yet.", 9, told)
