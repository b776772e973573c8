"""The safety gate, the signature, the goal, and the pages on paper."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bylittle.core.faults import Fault
from bylittle.library.plain_words import read_over
from bylittle.printing.preview import pages_png
from bylittle.web.people import access, kept_forms
from bylittle.web.people.faults import told_all
from bylittle.web.people.models import Service
from bylittle.web.pictures import places
from bylittle.web.plans import copies, own_pictures, pages, procedures, services, waiting
from bylittle.web.plans.forms import GateForm, GoalForm, RatingForm
from bylittle.web.plans.goals import PartsForm, goal_questions, with_proposal
from bylittle.web.plans.models import Gate, Goal, GoalRating, Plan
from bylittle.web.plans.queries import plan_rows
from bylittle.web.plans.read_through import typed_for_family, typed_in_one_language
from bylittle.web.skills.screening import barred
from bylittle.web.skills.views import skill_or_404


def plan_or_404(request: HttpRequest, plan_id: int) -> Plan:
    """A plan, for one of its child's team."""
    return access.of_child_or_404(request, plan_rows(), plan_id, "skill__child")


@require_http_methods(["GET", "POST"])
def plan_gate(request: HttpRequest, plan_id: int) -> HttpResponse:
    """The safety gate, and the signature once every question is answered."""
    plan = plan_or_404(request, plan_id)
    if plan.signed:
        return redirect("plan", plan.pk)
    child = plan.skill.child
    known = {name: getattr(child, name) for name in GateForm.Meta.fields}
    known["call"] = known["call"] or Service.current().call
    form = GateForm(kept_forms.typed(request), instance=Gate(plan=plan), initial=known)
    if request.method == "POST" and form.is_valid():
        who = access.person(request)
        services.answer_gate(plan, form.facts, form.answers, who, form.language_check)
        if _signed(request, plan):
            return redirect("plan", plan.pk)
    waits = waiting.in_words(waiting.open_flags(plan.skill))
    context = {"plan": plan, "skill": plan.skill, "child": child, "form": form, "waits": waits}
    return render(request, "plans/gate.html", context | {"barred": barred(plan.skill, timezone.localdate())})


def _signed(request: HttpRequest, plan: Plan) -> bool:
    """Sign, or say what blocks it. An assistant's answers are kept for the therapist, who answers again."""
    who = access.person(request)
    if not who.may_sign:
        messages.info(request, "Kept. A therapist signs: the safety questions are asked again then.")
        return True
    try:
        services.sign(plan, who)
    except Fault as fault:
        for told in told_all(fault):
            messages.error(request, f"Not signed. {told.what} {told.mend}")
        return False
    messages.success(request, f"Signed by {who.shown_name}. It can go home now.")
    return True


@require_GET
def plan(request: HttpRequest, plan_id: int) -> HttpResponse:
    """A plan as it stands, with its pages to print."""
    found = plan_or_404(request, plan_id)
    today = timezone.localdate()
    shown = own_pictures.shown(found, today)
    home = pages.home(found)
    context = {
        "hard": () if found.signed else read_over(typed_for_family(home), home.language),
        "places": shown,
        "credit": places.credit(shown),
        "soon": places.ending_soon([place.picture for place in shown if place.picture], today),
        "kept_back": [place for place in shown if place.kept_back],
        "newer": own_pictures.newer(found, today),
        "plan": found,
        "skill": found.skill,
        "child": found.skill.child,
        "home": home,
        "gate": Gate.objects.filter(plan=found).select_related("answered_by").first(),
        "barred": barred(found.skill, today),
        "waits": waiting.in_words(waiting.open_flags(found.skill)),
        "as_typed": () if found.signed else typed_in_one_language(found, found.skill.child.language),
        "spelt": procedures.of_plan(found),
        "out_of_place": procedures.out_of_place(home),
        "kinds": pages.KINDS,
        "copies": copies.all_of(found)[1:],
        "next_copy": copies.next_letter(found) if found.signed else "",
        "weeks": copies.weeks(found, today),
        "paper_first": Service.current().paper,
        "papers": Service._meta.get_field("paper").choices,
    }
    return render(request, "plans/plan.html", context)


@require_GET
def plan_page(request: HttpRequest, plan_id: int, kind: str, paper: str) -> HttpResponse:
    """One page of a plan as PDF: a draft says so across the page."""
    found = plan_or_404(request, plan_id)
    try:
        content = pages.pdf(found, kind, paper, request.GET.get("copy", "A"))
    except Fault as fault:
        for told in told_all(fault):
            messages.error(request, f"The page was not made. {told.what} {told.mend}")
        return redirect("plan", found.pk)
    response = HttpResponse(content, content_type="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{kind}-{found.code}-{found.number}.pdf"'
    return response


@require_GET
def plan_look(request: HttpRequest, plan_id: int, kind: str, paper: str) -> HttpResponse:
    """The pages as they will print, seen before."""
    found = plan_or_404(request, plan_id)
    try:
        count = len(pages_png(pages.pdf(found, kind, paper), dpi=20))
    except Fault as fault:
        for told in told_all(fault):
            messages.error(request, f"The page was not made. {told.what} {told.mend}")
        return redirect("plan", found.pk)
    context = {"plan": found, "skill": found.skill, "child": found.skill.child, "kind": kind, "paper": paper}
    context |= {"words": dict(pages.KINDS)[kind], "numbers": range(1, count + 1)}
    return render(request, "plans/look.html", context)


@require_GET
def plan_look_page(request: HttpRequest, plan_id: int, kind: str, paper: str, number: int) -> HttpResponse:
    """One page as a picture, made from the very file that prints."""
    found = plan_or_404(request, plan_id)
    try:
        made = pages_png(pages.pdf(found, kind, paper))
    except Fault as fault:
        raise Http404 from fault
    if not 1 <= number <= len(made):
        raise Http404
    return HttpResponse(made[number - 1], content_type="image/png", headers={"Cache-Control": "no-store"})


@require_POST
def plan_copy(request: HttpRequest, plan_id: int) -> HttpResponse:
    """Another print of the log sheet: for a second home, for one that was lost, or for the next week."""
    found, today = plan_or_404(request, plan_id), timezone.localdate()
    sent = {copies.told_start(start): start for start in copies.weeks(found, today)}
    start, whose = request.POST.get("start", ""), request.POST.get("whose", "").strip()
    if start not in sent:
        raise Http404
    try:
        made = copies.make(found, sent[start], whose, access.person(request), today)
    except Fault as fault:
        for told in told_all(fault):
            messages.error(request, f"No copy was made. {told.what} {told.mend}")
    else:
        messages.success(request, f"Copy {made.letter} is ready to print, below.")
    return redirect(f"{reverse('plan', args=[found.pk])}#copies")


@require_POST
def plan_pictures(request: HttpRequest, plan_id: int) -> HttpResponse:
    """Put the newest pictures on a plan that is signed already: a therapist's act."""
    found = plan_or_404(request, plan_id)
    who = access.signer(request)
    if found.signed and own_pictures.newer(found, timezone.localdate()):
        own_pictures.record(found, who, timezone.localdate())
        messages.success(request, "The new pictures are on this plan’s pages. Its words are as signed.")
    return redirect("plan", found.pk)


@require_GET
def plan_newest(request: HttpRequest, skill_id: int) -> HttpResponse:
    """The newest plan of a skill, with its pages."""
    skill = skill_or_404(request, skill_id)
    newest = skill.plans.last()
    if newest is None:
        messages.info(request, "There is no plan yet: draft the first one from here.")
        return redirect("child", skill.child_id)
    return redirect("plan", newest.pk)


@require_POST
def draft_drop(request: HttpRequest, plan_id: int) -> HttpResponse:
    """Throw a draft away. A signed plan stays for good."""
    found = plan_or_404(request, plan_id)
    if found.signed:
        messages.error(request, "A signed plan stays in the record. Make a new one to take its place.")
        return redirect("plan", found.pk)
    skill = found.skill
    found.delete()
    messages.success(request, "The draft is gone. The signed plans and all practice are as they were.")
    return redirect("child", skill.child_id)


@require_http_methods(["GET", "POST"])
def goal(request: HttpRequest, skill_id: int) -> HttpResponse:
    """The goal and its five attainment levels."""
    skill = skill_or_404(request, skill_id)
    there = Goal.objects.filter(skill=skill).first() or Goal(skill=skill)
    proposing = request.method == "POST" and "propose" in request.POST
    parts = PartsForm(skill, request.POST if proposing else None)
    if proposing:
        form = with_proposal(there, request.POST, parts)
    else:
        form = GoalForm(kept_forms.typed(request), instance=there)
    if request.method == "POST" and not proposing and form.is_valid():
        form.save()
        messages.success(request, "The goal is kept.")
        return redirect("child", skill.child_id)
    ratings = list(there.ratings.all()) if there.pk else []
    context = {"skill": skill, "child": skill.child, "form": form, "goal": there, "ratings": ratings}
    asked = goal_questions(there, skill.child.name) if there.pk else []
    context |= {"rating": RatingForm(), "questions": asked, "parts": parts, "proposing": proposing}
    return render(request, "plans/goal.html", context)


@require_POST
def goal_rate(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Rate the goal: kept beside the earlier ratings."""
    skill = skill_or_404(request, skill_id)
    goal = get_object_or_404(Goal, skill=skill)
    form = RatingForm(request.POST, instance=GoalRating(goal=goal, name=access.person(request).shown_name))
    if form.is_valid():
        form.save()
        messages.success(request, "The rating is kept.")
    else:
        messages.error(request, "Not kept: please choose a level and a day.")
    return redirect("goal", skill.pk)
