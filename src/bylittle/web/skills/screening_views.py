"""The pages of the materials screen."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from bylittle import library
from bylittle.core.faults import Fault
from bylittle.web.people import access, kept_forms
from bylittle.web.people.faults import told_all
from bylittle.web.skills import screening
from bylittle.web.skills.models import MaterialScreen, Skill
from bylittle.web.skills.queries import latest_version
from bylittle.web.skills.things import ThingForm
from bylittle.web.skills.views import skill_or_404


@require_http_methods(["GET", "POST"])
def materials(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Hold a thing against the rules for this child; what was found is kept with its date."""
    skill = skill_or_404(request, skill_id)
    form, today = ThingForm(kept_forms.typed(request)), timezone.localdate()
    if request.method == "POST" and form.is_valid() and _kept(request, skill, form):
        return redirect("materials", skill.pk)
    age = screening.age_of(skill.child, today)
    context = {
        "skill": skill,
        "child": skill.child,
        "form": form,
        "age": age,
        "version": latest_version(skill),
        "screens": [screening.told(row, today) for row in screening.of_skill(skill)],
        "closing": library.screen_words().closing,
    }
    return render(request, "skills/materials.html", context)


def _kept(request: HttpRequest, skill: Skill, form: ThingForm) -> bool:
    """Keep the screen, or say what the record says that cannot be."""
    if screening.age_of(skill.child, timezone.localdate()).doubtful:
        messages.error(
            request, "Nothing was kept: the due date does not fit the birthday. Put it right first."
        )
        return False
    try:
        screening.keep(
            skill,
            form.cleaned_data["name"],
            form.thing,
            allergy=form.allergy,
            swallowing=form.swallowing,
            by=access.person(request),
            today=timezone.localdate(),
        )
    except Fault as fault:
        for told in told_all(fault):
            messages.error(request, f"Nothing was kept. {told.what} {told.mend}")
        return False
    messages.success(request, "Screened and kept. What was found stands first.")
    return True


@require_POST
def leave_out(request: HttpRequest, screen_id: int) -> HttpResponse:
    """The thing is left out of practice: its caution no longer stands beside the plan."""
    rows = MaterialScreen.objects.select_related("skill__child")
    row = access.of_child_or_404(request, rows, screen_id, "skill__child")
    screening.leave_out(row, timezone.localdate())
    messages.success(request, f"{row.name} is left out. What was found stays in the record.")
    return redirect("materials", row.skill_id)
