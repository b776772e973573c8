"""The page of the skills that wait."""

from __future__ import annotations

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from bylittle.web.people import access
from bylittle.web.people.models import Child
from bylittle.web.skills import parked as line
from bylittle.web.skills.models import Skill, SkillState
from bylittle.web.skills.views import skill_or_404


class NextForm(forms.Form):
    """Why this skill comes next; the reason is never filled in beforehand."""

    because = forms.CharField(
        max_length=200,
        label="Why it comes next",
        error_messages={"required": "Please say why: the family and the next therapist read it."},
    )


@require_GET
def parked(request: HttpRequest, child_id: int) -> HttpResponse:
    """The skills that wait, in their order, and the one that comes next."""
    return _page(request, access.child_or_404(request, child_id))


def _page(request: HttpRequest, child: Child, faulty: Skill | None = None) -> HttpResponse:
    waiting = line.waiting(child)
    context = {
        "child": child,
        "active": child.skills.filter(state=SkillState.ACTIVE).first(),
        "next": line.next_of(waiting),
        "rest": [skill for skill in waiting if not skill.next_because],
        "faulty": faulty,
        "form": NextForm(request.POST if faulty else None, auto_id=False),
    }
    return render(request, "skills/parked.html", context)


@require_POST
def skill_move(request: HttpRequest, skill_id: int) -> HttpResponse:
    """One place earlier (`way=up`) or later in the line."""
    skill = skill_or_404(request, skill_id)
    access.signer(request)
    line.move(skill, up=request.POST.get("way") == "up")
    return redirect("parked", skill.child_id)


@require_POST
def skill_next(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Mark a parked skill as the one that comes next, with the reason; `clear` takes the mark away."""
    skill = skill_or_404(request, skill_id)
    access.signer(request)
    if "clear" in request.POST:
        line.mark_next(skill, "")
        messages.success(request, "No skill is marked as next.")
        return redirect("parked", skill.child_id)
    if skill.state != SkillState.PARKED:
        messages.info(request, f"{skill.name} does not wait: only a parked skill comes next.")
        return redirect("parked", skill.child_id)
    form = NextForm(request.POST)
    if not form.is_valid():
        return _page(request, skill.child, skill)
    line.mark_next(skill, form.cleaned_data["because"])
    messages.success(request, f"{skill.name} comes next.")
    return redirect("parked", skill.child_id)
