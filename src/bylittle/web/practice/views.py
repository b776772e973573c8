"""Writing practice down: a turn at a visit, a probe or baseline, a file; and the record itself."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from bylittle.core.faults import Fault
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome, Source
from bylittle.core.skill.ladder import DEFAULT_LADDER
from bylittle.web.people import access, kept_forms
from bylittle.web.people.faults import told_all
from bylittle.web.plans.queries import plans_of, signed_plan
from bylittle.web.practice import imports, in_the_way, queries, services, words
from bylittle.web.practice.forms import (
    STOPPED,
    CorrectionForm,
    ImportForm,
    ProbeForm,
    TurnForm,
    VisitForm,
)
from bylittle.web.practice.models import Record, Visit
from bylittle.web.skills.models import Skill
from bylittle.web.skills.queries import latest_version
from bylittle.web.skills.views import skill_or_404


def _told(request: HttpRequest, fault: Fault) -> None:
    for told in told_all(fault):
        messages.error(request, f"Nothing was written down. {told.what} {told.mend}")


@require_http_methods(["GET", "POST"])
def turn_new(request: HttpRequest, skill_id: int) -> HttpResponse:
    """One turn, by thumb or keyboard; after saving the next one is ready."""
    skill = skill_or_404(request, skill_id)
    plan = signed_plan(plans_of(skill))
    if plan is None:
        messages.info(
            request, "There is no signed plan yet. A probe or baseline can be written down without one."
        )
        return redirect("probe_new", skill.pk)
    who = access.person(request)
    carried = {name: request.GET[name] for name in ("day", "source", "adult", "place") if name in request.GET}
    form = TurnForm(plan, skill.child, kept_forms.typed(request), adults=[who.shown_name], initial=carried)
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        number = services.next_turn(skill, data["day"], Source(data["source"]), data["adult"])
        try:
            services.write(skill, plan.version, form.entries(number), by=who, plan=plan)
        except Fault as fault:
            _told(request, fault)
        else:
            messages.success(request, f"Turn {number} of {data['day']:%-d %B} is written down.")
            return redirect(_next_turn_url(skill, data))
    context = {
        "skill": skill,
        "child": skill.child,
        "plan": plan,
        "form": form,
        "today": _of_day(skill, carried.get("day")),
    }
    return render(request, "practice/turn.html", context)


def _next_turn_url(skill: Skill, data: dict[str, object]) -> str:
    kept = {name: str(data[name]) for name in ("day", "source", "adult", "place") if data[name]}
    return f"{reverse('turn_new', args=[skill.pk])}?{urlencode(kept)}"


def _of_day(skill: Skill, told: str | None) -> list[Record]:
    try:
        day = date.fromisoformat(told) if told else timezone.localdate()
    except ValueError:
        day = timezone.localdate()
    rows = [row for row in queries.standing(queries.rows_of(skill)) if row.day == day]
    return sorted(rows, key=lambda row: (row.source, row.adult, row.turn, row.pk))


@require_http_methods(["GET", "POST"])
def probe_new(request: HttpRequest, skill_id: int) -> HttpResponse:
    """A probe from alone; before the first signed plan it is baseline."""
    skill = skill_or_404(request, skill_id)
    plan = signed_plan(plans_of(skill))
    version = latest_version(skill)
    who = access.person(request)
    source = Source.PROBE if plan else Source.BASELINE
    form = ProbeForm(version, skill.child, kept_forms.typed(request), adults=[who.shown_name])
    if request.method == "POST" and form.is_valid():
        day = form.cleaned_data["day"]
        number = services.next_turn(skill, day, source, form.cleaned_data["adult"])
        ladder = plan.ladder if plan else DEFAULT_LADDER
        try:
            services.write(skill, version, form.entries(number, source, ladder), by=who, plan=plan)
        except Fault as fault:
            _told(request, fault)
        else:
            word = "Probe" if plan else "Baseline point"
            messages.success(request, f"{word} of {day:%-d %B} is written down.")
            return redirect("probe_new", skill.pk)
    points = queries.probe_points(skill, source, len(form.rows))
    context = {
        "skill": skill,
        "child": skill.child,
        "baseline": plan is None,
        "form": form,
        "points": points,
    }
    return render(request, "practice/probe.html", context)


@require_GET
def record(request: HttpRequest, skill_id: int) -> HttpResponse:
    """The practice record: everything written down, with corrections and their reasons."""
    skill = skill_or_404(request, skill_id)
    rows = queries.rows_of(skill)
    spoken = {row.about_id: row for row in rows if row.about_id}
    names = {
        row.step_id: row.name
        for version in skill.versions.prefetch_related("steps")
        for row in version.steps.all()
    }
    levels = _levels(skill)
    first, last = _day_of(request, "first", date.min), _day_of(request, "last", date.max)
    lines = [
        {
            "row": row,
            "step": names.get(row.step_id, row.step_id),
            "says": words.says(queries.as_entry(row), levels),
            "later": spoken.get(row.pk),
            "stands": row.pk not in spoken and row.kind != "moved away",
        }
        for row in sorted(rows, key=lambda row: (row.day, row.pk), reverse=True)
        if first <= row.day <= last
    ]
    hindered = [row for row in in_the_way.standing(skill) if row.first <= last and row.last >= first]
    context = {"skill": skill, "child": skill.child, "lines": lines, "hindered": hindered}
    return render(request, "practice/record.html", context)


def _day_of(request: HttpRequest, name: str, otherwise: date) -> date:
    try:
        return date.fromisoformat(request.GET.get(name, ""))
    except ValueError:
        return otherwise


def _levels(skill: Skill) -> list[str]:
    plan = signed_plan(plans_of(skill))
    return list(plan.levels) if plan else list(DEFAULT_LADDER.names)


@require_http_methods(["GET", "POST"])
def record_correct(request: HttpRequest, record_id: int) -> HttpResponse:
    """Put one row right, or take it out; the old one stays visible."""
    rows = Record.objects.select_related("skill__child", "version", "plan")
    row = access.of_child_or_404(request, rows, record_id, "skill__child")
    levels = _levels(row.skill)
    form = CorrectionForm(levels, kept_forms.typed(request))
    if request.method == "POST" and form.is_valid():
        who, told, reason = access.person(request), form.cleaned_data["mark"], form.cleaned_data["reason"]
        try:
            if told == "not here":
                services.take_out(row, by=who, reason=reason)
            else:
                services.correct(row, _corrected(queries.as_entry(row), told), by=who, reason=reason)
        except Fault as fault:
            _told(request, fault)
        else:
            messages.success(request, "Put right. The first version stays in the record.")
            return redirect("record", row.skill_id)
    says = words.says(queries.as_entry(row), levels)
    context = {"row": row, "skill": row.skill, "child": row.skill.child, "form": form, "says": says}
    return render(request, "practice/correct.html", context)


def _corrected(entry: Entry, told: str) -> Entry:
    if told == STOPPED:
        return replace(entry, outcome=Outcome.STOPPED, needed=None)
    return replace(entry, outcome=Outcome.NEEDED, needed=int(told))


@require_http_methods(["GET", "POST"])
def import_file(request: HttpRequest, skill_id: int) -> HttpResponse:
    """A practice log from a file: all of it or nothing, every fault at its line."""
    skill = skill_or_404(request, skill_id)
    form = ImportForm(request.POST or None, request.FILES or None)
    faults: list[imports.ToldFault] = []
    if request.method == "POST" and form.is_valid():
        file = form.cleaned_data["file"]
        done = imports.take_in(skill, file.read(), file.name, by=access.person(request))
        if not done.faults:
            already = f" {len(done.already)} were already there." if done.already else ""
            messages.success(request, f"{len(done.new)} marks were added.{already}")
            return redirect("record", skill.pk)
        faults = imports.told_faults(done.faults)
    context = {
        "skill": skill,
        "child": skill.child,
        "form": form,
        "faults": faults,
        "version": latest_version(skill),
    }
    return render(request, "practice/import.html", context)


@require_http_methods(["GET", "POST"])
def visit_new(request: HttpRequest, child_id: int) -> HttpResponse:
    """Write a visit down: minutes, place, what was done."""
    child = access.child_or_404(request, child_id)
    form = VisitForm(kept_forms.typed(request), instance=Visit(child=child, by=access.person(request)))
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, "The visit is written down.")
        return redirect("child", child.pk)
    visits = child.visits.select_related("by").order_by("-on", "-pk")[:10]
    return render(request, "practice/visit.html", {"child": child, "form": form, "visits": visits})
