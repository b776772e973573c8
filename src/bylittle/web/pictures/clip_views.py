"""A clip that shows the skill: it plays, its steps are tapped, and the pictures are cut out of it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from bylittle.core.faults import Fault
from bylittle.web.people import kept_forms
from bylittle.web.people.faults import told_all
from bylittle.web.pictures import queries, services, working
from bylittle.web.pictures.forms import TapsForm
from bylittle.web.pictures.models import Tray
from bylittle.web.skills.queries import latest_version

_CHUNK = 256 * 1024
_RANGE = re.compile(r"bytes=(\d*)-(\d*)$")


def _with_clip_or_404(request: HttpRequest, tray_id: int) -> tuple[Tray, Path]:
    found = queries.tray_or_404(request, tray_id)
    path = working.path(found.clip)
    if not found.clip or not path.is_file():
        raise Http404
    return found, path


@never_cache
@require_http_methods(["GET", "POST"])
def clip(request: HttpRequest, tray_id: int) -> HttpResponse:
    """Tap each step while the clip plays, or type its second."""
    found, _ = _with_clip_or_404(request, tray_id)
    form = TapsForm(found, latest_version(found.skill), kept_forms.typed(request))
    if request.method == "POST" and form.is_valid():
        try:
            services.cut(found, form.taps)
            return redirect("picture_tray", found.pk)
        except Fault as fault:
            for told in told_all(fault):
                form.add_error(None, f"{told.what} {told.mend}")
    context = {"tray": found, "skill": found.skill, "child": found.skill.child, "form": form}
    return render(request, "pictures/clip.html", context)


@never_cache
@require_GET
def clip_file(request: HttpRequest, tray_id: int) -> HttpResponse | StreamingHttpResponse:
    """The clip itself, whole or the part that the player asks for; for whoever sent it in."""
    found, path = _with_clip_or_404(request, tray_id)
    size = path.stat().st_size
    first, last = _asked(request.headers.get("Range", ""), size)
    if first > last:
        return HttpResponse(status=416, headers={"Content-Range": f"bytes */{size}"})
    partly = "Range" in request.headers
    answer = StreamingHttpResponse(
        _part(path, first, last), status=206 if partly else 200, content_type=found.clip_kind
    )
    answer.headers["Accept-Ranges"] = "bytes"
    answer.headers["Content-Length"] = str(last - first + 1)
    if partly:
        answer.headers["Content-Range"] = f"bytes {first}-{last}/{size}"
    return answer


def _asked(told: str, size: int) -> tuple[int, int]:
    """First and last byte of a range; the whole file where none is understood (RFC 9110, section 14)."""
    match = _RANGE.match(told.strip())
    if match is None or match.groups() == ("", ""):
        return 0, size - 1
    first, last = match.groups()
    if not first:
        return max(size - int(last), 0), size - 1
    return int(first), min(int(last), size - 1) if last else size - 1


def _part(path: Path, first: int, last: int) -> Iterator[bytes]:
    with path.open("rb") as file:
        file.seek(first)
        left = last - first + 1
        while left > 0 and (chunk := file.read(min(_CHUNK, left))):
            left -= len(chunk)
            yield chunk
