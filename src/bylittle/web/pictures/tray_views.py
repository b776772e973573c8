"""Photos on the tray: where each goes, what it shows, the consent; then they are kept or thrown away."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bylittle.core.faults import Fault
from bylittle.reading.photos.finish import kept_for_editing
from bylittle.web.people import access, kept_forms
from bylittle.web.people.faults import told_all
from bylittle.web.pictures import edits, places, queries, services, tidy
from bylittle.web.pictures.forms import EditForm, PhotosForm, TrayConsentForm, TrayPhotoForm
from bylittle.web.pictures.models import Consent, Tray, TrayPhoto
from bylittle.web.pictures.views import next_page, tell_refused
from bylittle.web.skills.models import SkillVersion
from bylittle.web.skills.queries import latest_version

WAYS = (
    ("left", "Left"),
    ("right", "Right"),
    ("up", "Up"),
    ("down", "Down"),
    ("smaller", "Smaller"),
    ("larger", "Larger"),
)
OPEN = "Not kept yet: please look at the places marked below. What you typed is all here."


@never_cache
@require_http_methods(["GET", "POST"])
def tray(request: HttpRequest, tray_id: int) -> HttpResponse:
    """All photos of a tray with their words, and one consent for them."""
    found = queries.tray_or_404(request, tray_id)
    version = latest_version(found.skill)
    typed = kept_forms.typed(request)
    photos = list(found.photos.all())
    forms = [TrayPhotoForm(photo, version, typed) for photo in photos]
    agreed = TrayConsentForm(found, typed)
    if request.method == "POST":
        moved = _noted(found, forms, version, request)
        if (answer := _acted(request, found, photos)) is not None:
            return answer
        if not moved and _whole(forms) and agreed.is_valid():
            return _kept(request, found, agreed.consent)
        messages.error(request, OPEN)
    return render(request, "pictures/tray.html", _context(request, found, forms, agreed))


def _context(
    request: HttpRequest, found: Tray, forms: list[TrayPhotoForm], agreed: TrayConsentForm
) -> dict[str, object]:
    child = found.skill.child
    words = {
        key: places.words_for(latest_version(found.skill), key, child)
        for key in places.keys(latest_version(found.skill))
    }
    return {
        "tray": found,
        "skill": found.skill,
        "child": child,
        "forms": forms,
        "agreed": agreed,
        "more": PhotosForm(),
        "words": words,
        "adults": [adult.name for adult in child.caregivers.all()],
    }


def _noted(found: Tray, forms: list[TrayPhotoForm], version: SkillVersion, request: HttpRequest) -> bool:
    """Keep what was typed so far. True where words followed their photo to another place: read them again."""
    found.typed = {
        name: request.POST.get(name, "")
        for name in ("which", "given_by", "relation", "purpose", "given_on", "until")
    }
    found.save(update_fields=["typed"])
    followed = [_noted_photo(form, version) for form in forms]
    return any(followed)


def _noted_photo(form: TrayPhotoForm, version: SkillVersion) -> bool:
    photo, place, shows = form.photo, form.typed_place(), form.shows()
    child = version.skill.child
    followed = place != photo.place and shows == places.words_for(version, photo.place, child)
    followed = followed and place != ""
    photo.looked = bool(form.data.get(form.add_prefix("looked"))) and not followed
    photo.shows = places.words_for(version, place, child) if followed else shows
    photo.place = place
    photo.save(update_fields=["place", "shows", "looked"])
    if followed:
        form.read_again(photo.shows)
    return followed


def _acted(request: HttpRequest, found: Tray, photos: list[TrayPhoto]) -> HttpResponse | None:
    """The buttons beside "keep": to the editor, throw one away, later."""
    told = {str(photo.pk): photo for photo in photos}
    if (photo := told.get(request.POST.get("edit", ""))) is not None:
        return redirect("picture_edit", photo.pk)
    if (photo := told.get(request.POST.get("drop", ""))) is not None:
        tidy.drop_photos(found.photos.filter(pk=photo.pk))
        if len(photos) > 1 or found.clip:
            return redirect("picture_tray", found.pk)
        tidy.drop_tray(found)
        return redirect("skill_pictures", found.skill_id)
    return None


def _whole(forms: list[TrayPhotoForm]) -> bool:
    """True where every photo has all it needs and no two go to one place. All faults are told at once."""
    good = [form.is_valid() for form in forms]
    seen: set[str] = set()
    for form in forms:
        place = form.typed_place()
        if place in seen:
            form.add_error("place", "Another photo goes there already. Choose another place for one of them.")
            good.append(False)
        seen.add(place) if place else None
    return bool(forms) and all(good)


def _kept(request: HttpRequest, found: Tray, consent: Consent) -> HttpResponse:
    try:
        kept = services.keep(found, consent, access.person(request))
    except FileNotFoundError:
        return _over(request, found)
    count = "1 picture is" if len(kept) == 1 else f"{len(kept)} pictures are"
    messages.success(request, f"{count} kept. The photos they were made from are deleted here.")
    return redirect(f"{reverse('skill_pictures', args=[found.skill_id])}#top")


def _over(request: HttpRequest, found: Tray) -> HttpResponse:
    tidy.drop_tray(found)
    messages.error(request, "These photos lay here too long and were deleted. Please send them in again.")
    return redirect("skill_pictures", found.skill_id)


@require_POST
def tray_more(request: HttpRequest, tray_id: int) -> HttpResponse:
    """More photos onto the same tray."""
    found = queries.tray_or_404(request, tray_id)
    form = PhotosForm(request.POST, request.FILES)
    if form.is_valid():
        tell_refused(request, services.take(found, form.cleaned_data["photos"]))
    else:
        messages.error(request, " ".join(str(told) for told in form.errors["photos"]))
    return next_page(request, reverse("picture_tray", args=[found.pk]), found)


@require_POST
def tray_drop(request: HttpRequest, tray_id: int) -> HttpResponse:
    """Throw everything on the tray away."""
    found = queries.tray_or_404(request, tray_id)
    tidy.drop_tray(found)
    messages.success(request, "Thrown away. What is printed is as it was.")
    return redirect("skill_pictures", found.skill_id)


@never_cache
@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, photo_id: int) -> HttpResponse:
    """Turn, cut, lighten, cover: by pointer, by keys, or by the buttons and numbers alone."""
    photo = queries.tray_photo_or_404(request, photo_id)
    form = EditForm(edits.edit_of(photo), request.POST or None)
    told: list[str] = []
    if request.method == "POST":
        act = request.POST.get("do", "")
        told = _edited(photo, form, act)
        if not told:
            if act == "done":
                return _to(request, f"{reverse('picture_tray', args=[photo.tray_id])}#photo-{photo.pk}")
            form = EditForm(edits.edit_of(photo))
    context = {"photo": photo, "tray": photo.tray, "skill": photo.tray.skill, "form": form, "told": told}
    return render(request, "pictures/edit.html", context | _drawn(form.edit, photo))


def _to(request: HttpRequest, address: str) -> HttpResponse:
    """A redirect of the whole page, also where only a part of it was asked for."""
    if request.headers.get("HX-Request"):
        return HttpResponse(headers={"HX-Redirect": address})
    return redirect(address)


def _edited(photo: TrayPhoto, form: EditForm, act: str) -> list[str]:
    """Keep what was typed and what the button does; what is wrong otherwise."""
    typed = form.edited()
    if typed is None:
        return form.told
    try:
        after = edits.acted(typed, act)
        edits.check(after)
    except Fault as fault:
        return [f"{told.what} {told.mend}" for told in told_all(fault)]
    edits.note(photo, after)
    return []


def _drawn(edit: edits.Edit, photo: TrayPhoto) -> dict[str, object]:
    """The square and the covers in pixels of the whole picture."""
    width, height = edit.width, edit.height
    covers = [
        {
            "number": number,
            "x": round(box.left * width),
            "y": round(box.top * height),
            "width": round(box.width * width),
            "height": round(box.height * height),
        }
        for number, box in enumerate(edit.covers)
    ]
    square = {
        "x": round(edit.square.left * width),
        "y": round(edit.square.top * height),
        "side": round(edit.side_px),
    }
    version = latest_version(photo.tray.skill)
    goes_to = dict(places.choices(version)).get(photo.place, "")
    drawn = {"width": width, "height": height, "covers": covers, "square": square}
    return {**drawn, "goes_to": goes_to, "ways": WAYS, "stamp": edit.stamp, "letters": round(width * 0.035)}


@never_cache
@require_GET
def preview(request: HttpRequest, photo_id: int) -> HttpResponse:
    """The picture as it will be saved: as noted, or as the numbers in the address say."""
    photo = queries.tray_photo_or_404(request, photo_id)
    edit = edits.edit_of(photo)
    if "left" in request.GET:
        edit = EditForm(edit, request.GET).edited() or edit
    return _jpeg_of(lambda: edits.jpeg(photo, edit))


@never_cache
@require_GET
def whole(request: HttpRequest, photo_id: int) -> HttpResponse:
    """The uncovered working copy, for whoever sent it in and nobody else."""
    photo = queries.tray_photo_or_404(request, photo_id)
    return _jpeg_of(lambda: kept_for_editing(edits.whole(photo, photo.turns)))


def _jpeg_of(make: object) -> HttpResponse:
    try:
        return HttpResponse(make(), content_type="image/jpeg")  # type: ignore[operator]
    except FileNotFoundError as gone:
        raise Http404 from gone
