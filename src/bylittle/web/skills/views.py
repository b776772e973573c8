"""Choosing a skill and editing its steps."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from bylittle import library
from bylittle.web.people import access, kept_forms
from bylittle.web.people.models import LANGUAGES
from bylittle.web.skills import ages, cues, queries, services, spoken, translations
from bylittle.web.skills.forms import BlankSkillForm, ReadinessForm, editor_forms
from bylittle.web.skills.languages import WordsForm
from bylittle.web.skills.models import Skill, SkillState


def skill_or_404(request: HttpRequest, skill_id: int) -> Skill:
    """The skill, for one of its child's team."""
    return access.of_child_or_404(request, Skill.objects.select_related("child"), skill_id)


@require_http_methods(["GET", "POST"])
def skill_choose(request: HttpRequest, child_id: int) -> HttpResponse:
    """A ready skill or a blank one."""
    child = access.child_or_404(request, child_id)
    form = BlankSkillForm(kept_forms.typed(request) if "ready" not in request.POST else None)
    if request.method == "POST":
        if "ready" in request.POST:
            ready = queries.ready_skill(request.POST["ready"])
            if ready is None:
                raise Http404
            return redirect("skill_steps", services.start_from_ready(child, ready).pk)
        if form.is_valid():
            return redirect("skill_steps", services.start_blank(child, form.cleaned_data["name"]).pk)
    areas = [
        (area, [(ready, ages.told_range(ready.ages)) for ready in several])
        for area, several in queries.ready_skills_by_area()
    ]
    return render(request, "skills/choose.html", {"child": child, "areas": areas, "form": form})


@require_http_methods(["GET", "POST"])
def skill_steps(request: HttpRequest, skill_id: int) -> HttpResponse:
    """The editor: steps in order, cue words, done-when, cautions, who does what."""
    skill = skill_or_404(request, skill_id)
    version = queries.latest_version(skill)
    about, rows = editor_forms(kept_forms.typed(request), version)
    if request.method == "POST" and about.is_valid() and rows.is_valid():
        name, steps, origins = about.cleaned_data["name"], rows.kept_steps(), rows.origins()
        after = services.change_steps(skill, name, steps, about.setting, origins)
        services.set_circumstances(skill, about.cleaned_data)
        if after.number > version.number:
            messages.info(
                request,
                f"Kept as version {after.number}: earlier practice stays with the steps it was made with.",
            )
        if "more" in request.POST:
            return redirect("skill_steps", skill.pk)
        return redirect("child", skill.child_id)
    if about.is_bound and not (about.is_valid() and rows.is_valid()):
        messages.error(
            request, "Not saved yet: please look at the places marked below. What you typed is all here."
        )
    hints = cues.hints(version)
    for step in spoken.said_of(skill).steps:
        hints.setdefault(step.row.step_id, []).extend(step.hints)
    return render(
        request,
        "skills/steps.html",
        {
            "skill": skill,
            "child": skill.child,
            "version": version,
            "about": about,
            "rows": rows,
            "hints": hints,
        },
    )


def _closed(request: HttpRequest, skill: Skill) -> bool:
    """True, and told, for a closed skill: a therapist takes it up again from the child's page."""
    if skill.state == SkillState.CLOSED:
        messages.info(request, f"{skill.name} is closed. A therapist takes it up again from here.")
    return skill.state == SkillState.CLOSED


@require_POST
def skill_activate(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Take a parked or paused skill up; the one being learned is parked."""
    skill = skill_or_404(request, skill_id)
    if _closed(request, skill):
        return redirect("child", skill.child_id)
    services.make_active(skill)
    messages.success(request, f"{skill.name} is the skill being learned now.")
    return redirect("child", skill.child_id)


@require_POST
def skill_park(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Park a skill: nothing of it is lost."""
    skill = skill_or_404(request, skill_id)
    if _closed(request, skill):
        return redirect("child", skill.child_id)
    services.set_state(skill, SkillState.PARKED)
    messages.success(request, f"{skill.name} is parked. All of it is kept.")
    return redirect("child", skill.child_id)


@require_http_methods(["GET", "POST"])
def readiness(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Body awareness first: what is ready, what is ready with an adaptation, what is not yet."""
    skill = skill_or_404(request, skill_id)
    form = ReadinessForm(skill, queries.readiness_items(skill), kept_forms.typed(request))
    if request.method == "POST" and form.is_valid():
        services.keep_readiness(skill, form.answers)
        messages.success(request, "Kept. The adaptations stand beside the plan.")
        return redirect("child", skill.child_id)
    warmups = [game for game in library.warmups() if skill.library_id in game.prepares]
    context = {
        "skill": skill,
        "child": skill.child,
        "form": form,
        "warmups": warmups,
        "ages": ages.of_skill(skill),
        "around": ages.around(skill.child, timezone.localdate()),
    }
    return render(request, "skills/readiness.html", context)


@require_http_methods(["GET", "POST"])
def skill_words(request: HttpRequest, skill_id: int, language: str) -> HttpResponse:
    """The family's words in another language, side by side."""
    skill = skill_or_404(request, skill_id)
    if language not in translations.TRANSLATED:
        raise Http404
    version = queries.latest_version(skill)
    form = WordsForm(version, language, kept_forms.typed(request))
    if request.method == "POST" and form.is_valid():
        after = translations.translate(skill, language, form.whole, form.steps)
        if after.number > version.number:
            messages.info(request, f"Kept as version {after.number}: signed plans print as they were.")
        messages.success(request, "The words are kept.")
        return redirect("child", skill.child_id)
    name = dict(LANGUAGES)[language]
    context = {"skill": skill, "child": skill.child, "form": form, "language": language, "name": name}
    return render(request, "skills/words.html", context)
