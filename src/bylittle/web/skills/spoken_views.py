"""The pages about what each adult says."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bylittle.web.people import access, kept_forms
from bylittle.web.skills import spoken
from bylittle.web.skills.models import Skill
from bylittle.web.skills.queries import latest_version
from bylittle.web.skills.spoken_forms import SpokenForm
from bylittle.web.skills.views import skill_or_404


@require_GET
def said(request: HttpRequest, skill_id: int) -> HttpResponse:
    """What the adults say beside the agreed words, step by step."""
    skill = skill_or_404(request, skill_id)
    told = spoken.said_of(skill)
    known = {row.adult.casefold() for row in told.adults}
    context = {
        "skill": skill,
        "child": skill.child,
        "told": told,
        "languages": spoken.LANGUAGE_NAMES,
        "unasked": [name for name in spoken.adults_of(skill.child) if name.casefold() not in known],
        "several": len({row.language for row in told.adults}) > 1,
    }
    return render(request, "skills/said.html", context)


@require_http_methods(["GET", "POST"])
def said_write(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Write down what one adult says; `?who=` names the adult."""
    skill = skill_or_404(request, skill_id)
    adult = request.GET.get("who", "").strip()[:40]
    steps = spoken.taught(latest_version(skill))
    there = spoken.of_adult(skill, adult) if adult else None
    form = SpokenForm(skill, steps, adult, there, kept_forms.typed(request))
    if request.method == "POST" and form.is_valid():
        kept = _keep(request, skill, form)
        messages.success(request, f"Kept. What {kept} says stands beside the agreed words.")
        return redirect("said", skill.pk)
    cues = {row.step_id: spoken.agreed_cue(row, form.shown_language) for row in steps}
    context = {"skill": skill, "child": skill.child, "form": form, "adult": adult, "cues": cues}
    return render(request, "skills/said_write.html", context)


def _keep(request: HttpRequest, skill: Skill, form: SpokenForm) -> str:
    data = form.cleaned_data
    kept = spoken.keep(
        skill,
        data["adult"],
        data["language"],
        form.words,
        at_visit=data["at_visit"],
        by=access.person(request),
        today=timezone.localdate(),
    )
    return kept.adult


@require_POST
def said_agree(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Agree on words that an adult says: they become the step's cue words."""
    skill = skill_or_404(request, skill_id)
    step = next(
        (each for each in spoken.said_of(skill).steps if each.row.step_id == request.POST.get("step")), None
    )
    chosen = request.POST.get("language", ""), request.POST.get("words", "")
    if step is None or chosen not in step.offers:
        raise Http404
    before = latest_version(skill).number
    after = spoken.agree(skill, step.row.step_id, *chosen)
    told = f"Agreed: “{chosen[1]}”. Tell every adult, and hear it again at the next visit."
    if after.number > before:
        told += " A signed plan and its pages keep the old words until the next plan is signed."
    messages.success(request, told)
    return redirect("said", skill.pk)


@require_POST
def said_note(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Note with the skill that the adults differ, where the advice reads it, or take the note back."""
    skill = skill_or_404(request, skill_id)
    skill.adults_differ = request.POST.get("differ") == "yes"
    skill.save(update_fields=["adults_differ"])
    told = (
        "Noted: the advice weighs that the adults differ."
        if skill.adults_differ
        else "The note is taken back."
    )
    messages.success(request, told)
    return redirect("said", skill.pk)
