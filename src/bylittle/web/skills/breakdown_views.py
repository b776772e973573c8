"""The page of the breakdown finder."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from bylittle import library
from bylittle.web.people import access, kept_forms
from bylittle.web.skills import breakdown
from bylittle.web.skills.views import skill_or_404


@require_http_methods(["GET", "POST"])
def finder(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Quick looks, what was seen, and what that points to; each look is kept."""
    skill = skill_or_404(request, skill_id)
    found = library.breakdown()
    form = breakdown.LooksForm(found.looks, kept_forms.typed(request))
    if request.method == "POST" and form.is_valid():
        breakdown.keep(skill, form.seen, access.person(request))
        messages.success(request, "Kept. What it points to stands below.")
        return redirect("breakdown", skill.pk)
    looks = breakdown.told(skill.breakdown_looks.select_related("by").order_by("-pk"))
    context = {"skill": skill, "child": skill.child, "form": form, "looks": looks, "caveat": found.caveat}
    return render(request, "skills/breakdown.html", context)


@require_POST
def use(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Take the last suggestion over into the skill."""
    skill = skill_or_404(request, skill_id)
    look = breakdown.newest(skill)
    if look is None or not look.kind:
        messages.info(
            request, "There is no clear suggestion to use. What you know of the child stands above."
        )
        return redirect("breakdown", skill.pk)
    messages.success(request, f"Noted: it breaks down at {breakdown.use(look)}. The advice takes it in.")
    return redirect("child", skill.child_id)
