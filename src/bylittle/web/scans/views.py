"""One sheet: settling what is open, taking it into the record, back out, and to another plan."""

from __future__ import annotations

from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bylittle.core.faults import Fault
from bylittle.core.sheet import geometry
from bylittle.web.people import access
from bylittle.web.people.faults import told_all
from bylittle.web.plans.models import Plan
from bylittle.web.plans.queries import plan_rows
from bylittle.web.scans import compared, keeping, queries, services, taking, told
from bylittle.web.scans.forms import NumberForm, SettleForm
from bylittle.web.scans.models import Scan, ScanState

SIGNS = (
    ("read", "square: read as a mark"),
    ("doubt", "dashed ring: not clear, to settle"),
    ("said", "diamond: said by a person"),
    ("struck", "cross: ink that does not count"),
)


def _told(request: HttpRequest, fault: Fault, before: str) -> None:
    for each in told_all(fault):
        messages.error(request, f"{before} {each.what} {each.mend}")


@require_http_methods(["GET", "POST"])
def sheet(request: HttpRequest, scan_id: int) -> HttpResponse:
    """One sheet: what was read on its picture, what is open, and the way into the record."""
    scan = queries.scan_or_404(request, scan_id)
    if scan.plan is None:
        return _not_read(request, scan)
    waits = scan.state == ScanState.WAITING
    form = SettleForm(scan, request.POST if request.method == "POST" and waits else None)
    if form.is_bound and form.is_valid():
        services.settle_sheet(scan, form.said, access.person(request))
        if "accept" not in request.POST:
            messages.success(request, "Kept so far. Nothing is in the record yet.")
            return redirect("sheet", scan.pk)
        if _accepted(request, scan):
            return redirect("sheets")
        form = SettleForm(scan)
    return render(request, "scans/sheet.html", _context(request, scan, form))


def _accepted(request: HttpRequest, scan: Scan) -> bool:
    if gaps := services.gaps(scan):
        names = ", ".join(told.OPEN_THINGS[gap] for gap in gaps)
        messages.error(request, f"Not in the record yet. Still open: {names}. What you settled is kept.")
        return False
    try:
        added = services.accept(scan, access.person(request))
    except Fault as fault:
        _told(request, fault, "Not in the record.")
        return False
    assert scan.plan is not None
    child = scan.plan.skill.child.name
    many = "mark is" if added == 1 else "marks are"
    nothing = f"Nothing new was marked for {child}; the sheet is filed."
    what = f"{added} {many} in the record of {child}, from paper." if added else nothing
    messages.success(request, what)
    return True


def _context(request: HttpRequest, scan: Scan, form: SettleForm) -> dict[str, object]:
    assert scan.plan is not None
    waits = scan.state == ScanState.WAITING
    against = form.against if waits else None
    gaps = services.gaps(scan) if waits else []
    asked, sent = form.sheet.asked() if waits else [], request.method == "POST"
    return {
        "scan": scan,
        "page_count": len(geometry.pages(form.sheet.page.sheet.shape)),
        "skill": scan.plan.skill,
        "child": scan.plan.skill.child,
        "form": form,
        "shown": form.sheet,
        "asked": asked,
        "focus": next((each.field for each in asked if not each.chosen), "") if sent else "",
        "to_settle": sum(not each.chosen for each in asked) + _words_open(scan, form) if waits else 0,
        "gaps": gaps,
        "open_things": [told.OPEN_THINGS[gap] for gap in gaps],
        "also_told": compared.also_told(scan) if waits else 0,
        "older": queries.newest_number(scan.plan) > scan.plan.number,
        "against": against,
        "written": queries.written_on(scan),
        "copy": told.print_of(scan),
        "beside": told.beside(scan) if against and against.beside else "",
        "clashes": told.clashes(form.sheet) if waits else [],
        "gone": [form.sheet.titled(row) for row in against.gone] if against else [],
        "span": told.span(scan),
        "printed_span": told.printed_span(scan),
        "trail": told.trail(form.sheet),
        "plans": _other_plans(request, scan),
        "until": keeping.until(scan),
        "changeable": waits,
        "signs": SIGNS if waits else SIGNS[:1] + SIGNS[2:],
    }


def _words_open(scan: Scan, form: SettleForm) -> bool:
    """True where something is written and nobody has typed it, or said that nothing is to be kept."""
    return queries.written_on(scan) and not form["free_word"].value() and not form["nothing"].value()


def _other_plans(request: HttpRequest, scan: Scan) -> list[Plan]:
    """The plans of her children that this sheet could be filed under."""
    rows = plan_rows().filter(skill__child__in=access.children_of(access.person(request)))
    return [plan for plan in rows if plan.signed and plan.pk != scan.plan_id and services.fits(scan, plan)]


def _not_read(request: HttpRequest, scan: Scan) -> HttpResponse:
    """A picture that could not be read: why, and the number by hand where that is what lacks."""
    waits = scan.refusal in taking.NUMBER_REFUSALS and bool(scan.picture)
    form = NumberForm(request.POST or None) if waits else None
    if form is not None and request.method == "POST" and form.is_valid():
        try:
            taking.with_number(scan, form.cleaned_data["number"], access.person(request))
        except Fault as fault:
            _told(request, fault, "Not read.")
        if scan.plan is not None:
            messages.success(request, "Read with the number you typed. Please compare it with the picture.")
        return redirect("sheet", scan.pk)
    context = {"scan": scan, "form": form, "until": keeping.until(scan)}
    return render(request, "scans/refused.html", context)


@require_GET
def sheet_picture(request: HttpRequest, scan_id: int) -> FileResponse:
    """The straightened picture, for one of the child's team; deleted in time even if nobody tidies up."""
    keeping.forget_old_pictures(timezone.localdate())
    scan = queries.scan_or_404(request, scan_id)
    path = keeping.folder() / scan.picture
    if not scan.picture or not path.is_file():
        raise Http404
    return FileResponse(path.open("rb"), content_type="image/jpeg")


@require_POST
def sheet_aside(request: HttpRequest, scan_id: int) -> HttpResponse:
    """Set a sheet aside, or take it up again; nothing of the record changes."""
    scan = queries.scan_or_404(request, scan_id)
    services.set_aside(scan, access.person(request))
    return redirect("sheets" if scan.state == ScanState.ASIDE else "sheet", *_where(scan))


def _where(scan: Scan) -> list[int]:
    return [] if scan.state == ScanState.ASIDE else [scan.pk]


@require_POST
def sheet_undo(request: HttpRequest, scan_id: int) -> HttpResponse:
    """Take a sheet's marks out of the record again, with trace."""
    scan = queries.scan_or_404(request, scan_id)
    try:
        count = services.undo(scan, access.person(request), "the sheet was taken back")
        many = "1 mark was" if count == 1 else f"{count} marks were"
        messages.success(request, f"{many} taken out, with trace. The sheet waits again.")
    except Fault as fault:
        _told(request, fault, "Nothing was taken out.")
    return redirect("sheet", scan.pk)


@require_POST
def sheet_move(request: HttpRequest, scan_id: int) -> HttpResponse:
    """File a sheet under another plan, with trace."""
    scan = queries.scan_or_404(request, scan_id)
    if scan.plan is None:
        raise Http404
    sent = request.POST.get("plan", "")
    plan = access.of_child_or_404(request, plan_rows(), int(sent) if sent.isdecimal() else 0, "skill__child")
    try:
        services.move(scan, plan, access.person(request))
        messages.success(
            request, f"Filed under {plan.skill.child.name}, plan {plan.number}. It waits to be accepted."
        )
    except Fault as fault:
        _told(request, fault, "Not moved.")
    return redirect("sheet", scan.pk)
