"""Reading pictures, consents and what lies on a tray; who may see which."""

from __future__ import annotations

from datetime import date

from django.db.models import QuerySet
from django.http import Http404, HttpRequest

from bylittle.web.people import access
from bylittle.web.people.models import Child, Person
from bylittle.web.pictures.models import Consent, Picture, Tray, TrayPhoto
from bylittle.web.pictures.places import ends_soon
from bylittle.web.skills.models import Skill


def picture_rows() -> QuerySet[Picture]:
    """Pictures that are still there, with their consents, oldest first."""
    return Picture.objects.filter(deleted_on=None).select_related("consent", "kept_by", "skill")


def current(skill: Skill) -> dict[str, Picture]:
    """The newest picture of each place, whether or not it may be printed; none where that was deleted."""
    newest = {each.place: each for each in Picture.objects.filter(skill=skill).select_related("consent")}
    return {place: picture for place, picture in newest.items() if picture.deleted_on is None}


def in_use(child: Child) -> set[int]:
    """The ids of the pictures that are the newest of their place."""
    rows = Picture.objects.filter(skill__child=child).values_list("skill_id", "place", "pk")
    return set({(skill, place): pk for skill, place, pk in rows}.values())


def consents_of(child: Child) -> list[Consent]:
    """All consents of a child with the pictures under them, the newest first."""
    rows = Consent.objects.filter(child=child).select_related("noted_by", "withdrawn_by")
    return list(rows.prefetch_related("pictures__skill", "renewed"))


def standing_consents(child: Child, today: date) -> list[Consent]:
    """The consents that more pictures could be put under today."""
    return [each for each in Consent.objects.filter(child=child) if each.stands_on(today)]


def count_soon(child: Child, today: date) -> int:
    """How many of the child's pictures lose their consent soon."""
    rows = picture_rows().filter(skill__child=child)
    return sum(ends_soon(row, today) for row in rows)


def waiting_trays(skill: Skill, who: Person) -> list[Tray]:
    """Her own photos of this skill that are not kept yet."""
    return list(Tray.objects.filter(skill=skill, by=who))


def _own_trays(request: HttpRequest) -> QuerySet[Tray]:
    """Working copies are uncovered: only whoever sent them in sees them, and only while on the team."""
    who = access.person(request)
    rows = Tray.objects.filter(by=who, skill__child__in=access.children_of(who))
    return rows.select_related("skill__child")


def tray_or_404(request: HttpRequest, tray_id: int) -> Tray:
    """A tray of her own."""
    found = _own_trays(request).filter(pk=tray_id).first()
    if found is None:
        raise Http404
    return found


def tray_photo_or_404(request: HttpRequest, photo_id: int) -> TrayPhoto:
    """A photo on a tray of her own."""
    rows = TrayPhoto.objects.select_related("tray__skill__child").filter(tray__in=_own_trays(request))
    found = rows.filter(pk=photo_id).first()
    if found is None:
        raise Http404
    return found
