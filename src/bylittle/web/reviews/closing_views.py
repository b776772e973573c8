"""Closing a skill and taking it up again: a therapist decides, and the history shows it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from bylittle import library
from bylittle.core.plan.home_plan import HomePlan
from bylittle.library.wording.advice import decision_title
from bylittle.web.people import access, kept_forms
from bylittle.web.plans.queries import as_home_plan, plans_of
from bylittle.web.skills import closing
from bylittle.web.skills.models import Skill, SkillState
from bylittle.web.skills.views import skill_or_404


@require_http_methods(["GET", "POST"])
def skill_close(request: HttpRequest, skill_id: int) -> HttpResponse:
    """An honest close, with what was tried beside it."""
    skill = skill_or_404(request, skill_id)
    who = access.signer(request)
    if skill.state == SkillState.CLOSED:
        messages.info(request, f"{skill.name} is closed already.")
        return redirect("child", skill.child_id)
    form = closing.CloseForm(kept_forms.typed(request))
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        closing.close(skill, data["reason"], data["tried"], by=who, today=timezone.localdate())
        messages.success(request, f"{skill.name} is closed. All of it is kept; it can be taken up again.")
        return redirect("child", skill.child_id)
    context = {"skill": skill, "child": skill.child, "form": form, "words": _words(skill.child.language)}
    return render(request, "reviews/close.html", context | _tried(skill))


def _words(language: str) -> list[str]:
    return [question.name.text(language) for question in library.talk() if question.part == "close"]


def _tried(skill: Skill) -> dict[str, object]:
    """The signed plans and the decisions, to write from."""
    told = [(plan, as_home_plan(plan)) for plan in plans_of(skill) if plan.signed]
    changed = len({_challenge(home) for _, home in told}) > 1
    decided = [(review.on, decision_title(review.decided)) for review in skill.reviews.all()]
    return {"tried": told, "decided": decided, "changed": changed}


def _challenge(home: HomePlan) -> tuple[object, ...]:
    """What an honest change would change: the steps that are asked, the help and its order, the material."""
    asked = tuple((step.step_id, step.help_level) for step in home.asked)
    return home.chaining, home.order_of_help, home.procedure, home.grade, home.dose, home.wait_s, asked


@require_POST
def skill_reopen(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Take a closed skill up again."""
    skill = skill_or_404(request, skill_id)
    who = access.signer(request)
    if skill.state != SkillState.CLOSED:
        messages.info(request, f"{skill.name} is not closed.")
        return redirect("child", skill.child_id)
    state = closing.reopen(skill, by=who, today=timezone.localdate())
    told = (
        "the skill being learned now" if state == SkillState.ACTIVE else "parked: another one is learned now"
    )
    messages.success(request, f"{skill.name} is taken up again; it is {told}.")
    return redirect("child", skill.child_id)
