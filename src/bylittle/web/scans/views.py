"""Sending photographs in, settling what is open, and taking a sheet into the record."""

from __future__ import annotations

from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bylittle.core.faults import Fault
from bylittle.web.people import access
from bylittle.web.people.faults import told_all
from bylittle.web.plans.queries import plan_rows
from bylittle.web.scans import queries, services, shown
from bylittle.web.scans.forms import SettleForm, UploadForm
from bylittle.web.scans.models import Scan, ScanState

SHOWN = 60
OPEN_THINGS = {
    "rows": "the marked rows",
    "start": "the first day",
    "adult": "who practised",
    "changed": "the rows that read otherwise",
}


def _told(request: HttpRequest, fault: Fault, before: str) -> None:
    for told in told_all(fault):
        messages.error(request, f"{before} {told.what} {told.mend}")


@require_http_methods(["GET", "POST"])
def sheets(request: HttpRequest) -> HttpResponse:
    """Send photographs in; all sheets that came, those to look at first."""
    who = access.person(request)
    form = UploadForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        files = form.cleaned_data["photos"]
        taken = [scan for file in files for scan in services.take(file.name, file.read(), who)]
        waiting = [scan for scan in taken if scan.state == ScanState.WAITING]
        messages.success(
            request, f"{len(taken)} looked at: {len(waiting)} read, {len(taken) - len(waiting)} not."
        )
        if len(taken) == 1 and waiting:
            return redirect("sheet", waiting[0].pk)
        return redirect("sheets")
    services.forget_old_pictures(timezone.localdate())
    rows = list(queries.scans_of(who)[:SHOWN])
    order = {ScanState.WAITING.value: 0, ScanState.REFUSED.value: 1}
    rows.sort(key=lambda scan: (order.get(scan.state, 2), -scan.pk))
    return render(request, "scans/sheets.html", {"form": form, "scans": rows})


@require_http_methods(["GET", "POST"])
def sheet(request: HttpRequest, scan_id: int) -> HttpResponse:
    """One sheet: what was read on its picture, what is open, and the way into the record."""
    scan = queries.scan_or_404(request, scan_id)
    if scan.plan is None:
        return render(request, "scans/refused.html", {"scan": scan})
    form = SettleForm(scan, request.POST or None)
    if request.method == "POST" and scan.state == ScanState.WAITING and form.is_valid():
        data = form.cleaned_data
        services.settle_rows(scan, form.rows, form.week_from, data["adult"], data.get("changed", ""))
        if "accept" not in request.POST:
            messages.success(request, "Kept so far.")
            return redirect("sheet", scan.pk)
        if _accepted(request, scan):
            return redirect("sheets")
    return render(request, "scans/sheet.html", _context(request, scan, form))


def _accepted(request: HttpRequest, scan: Scan) -> bool:
    gaps = services.gaps(scan)
    if gaps:
        told = ", ".join(OPEN_THINGS[gap] for gap in gaps)
        messages.error(request, f"Not in the record yet. Still open: {told}. What you settled is kept.")
        return False
    try:
        added = services.accept(scan, access.person(request))
    except Fault as fault:
        _told(request, fault, "Not in the record.")
        return False
    messages.success(request, f"{added} marks are in the record, from paper.")
    return True


def _context(request: HttpRequest, scan: Scan, form: SettleForm) -> dict[str, object]:
    assert scan.plan is not None
    skill = scan.plan.skill
    difference = services.difference(scan) if scan.state == ScanState.WAITING else None
    plans = [
        plan
        for plan in plan_rows().filter(skill__child__in=access.children_of(access.person(request)))
        if plan.signed and plan.pk != scan.plan_id
    ]
    return {
        "scan": scan,
        "skill": skill,
        "child": skill.child,
        "form": form,
        "spots": shown.spots(scan),
        "open": form.open,
        "read": shown.read_rows(scan),
        "gaps": services.gaps(scan) if scan.state == ScanState.WAITING else [],
        "older": queries.newest_number(scan.plan) > scan.plan.number,
        "again": queries.seen_before(scan),
        "difference": difference,
        "plans": plans,
    }


@require_GET
def sheet_picture(request: HttpRequest, scan_id: int) -> FileResponse:
    """The straightened picture, for one of the child's team."""
    scan = queries.scan_or_404(request, scan_id)
    path = services.folder() / scan.picture
    if not scan.picture or not path.is_file():
        raise Http404
    return FileResponse(path.open("rb"), content_type="image/jpeg")


@require_POST
def sheet_aside(request: HttpRequest, scan_id: int) -> HttpResponse:
    """Set a sheet aside, or take it up again; nothing of the record changes."""
    scan = queries.scan_or_404(request, scan_id)
    other = {ScanState.WAITING.value: ScanState.ASIDE, ScanState.ASIDE.value: ScanState.WAITING}
    scan.state = other.get(scan.state, scan.state)
    scan.save(update_fields=["state"])
    return redirect("sheets")


@require_POST
def sheet_undo(request: HttpRequest, scan_id: int) -> HttpResponse:
    """Take a sheet's marks out of the record again, with trace."""
    scan = queries.scan_or_404(request, scan_id)
    try:
        count = services.undo(scan, access.person(request), "the sheet was taken back")
        messages.success(request, f"{count} marks were taken out, with trace. The sheet waits again.")
    except Fault as fault:
        _told(request, fault, "Nothing was taken out.")
    return redirect("sheet", scan.pk)


@require_POST
def sheet_move(request: HttpRequest, scan_id: int) -> HttpResponse:
    """File a sheet under another plan, with trace."""
    scan = queries.scan_or_404(request, scan_id)
    told = request.POST.get("plan", "")
    plan = access.of_child_or_404(request, plan_rows(), int(told) if told.isdecimal() else 0, "skill__child")
    try:
        services.move(scan, plan, access.person(request))
        messages.success(
            request, f"Filed under {plan.skill.child.name}, plan {plan.number}. It waits to be accepted."
        )
    except Fault as fault:
        _told(request, fault, "Not moved.")
    return redirect("sheet", scan.pk)
