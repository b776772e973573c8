"""Reports of a child, exports, agreement, and taking an archive in."""

from __future__ import annotations

import secrets

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bylittle.core.faults import Fault
from bylittle.files.archive import read_archive
from bylittle.printing.report import report_pdf
from bylittle.printing.report_docx import report_docx
from bylittle.web.people import access, kept_forms
from bylittle.web.people.faults import told_all
from bylittle.web.people.models import Service
from bylittle.web.plans.goals import goal_set
from bylittle.web.plans.pages import known_paper
from bylittle.web.reports import agreement, services
from bylittle.web.reports.forms import ArchiveForm, NewReportForm, ReportForm
from bylittle.web.reports.models import KeptReport
from bylittle.web.reports.record_of import record_of
from bylittle.web.reports.taking_in import take_in
from bylittle.web.skills.views import skill_or_404
from bylittle.workflows.export import export_record

EXPORTS = {
    "archive": ("zip", "application/zip", "everything, with its pictures, to be taken in again"),
    "csv": ("csv", "text/csv", "single-case data, one line a mark"),
    "fhir": ("json", "application/fhir+json", "FHIR R4 bundle"),
    "deidentified": ("json", "application/json", "for sharing: no names, no dates, no free text"),
}


def _told(request: HttpRequest, fault: Fault, before: str) -> None:
    for told in told_all(fault):
        messages.error(request, f"{before} {told.what} {told.mend}")


def _report_or_404(request: HttpRequest, report_id: int) -> KeptReport:
    rows = KeptReport.objects.select_related("child", "made_by", "signed_by")
    return access.of_child_or_404(request, rows, report_id)


@require_http_methods(["GET", "POST"])
def reports(request: HttpRequest, child_id: int) -> HttpResponse:
    """All reports of a child, a new draft, and the exports."""
    child = access.child_or_404(request, child_id)
    form = NewReportForm(kept_forms.typed(request))
    if request.method == "POST" and form.is_valid():
        who, today = access.person(request), timezone.localdate()
        try:
            kept = services.draft(
                child, form.cleaned_data["kind"], form.cleaned_data["first"], by=who, today=today
            )
            return redirect("report", kept.pk)
        except Fault as fault:
            _told(request, fault, "No report was drafted.")
    kept_reports = KeptReport.objects.filter(child=child).select_related("made_by", "signed_by")
    exports = [(form, words) for form, (_, _, words) in EXPORTS.items()]
    context = {"child": child, "form": form, "reports": kept_reports, "exports": exports}
    context |= {"skills": child.skills.all(), "goals": goal_set(child)}
    return render(request, "reports/reports.html", context)


@require_http_methods(["GET", "POST"])
def report(request: HttpRequest, report_id: int) -> HttpResponse:
    """A draft to read, edit and sign; a signed report to read."""
    kept = _report_or_404(request, report_id)
    whole = services.whole(kept)
    form = ReportForm(whole, None if kept.signed else kept_forms.typed(request))
    if request.method == "POST" and not kept.signed and form.is_valid():
        try:
            services.edit(kept, form.written, form.changed_lines)
            if "sign" in request.POST:
                services.sign(kept, access.signer(request))
                messages.success(request, "Signed. It stays as it is now.")
            else:
                messages.success(request, "The draft is saved.")
            return redirect("report", kept.pk)
        except Fault as fault:
            _told(request, fault, "Your words are saved; the report is not signed.")
            return redirect("report", kept.pk)
    # A report that came in with an archive names skills by the numbers of elsewhere: no link then.
    own = {str(key) for key in kept.child.skills.values_list("pk", flat=True)}
    context = {"kept": kept, "report": whole, "child": kept.child, "form": form, "own_skills": own}
    return render(request, "reports/report.html", context)


@require_GET
def report_file(request: HttpRequest, report_id: int, ending: str) -> HttpResponse:
    """A report as PDF or DOCX; an unsigned one says DRAFT on every page."""
    kept = _report_or_404(request, report_id)
    whole, paper = services.whole(kept), known_paper(Service.current().paper)
    if ending == "pdf":
        content, kind = report_pdf(whole, paper=paper), "application/pdf"
    elif ending == "docx":
        content = report_docx(whole, paper=paper)
        kind = "application/vnd.openxmlformats-officedocument.wordprocessingml.document"
    else:
        raise Http404
    return _file(content, kind, f"{kept.kind}-{kept.pk}.{ending}")


def _file(content: bytes, kind: str, name: str) -> HttpResponse:
    response = HttpResponse(content, content_type=kind)
    shown = "inline" if kind == "application/pdf" else "attachment"
    response.headers["Content-Disposition"] = f'{shown}; filename="{name}"'
    return response


@require_POST
def report_drop(request: HttpRequest, report_id: int) -> HttpResponse:
    """Throw a draft away; a signed report stays."""
    kept = _report_or_404(request, report_id)
    if kept.signed:
        messages.error(request, "A signed report stays in the record.")
        return redirect("report", kept.pk)
    child_id = kept.child_id
    kept.delete()
    messages.success(request, "The draft is gone; the record it was drawn from is as it was.")
    return redirect("reports", child_id)


@require_GET
def export(request: HttpRequest, child_id: int, form: str) -> HttpResponse:
    """A child's record as a file."""
    child = access.child_or_404(request, child_id)
    if form not in EXPORTS:
        raise Http404
    ending, kind, _ = EXPORTS[form]
    random_id = secrets.token_hex(6).upper()
    record = record_of(child, files=form == "archive")
    try:
        content = export_record(record, form, timezone.localdate(), random_id=random_id)
    except Fault as fault:
        _told(request, fault, "No file was made.")
        return redirect("reports", child.pk)
    name = random_id if form == "deidentified" else f"child-{child.pk}"
    return _file(content, kind, f"{name}-{form}.{ending}")


@require_http_methods(["GET", "POST"])
def archive_in(request: HttpRequest) -> HttpResponse:
    """Take a child's archive in: all of it or nothing."""
    form = ArchiveForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        try:
            record = read_archive(form.cleaned_data["file"].read())
            child = take_in(record, access.signer(request))
        except Fault as fault:
            _told(request, fault, "Nothing was taken in.")
        else:
            messages.success(request, f"{child.name} is taken in, with everything the archive holds.")
            return redirect("child", child.pk)
    return render(request, "reports/archive_in.html", {"form": form})


@require_http_methods(["GET", "POST"])
def agree(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Two people who scored the same turns: how far they agree."""
    skill = skill_or_404(request, skill_id)
    if request.method == "POST":
        if agreement.same_turns(skill, request.POST.get("pair", "")):
            messages.success(request, "Kept: these two scored the same turns.")
        return redirect("agree", skill.pk)
    context = {"skill": skill, "child": skill.child, "found": agreement.found(skill)}
    return render(request, "reports/agree.html", context | {"possible": agreement.possible(skill)})
