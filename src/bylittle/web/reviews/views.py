"""The plan with its proposed challenge, the review, the history, and carry-over checks."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bylittle.core.advice import Decision
from bylittle.core.faults import Fault
from bylittle.web.people import access, kept_forms
from bylittle.web.people.faults import told_all
from bylittle.web.plans import procedures
from bylittle.web.plans import services as plan_services
from bylittle.web.plans.forms import ChallengeForm, PercentField, PlanForm
from bylittle.web.plans.models import Plan
from bylittle.web.plans.pages import known_paper
from bylittle.web.plans.queries import as_home_plan, draft_plan, plans_of
from bylittle.web.practice.coaching import coaching_of
from bylittle.web.reviews import pictures, services, shown, summary
from bylittle.web.reviews.advice import advised, low_fidelity, proposed_for
from bylittle.web.reviews.forms import CarryoverForm, ReviewForm
from bylittle.web.reviews.models import Carryover
from bylittle.web.reviews.rests_on import rests_on
from bylittle.web.skills.models import Skill
from bylittle.web.skills.queries import adaptations
from bylittle.web.skills.screening import barred
from bylittle.web.skills.views import skill_or_404
from bylittle.workflows.advise_log import AdvisedLog


def _told(request: HttpRequest, fault: Fault, before: str) -> None:
    for told in told_all(fault):
        messages.error(request, f"{before} {told.what} {told.mend}")


@require_POST
def plan_start(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Make the draft of the next plan with the proposed challenge."""
    skill = skill_or_404(request, skill_id)
    services.start_draft(skill, timezone.localdate())
    return redirect("plan_edit", skill.pk)


@require_http_methods(["GET", "POST"])
def plan_edit(request: HttpRequest, skill_id: int) -> HttpResponse:
    """The draft: who does which step with what help, and what it rests on."""
    skill = skill_or_404(request, skill_id)
    found = advised(skill, timezone.localdate())
    plan = draft_plan(plans_of(skill))
    if plan is None:
        return render(request, "reviews/plan_none.html", _advice_of(skill, found))
    typed = kept_forms.typed(request)
    form, challenge = PlanForm(typed, instance=plan), ChallengeForm(plan, typed)
    look_only = "what_if" in request.POST
    if request.method == "POST" and not look_only and form.is_valid() and challenge.is_valid():
        return _saved(request, plan, form, challenge)
    return draft_page(request, skill, plan, typed)


def _advice_of(skill: Skill, found: AdvisedLog) -> dict[str, object]:
    told = shown.advice(found, skill.child)
    return {"skill": skill, "child": skill.child, "advice": told, "coaching": coaching_of(skill)}


def draft_page(request: HttpRequest, skill: Skill, plan: Plan, typed: QueryDict | None) -> HttpResponse:
    """The page of a draft, filled from the draft or from what was typed."""
    found = advised(skill, timezone.localdate())
    found = proposed_for(skill, plan, found)
    form, challenge = PlanForm(typed, instance=plan), ChallengeForm(plan, typed)
    rows = shown.challenge_rows(challenge, found)
    context = _advice_of(skill, found) | {
        "plan": plan,
        "form": form,
        "challenge": challenge,
        "rows": rows,
        "levels": plan.levels,
        "adaptations": adaptations(skill),
        "barred": barred(skill, found.on),
        "offered": procedures.offered(plan),
        "leap": shown.leap(plan, found),
        "from_alone": shown.from_alone(plan, found),
    }
    return render(request, "reviews/plan_edit.html", context | _what_if(found, plan, challenge, typed))


def _saved(request: HttpRequest, plan: Plan, form: PlanForm, challenge: ChallengeForm) -> HttpResponse:
    plan_services.save_draft(plan, form.cleaned_data, challenge.challenge)
    if "sign" in request.POST:
        return redirect("plan_gate", plan.pk)
    messages.success(request, "The draft is saved.")
    return redirect("plan_edit", plan.skill_id)


def _what_if(
    found: AdvisedLog, plan: Plan, challenge: ChallengeForm, typed: QueryDict | None
) -> dict[str, object]:
    if challenge.is_bound:
        challenge.is_valid()
        asked = challenge.challenge
    else:
        asked = {name: int(field.initial) for name, field in challenge.fields.items() if field.initial}
    meant = services.what_if(found, asked, plan, _band(typed, plan))
    return {"what_if": meant, "load": shown.load(meant), "goes": shown.goes(meant.band)}


def _band(typed: QueryDict | None, plan: Plan) -> tuple[float, float]:
    """The band as it stands in the form, typed or not; the draft's where what was typed is no band."""
    field = PercentField()
    try:
        low, high = (field.clean(typed.get(name) if typed else None) for name in ("band_low", "band_high"))
    except ValidationError:
        return plan.band_low, plan.band_high
    return (low, high) if low < high else (plan.band_low, plan.band_high)


@require_POST
def plan_what_if(request: HttpRequest, skill_id: int) -> HttpResponse:
    """What the chosen challenge would mean, without saving it."""
    skill = skill_or_404(request, skill_id)
    plan = draft_plan(plans_of(skill))
    if plan is None:
        return redirect("plan_edit", skill.pk)
    found = advised(skill, timezone.localdate())
    context = {
        "plan": plan,
        "levels": plan.levels,
    }
    meant = _what_if(found, plan, ChallengeForm(plan, request.POST), request.POST)
    return render(request, "reviews/what_if.html", context | meant)


@require_http_methods(["GET", "POST"])
def review(request: HttpRequest, skill_id: int) -> HttpResponse:
    """The evidence, the advice, the decision and its reason."""
    skill = skill_or_404(request, skill_id)
    today = timezone.localdate()
    found = advised(skill, today)
    form = ReviewForm(found.decision, kept_forms.typed(request))
    if request.method == "POST" and form.is_valid():
        try:
            return _decided(request, skill, form)
        except Fault as fault:
            _told(request, fault, "Nothing was decided.")
    evidence = pictures.evidence_of(skill)
    context = {
        "skill": skill,
        "child": skill.child,
        "form": form,
        "found": found,
        "coaching": coaching_of(skill),
        "low": low_fidelity(skill, evidence.plan),
        "advice": shown.advice(found, skill.child),
        "pictures": pictures.of_skill(evidence, found, "lines" in request.GET),
        "levels_table": shown.level_table(found),
        "rests_on": rests_on(evidence, found),
        "words": shown.evident(pictures.words(evidence)),
        "plan": evidence.plan,
        "reviews": skill.reviews.select_related("by").order_by("-pk")[:3],
    }
    return render(request, "reviews/review.html", context)


def _decided(request: HttpRequest, skill: Skill, form: ReviewForm) -> HttpResponse:
    decided = Decision(form.cleaned_data["decided"])
    who, today = access.person(request), timezone.localdate()
    services.decide(skill, decided, form.cleaned_data["reason"], form.red_flags, by=who, today=today)
    if form.open_flags:
        messages.warning(
            request,
            "A sign was answered yes. Nothing more is advised until you write what was done about it.",
        )
    elif decided in services.NEW_PLAN:
        services.start_draft(skill, today)
        messages.success(request, "Decided and kept. Here is the draft of the next plan.")
        return redirect("plan_edit", skill.pk)
    else:
        messages.success(request, "Decided and kept, with the advice and your reason.")
    return redirect("child", skill.child_id)


@require_GET
def history(request: HttpRequest, skill_id: int) -> HttpResponse:
    """All plans and decisions of a skill, newest first."""
    skill = skill_or_404(request, skill_id)
    plans = plans_of(skill)
    homes = [(plan, as_home_plan(plan)) for plan in plans]
    context = {
        "skill": skill,
        "child": skill.child,
        "lines": shown.history(
            homes, skill.reviews.select_related("by"), skill.closings.select_related("by", "reopened_by")
        ),
    }
    return render(request, "reviews/history.html", context)


@require_http_methods(["GET", "POST"])
def carryover(request: HttpRequest, carryover_id: int) -> HttpResponse:
    """Write down what a carry-over check showed."""
    rows = Carryover.objects.select_related("skill__child")
    check = access.of_child_or_404(request, rows, carryover_id, "skill__child")
    form = CarryoverForm(kept_forms.typed(request), initial={"place": check.place, "adult": check.adult})
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        check.place, check.adult, check.note = data["place"], data["adult"], data["note"]
        check.kept, check.done_on = data["kept"] == "yes", timezone.localdate()
        check.save()
        messages.success(request, "Kept.")
        return redirect("child", check.skill.child_id)
    return render(
        request,
        "reviews/carryover.html",
        {"check": check, "skill": check.skill, "child": check.skill.child, "form": form},
    )


@require_GET
def summary_pdf(request: HttpRequest, skill_id: int, paper: str) -> HttpResponse:
    """One page of progress as PDF."""
    skill = skill_or_404(request, skill_id)
    try:
        found = advised(skill, timezone.localdate())
        content = summary.pdf(skill, found, known_paper(paper), access.person(request))
    except Fault as fault:
        _told(request, fault, "The page was not made.")
        return redirect("review", skill.pk)
    response = HttpResponse(content, content_type="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="progress-{skill.pk}.pdf"'
    return response
