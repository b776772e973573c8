"""The pictures of a skill and of a child, and the consents they stand under."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bylittle.core.faults import Fault
from bylittle.library import objects
from bylittle.web.people import access
from bylittle.web.people.faults import told_all
from bylittle.web.pictures import places, queries, services, tidy
from bylittle.web.pictures.forms import ClipForm, ConsentForm, PhotosForm
from bylittle.web.pictures.models import Consent, Picture, Tray
from bylittle.web.skills.models import Skill
from bylittle.web.skills.queries import latest_version
from bylittle.web.skills.views import skill_or_404


@require_http_methods(["GET", "POST"])
def skill_pictures(request: HttpRequest, skill_id: int) -> HttpResponse:
    """What is printed at each place of a skill, and the way in for photos and a clip."""
    skill = skill_or_404(request, skill_id)
    tidy.forget_working_copies()
    form = PhotosForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        tray = Tray.objects.create(skill=skill, by=access.person(request))
        return _taken(request, tray, form, request.POST.get("place", ""))
    return render(request, "pictures/skill.html", _skill_context(request, skill, form, ClipForm()))


def _taken(request: HttpRequest, tray: Tray, form: PhotosForm, place: str) -> HttpResponse:
    known = place if place in places.keys(latest_version(tray.skill)) else ""
    tell_refused(request, services.take(tray, form.cleaned_data["photos"], known))
    if tray.photos.exists():
        return next_page(request, reverse("picture_tray", args=[tray.pk]), tray)
    skill_id = tray.skill_id
    tray.delete()
    return next_page(request, reverse("skill_pictures", args=[skill_id]))


def next_page(request: HttpRequest, address: str, tray: Tray | None = None) -> HttpResponse:
    """To the next page; a script that sends files one by one is told where that is and where more go."""
    if request.headers.get("Accept") != "application/json":
        return redirect(address)
    more = reverse("picture_tray_more", args=[tray.pk]) if tray else ""
    return JsonResponse({"next": address, "more": more})


def tell_refused(request: HttpRequest, refused: list[services.Refusal]) -> None:
    """Each file that was not taken, with its reason; the others are there."""
    for each in refused:
        told = " ".join(f"{told.what} {told.mend}" for told in each.told)
        messages.error(request, f"{each.name} was not taken. {told}")


def _skill_context(request: HttpRequest, skill: Skill, form: PhotosForm, clip: ClipForm) -> dict[str, object]:
    version, today = latest_version(skill), timezone.localdate()
    pictures = queries.current(skill)
    rows = places.places(version, pictures, today)
    told = request.GET.get("place", "")
    chosen = next((row for row in rows if row.key == told), None)
    return {
        "things": places.things_for(chosen) if chosen else None,
        "things_credit": objects.credit()["en"],
        "credit": places.credit(rows),
        "skill": skill,
        "child": skill.child,
        "places": rows,
        "chosen": chosen,
        "soon": places.ending_soon([row.picture for row in rows if row.picture], today),
        "form": form,
        "clip": clip,
        "trays": queries.waiting_trays(skill, access.person(request)),
        "today": today,
    }


@require_POST
def clip_new(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Take a clip in, to be cut into pictures of the steps."""
    skill = skill_or_404(request, skill_id)
    form = ClipForm(request.POST, request.FILES)
    if form.is_valid():
        try:
            tray = services.take_clip(skill, form.cleaned_data["clip"], access.person(request))
            return next_page(request, reverse("picture_clip", args=[tray.pk]))
        except Fault as fault:
            for told in told_all(fault):
                form.add_error("clip", f"{told.what} {told.mend} Nothing else was changed.")
    return render(request, "pictures/skill.html", _skill_context(request, skill, PhotosForm(), form))


@require_POST
def picture_thing(request: HttpRequest, skill_id: int) -> HttpResponse:
    """Put a thing of the open set at a place."""
    skill = skill_or_404(request, skill_id)
    try:
        services.choose_thing(
            skill, request.POST.get("place", ""), request.POST.get("thing", ""), access.person(request)
        )
    except Fault as fault:
        for told in told_all(fault):
            messages.error(request, f"Nothing was changed. {told.what} {told.mend}")
    return redirect("skill_pictures", skill.pk)


@require_GET
def child_pictures(request: HttpRequest, child_id: int) -> HttpResponse:
    """All pictures of a child under their consents; those ending soon are told first."""
    child = access.child_or_404(request, child_id)
    today = timezone.localdate()
    consents = queries.consents_of(child)
    lines = [(each, _state(each), _shown(each)) for each in consents]
    soon = places.ending_soon([picture for each in consents for picture in _shown(each)], today)
    context = {"child": child, "lines": lines, "soon": soon, "in_use": queries.in_use(child)}
    return render(request, "pictures/child.html", context)


def _state(consent: Consent) -> str:
    """ "stands", "withdrawn", "ended" or "renewed"."""
    if consent.withdrawn_on is not None:
        return "withdrawn"
    if consent.until < timezone.localdate():
        return "ended"
    return "renewed" if consent.renewed.all() and not _shown(consent) else "stands"


def _shown(consent: Consent) -> list[Picture]:
    pictures = [picture for picture in consent.pictures.all() if picture.deleted_on is None]
    for picture in pictures:
        picture.consent = consent
    return pictures


@never_cache
@require_GET
def picture_file(request: HttpRequest, picture_id: int) -> HttpResponse:
    """A kept picture, for one of the child's team, while its consent stands."""
    picture = access.of_child_or_404(request, queries.picture_rows(), picture_id, "skill__child")
    if not picture.usable_on(timezone.localdate()) or picture.photo is None:
        raise Http404
    return HttpResponse(bytes(picture.photo), content_type="image/jpeg")


@require_POST
def picture_delete(request: HttpRequest, picture_id: int) -> HttpResponse:
    """Delete a picture for good; the drawing comes back."""
    picture = access.of_child_or_404(request, queries.picture_rows(), picture_id, "skill__child")
    services.delete(picture, access.person(request), timezone.localdate())
    messages.success(request, "The picture is deleted for good." if picture.consent_id else "Taken off.")
    if request.POST.get("back") == "consent" and picture.consent_id:
        return redirect("consent", picture.consent_id)
    return redirect("skill_pictures", picture.skill_id)


@require_http_methods(["GET", "POST"])
def consent(request: HttpRequest, consent_id: int) -> HttpResponse:
    """A consent with its pictures: withdraw it, or note a new one that takes the pictures over."""
    found = access.of_child_or_404(request, Consent.objects.select_related("child"), consent_id)
    known = {"given_by": found.given_by, "relation": found.relation, "purpose": found.purpose}
    form = ConsentForm(request.POST or None, instance=Consent(child=found.child), initial=known)
    if request.method == "POST" and form.is_valid():
        form.instance.noted_by = access.person(request)
        services.renew(found, form.instance)
        messages.success(request, "The new consent is kept. The pictures stand under it now.")
        return redirect("child_pictures", found.child_id)
    context = {"consent": found, "child": found.child, "form": form, "state": _state(found)}
    context |= {"pictures": _shown(found), "in_use": queries.in_use(found.child)}
    return render(request, "pictures/consent.html", context)


@require_POST
def consent_clear(request: HttpRequest, consent_id: int) -> HttpResponse:
    """Delete every picture under a consent for good."""
    found = access.of_child_or_404(request, Consent.objects.all(), consent_id)
    pictures = list(found.pictures.filter(deleted_on=None))
    for picture in pictures:
        services.delete(picture, access.person(request), timezone.localdate())
    messages.success(request, f"Deleted for good: {len(pictures)}. That they were there stays on record.")
    return redirect("child_pictures", found.child_id)


@require_POST
def consent_withdraw(request: HttpRequest, consent_id: int) -> HttpResponse:
    """Take a consent back, at once."""
    found = access.of_child_or_404(request, Consent.objects.all(), consent_id)
    services.withdraw(found, access.person(request), timezone.localdate())
    messages.success(
        request,
        "Withdrawn. No page is printed with these pictures any more, older plans included. "
        "Pages on paper are with whoever has them: ask for them back, or hand out new ones.",
    )
    return redirect("child_pictures", found.child_id)
