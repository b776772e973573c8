"""This week, and the page of a child."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from bylittle.web.caseload import queries
from bylittle.web.people import access
from bylittle.web.pictures.queries import count_soon
from bylittle.web.pictures.tidy import forget_working_copies
from bylittle.web.plans.models import Goal
from bylittle.web.plans.queries import as_home_plan, draft_plan, signed_plan
from bylittle.web.skills import closing, parked
from bylittle.web.skills.models import Skill, SkillState

_ORDER = {
    state.value: place
    for place, state in enumerate(
        (SkillState.ACTIVE, SkillState.PAUSED, SkillState.LASTING, SkillState.PARKED, SkillState.CLOSED)
    )
}


def _place(skill: Skill) -> tuple[int, bool, int, int]:
    """The skill being learned first, then those that wait in their order, the closed ones last."""
    return (_ORDER[skill.state], *parked.place(skill))


@require_GET
def this_week(request: HttpRequest) -> HttpResponse:
    """Who needs her first, and why."""
    today = timezone.localdate()
    forget_working_copies()
    return render(
        request, "caseload/week.html", {"needs": queries.week(access.person(request), today), "today": today}
    )


@require_GET
def child(request: HttpRequest, child_id: int) -> HttpResponse:
    """One child: the skill being learned, its plan, what is next, and all else that is known."""
    found = access.child_or_404(request, child_id)
    today = timezone.localdate()
    skills = sorted(
        queries.skills_with_all().prefetch_related("closings__by").filter(child=found), key=_place
    )
    goals = {goal.skill_id: goal for goal in Goal.objects.filter(skill__child=found)}
    lines = []
    for skill in skills:
        plans = list(skill.plans.all())
        plan = signed_plan(plans)
        shown = skill.state in queries.SHOWN
        lines.append(
            {
                "skill": skill,
                "need": queries.need_of(found, skill, today) if shown else None,
                "plan": plan,
                "home": as_home_plan(plan) if plan else None,
                "draft": draft_plan(plans),
                "goal": goals.get(skill.pk),
                "steps": list(skill.versions.all())[-1].steps.all(),
                "folded": skill.state in (SkillState.PARKED, SkillState.CLOSED),
                "closing": closing.latest(skill),
                "due": [check for check in skill.carryovers.all() if check.done_on is None],
            }
        )
    context = {"child": found, "lines": lines, "today": today, "caregivers": found.caregivers.all()}
    context["next"] = parked.next_of(skills)
    context["waiting"] = [skill for skill in skills if skill.state == SkillState.PARKED]
    context["free"] = not any(skill.state == SkillState.ACTIVE for skill in skills)
    context["pictures_ending"] = count_soon(found, today)
    return render(request, "caseload/child.html", context)
