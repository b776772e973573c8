"""The page where an adult's practice is held against the signed plan."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from bylittle import library
from bylittle.web.people import access, kept_forms
from bylittle.web.plans.queries import as_home_plan, plans_of, signed_plan
from bylittle.web.practice import coaching, fidelity, pictures
from bylittle.web.skills.views import skill_or_404


@require_http_methods(["GET", "POST"])
def check(request: HttpRequest, skill_id: int) -> HttpResponse:
    """The checklist of the signed plan for one adult, with what earlier checks showed."""
    skill = skill_or_404(request, skill_id)
    plans = plans_of(skill)
    plan = signed_plan(plans)
    if plan is None:
        messages.info(request, "The checklist is made from the signed plan, and there is none yet.")
        return redirect("child", skill.child_id)
    home = as_home_plan(plan)
    items = fidelity.checklist(home)
    form = coaching.CheckForm(items, skill.child, kept_forms.typed(request), home.asked)
    if request.method == "POST" and form.is_valid():
        kept = coaching.keep(skill, plan, form, access.person(request))
        told = round(100 * (fidelity.share(kept.seen) or 0))
        messages.success(request, f"Kept: {told} % of what was seen was as planned.")
        return redirect("coaching", skill.pk)
    shown = coaching.coaching_of(skill)
    context = {
        "skill": skill,
        "child": skill.child,
        "plan": plan,
        "form": form,
        "coaching": shown,
        "picture": pictures.of_coaching(shown, plans, skill.name, timezone.localdate()),
        "trends": [(adult, fidelity.trend(adult)) for adult in shown.adults],
        "checks": sorted(
            ((adult.name, each) for adult in shown.adults for each in adult.checks),
            key=lambda line: line[1].on,
            reverse=True,
        ),
        "prompts": library.teach_back(),
        "bar": fidelity.USUAL_BAR,
    }
    return render(request, "practice/coaching.html", context)
