"""Ready words put into a text of the draft, on the page only: the therapist reads, changes and saves them."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from bylittle.web.plans import procedures
from bylittle.web.plans.forms import PlanForm
from bylittle.web.plans.queries import draft_plan, plans_of
from bylittle.web.reviews.views import draft_page
from bylittle.web.skills.views import skill_or_404


@require_POST
def plan_words(request: HttpRequest, skill_id: int, words: str) -> HttpResponse:
    """The text with the ready words after it; without script the whole page, filled with what was typed."""
    skill = skill_or_404(request, skill_id)
    plan = draft_plan(plans_of(skill))
    if plan is None:
        return redirect("plan_edit", skill.pk)
    if words not in procedures.FIELD_OF:
        raise Http404
    typed, field = request.POST.copy(), procedures.FIELD_OF[words]
    wait = typed.get("wait_s", "")
    typed[field] = procedures.put(
        typed.get(field, ""),
        words,
        wait_s=int(wait) if wait.isdecimal() else plan.wait_s,
        language=skill.child.language,
    )
    if request.headers.get("HX-Request"):
        return HttpResponse(str(PlanForm(typed, instance=plan)[field].as_widget()))
    return draft_page(request, skill, plan, typed)
