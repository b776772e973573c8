"""Sending photographs in, and all the sheets that came."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from django.contrib import messages
from django.core.exceptions import RequestDataTooBig, TooManyFilesSent
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt, csrf_protect
from django.views.decorators.http import require_http_methods

from bylittle.web.people import access
from bylittle.web.people.models import Child, Person, Role, Service
from bylittle.web.scans import bounds, keeping, queries, taking, told
from bylittle.web.scans.bounds import Bounds
from bylittle.web.scans.forms import KeepForm, UploadForm
from bylittle.web.scans.models import Scan, ScanState
from bylittle.web.scans.taking import Taken
from bylittle.web.skills.models import Skill

SHOWN = 60


@csrf_exempt
@require_http_methods(["GET", "POST"])
def sheets(request: HttpRequest) -> HttpResponse:
    """Send photographs in; all sheets that came, those to look at first.

    The bounds must stand before anything of the upload is read; the form's token is checked right after.
    """
    guard = Bounds(request)
    request.upload_handlers.insert(0, guard)
    request.bounds = guard  # type: ignore[attr-defined]
    try:
        _ = request.POST
    except (TooManyFilesSent, RequestDataTooBig):
        fault = f"That was too much at once: {bounds.MOST_FILES} files at most. Nothing was read; send fewer."
        return _page(request, UploadForm(), fault=fault, status=413)
    return _sheets(request)


@csrf_protect
def _sheets(request: HttpRequest) -> HttpResponse:
    form = UploadForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        taken = _take(request, form.cleaned_data["photos"])
        if taken:
            return _answer(request, taken)
        form.add_error("photos", "Choose at least one picture.")
    return _page(request, form)


def _take(request: HttpRequest, files: Sequence[object]) -> list[Taken]:
    who, guard = access.person(request), request.bounds  # type: ignore[attr-defined]
    taken: list[Taken] = []
    for file in files:
        room = max(0, bounds.MOST_PICTURES - len(taken))
        taken += taking.take(file.name, file.read(), who, room)  # type: ignore[attr-defined]
    return [*taken, *(taking.leave_out(name, why, who) for name, why in guard.left_out)]


def _answer(request: HttpRequest, taken: list[Taken]) -> HttpResponse:
    """Where to look next: the one sheet that was read, or the list that tells what came of each file."""
    _tell_other_children(request, taken)
    fresh, again = ([each.scan.pk for each in taken if each.again is came] for came in (False, True))
    waiting = [each.scan for each in taken if each.scan.state == ScanState.WAITING]
    query = [f"new={'.'.join(map(str, fresh))}"] if fresh else []
    query += [f"again={'.'.join(map(str, again))}"] if again else []
    query += [
        f"{name}={key}" for name in ("child", "skill") if (key := request.GET.get(name, "")).isdecimal()
    ]
    address = f"{reverse('sheets')}?{'&'.join(query)}"
    if len(taken) == 1 and waiting and not again:
        address = reverse("sheet", args=[waiting[0].pk])
    if request.headers.get("Accept") == "application/json":
        return JsonResponse({"new": fresh, "again": again, "next": address})
    return redirect(address)


def _tell_other_children(request: HttpRequest, taken: list[Taken]) -> None:
    """The sheet says whose it is, not the page it was sent from; only children whom she may see are named."""
    wanted, _ = _wanted(request, access.person(request))
    for scan in (each.scan for each in taken):
        child = scan.plan.skill.child if scan.plan else None
        if wanted is not None and child is not None and child != wanted:
            whose = f"this is a sheet of {child.name}, not of {wanted.name}"
            messages.info(request, f"{scan.name}: {whose}. It is filed with {child.name}.")


def _page(request: HttpRequest, form: UploadForm, fault: str = "", status: int = 200) -> HttpResponse:
    keeping.forget_old_pictures(timezone.localdate())
    who = access.person(request)
    child, skill = _wanted(request, who)
    rows = queries.scans_of(who)
    just = _named(request, rows, "new")
    again = _named(request, rows, "again")
    listed = [scan for scan in _listed(rows, child, skill) if scan not in (*just, *again)]
    for scan in (*just, *again, *listed):
        scan.which = told.which(scan) if scan.sheet else ""  # type: ignore[attr-defined]
    for scan in just:
        scan.left = told.left(scan) if scan.plan else 0  # type: ignore[attr-defined]
    context = {
        "form": form,
        "fault": fault,
        "child": child,
        "skill": skill,
        "just": just,
        "again": again,
        "scans": listed,
        "days": keeping.days_kept(),
        "may_set": who.role == Role.LEAD,
        "most": {"files": bounds.MOST_FILES, "mb": bounds.MOST_BYTES // 1_000_000},
    }
    return render(request, "scans/sheets.html", context, status=status)


def _wanted(request: HttpRequest, who: Person) -> tuple[Child | None, Skill | None]:
    """The child or skill whose page she came from, among those she may see."""
    sent = {name: request.GET.get(name, "") for name in ("child", "skill")}
    if sent["skill"].isdecimal():
        skill = Skill.objects.filter(pk=sent["skill"], child__in=access.children_of(who)).first()
        return (skill.child, skill) if skill else (None, None)
    if sent["child"].isdecimal():
        return access.children_of(who).filter(pk=sent["child"]).first(), None
    return None, None


def _named(request: HttpRequest, rows: QuerySet[Scan], name: str) -> list[Scan]:
    numbers = [int(part) for part in request.GET.get(name, "").split(".") if part.isdecimal()][:SHOWN]
    return list(rows.filter(pk__in=numbers).order_by("pk"))


def _listed(rows: QuerySet[Scan], child: Child | None, skill: Skill | None) -> list[Scan]:
    """The newest sheets, those that wait for somebody first.

    What was not read leaves with its picture: from then on nobody can do anything about it.
    """
    old = timezone.localdate() - timedelta(days=keeping.UNREAD_DAYS)
    rows = rows.exclude(state=ScanState.REFUSED, picture="", at__date__lt=old)
    if skill is not None:
        rows = rows.filter(plan__skill=skill)
    elif child is not None:
        rows = rows.filter(plan__skill__child=child)
    order = {ScanState.WAITING.value: 0, ScanState.REFUSED.value: 1}
    return sorted(rows[:SHOWN], key=lambda scan: (order.get(scan.state, 2), -scan.pk))


@require_http_methods(["GET", "POST"])
def sheets_keep(request: HttpRequest) -> HttpResponse:
    """How long the pictures are kept: a lead sets it for the service."""
    if access.person(request).role != Role.LEAD:
        raise Http404
    service = Service.current()
    form = KeepForm(request.POST or None, instance=service)
    if request.method == "POST" and form.is_valid():
        form.save()
        deleted = keeping.forget_old_pictures(timezone.localdate())
        more = f" {deleted} older ones were deleted." if deleted else ""
        messages.success(request, f"Pictures of sheets are kept for {service.keep_pictures_days} days.{more}")
        return redirect("sheets")
    return render(request, "scans/keep.html", {"form": form})
