"""What is done with pictures: taken in, kept with a consent, withdrawn, deleted; working copies dropped."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import BinaryIO, cast

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.utils import timezone
from PIL import Image

from bylittle.core.faults import BadValue, Fault
from bylittle.library import objects
from bylittle.library.wording.faults import Told
from bylittle.reading.photos.faces import faces
from bylittle.reading.photos.finish import kept_for_editing, middle_square
from bylittle.reading.photos.opening import open_photo
from bylittle.web.people.faults import told_all
from bylittle.web.people.models import Person
from bylittle.web.pictures import edits, places, tidy, working
from bylittle.web.pictures.models import Consent, Picture, Tray, TrayPhoto
from bylittle.web.pictures.queries import current
from bylittle.web.skills.models import Skill
from bylittle.web.skills.queries import latest_version

CLIP_KINDS = {b"\x1aE\xdf\xa3": "video/webm"}


@dataclass(frozen=True, slots=True)
class Refusal:
    """A file that was not taken, with the reason in words."""

    name: str
    told: tuple[Told, ...]


def take(tray: Tray, files: Sequence[UploadedFile], place: str = "") -> list[Refusal]:
    """Put photos on a tray, each at the next empty place; one that is refused loses no other."""
    refused = []
    for file in files:
        name = (file.name or "photo")[-120:]
        try:
            picture = open_photo(file.read())
        except Fault as fault:
            refused.append(Refusal(name, tuple(told_all(fault))))
            continue
        _lay(tray, picture, name, place or next_place(tray))
        place = ""
    return refused


def _lay(tray: Tray, picture: Image.Image, name: str, place: str, from_clip: bool = False) -> TrayPhoto:
    square, found = middle_square(*picture.size), faces(picture)
    version = latest_version(tray.skill)
    return TrayPhoto.objects.create(
        tray=tray,
        name=name,
        file=working.put([kept_for_editing(picture)], "jpg"),
        width=picture.size[0],
        height=picture.size[1],
        from_clip=from_clip,
        place=place,
        shows=places.words_for(version, place, tray.skill.child),
        left=square.left,
        top=square.top,
        side=square.side,
        covers=[[box.left, box.top, box.width, box.height] for box in found],
        found=len(found),
    )


def next_place(tray: Tray) -> str:
    """The next place of the skill, in order: those without an own photo first; "" where all are taken."""
    version, today = latest_version(tray.skill), timezone.localdate()
    taken = set(tray.photos.values_list("place", flat=True))
    own = {key for key, picture in current(tray.skill).items() if picture.usable_on(today)}
    free = [key for key in places.keys(version) if key not in taken]
    return next((key for key in free if key not in own), free[0] if free else "")


def take_clip(skill: Skill, file: UploadedFile, by: Person) -> Tray:
    """Keep a clip while its steps are tapped. Raises ClipRefused for what cannot be read or is too long."""
    from bylittle.reading.photos.clip import sharpest  # loads a video library: only with the first clip

    head = file.read(4)
    file.seek(0)
    sharpest(cast("BinaryIO", file.file), [0.0])
    file.seek(0)
    name = working.put(file.chunks(), "clip")
    return Tray.objects.create(skill=skill, by=by, clip=name, clip_kind=CLIP_KINDS.get(head, "video/mp4"))


def cut(tray: Tray, taps: Mapping[str, float]) -> None:
    """The sharpest picture near each tap as the photo of its place; pictures cut before are thrown away."""
    from bylittle.reading.photos.clip import sharpest

    with working.path(tray.clip).open("rb") as clip:
        pictures = sharpest(clip, list(taps.values()))
    tidy.drop_photos(tray.photos.filter(from_clip=True))
    tray.taps = dict(taps)
    tray.save(update_fields=["taps"])
    for (place, second), picture in zip(taps.items(), pictures, strict=True):
        _lay(tray, picture, f"clip at {second:g} s", place, from_clip=True)


def keep(tray: Tray, consent: Consent, by: Person) -> list[Picture]:
    """Keep every photo of a tray as it is seen, under one consent; the working copies are dropped.

    Nothing is kept twice: a tray that was kept a moment ago has nothing left. FileNotFoundError where a
    working copy's time is over.
    """
    with transaction.atomic():
        if not Tray.objects.select_for_update().filter(pk=tray.pk).exists():
            return []
        files = tidy.files_of(tray)
        if consent.pk is None:
            consent.noted_by = by
            consent.save()
        kept = [
            Picture.objects.create(
                skill=tray.skill,
                place=photo.place,
                shows=photo.shows,
                photo=edits.jpeg(photo, edits.edit_of(photo)),
                from_clip=photo.from_clip,
                consent=consent,
                kept_by=by,
            )
            for photo in tray.photos.all()
        ]
        tray.delete()
    working.drop(files)
    return kept


def choose_thing(skill: Skill, place: str, name: str, by: Person) -> Picture:
    """Put a thing of the open set at a place. BadValue names the things and places there are."""
    known = places.keys(latest_version(skill))
    if place not in known:
        raise BadValue("step_not_in_version", name="place", value=place, allowed=known)
    shows, languages = objects.thing(name).alt, places.family_languages(skill.child)
    told = {language: shows[language] for language in languages if language in shows}
    return Picture.objects.create(skill=skill, place=place, thing=name, shows=told, kept_by=by)


def withdraw(consent: Consent, by: Person, today: date) -> None:
    """Take a consent back: from now on no page is printed with its pictures."""
    if consent.withdrawn_on is None:
        consent.withdrawn_on, consent.withdrawn_by = today, by
        consent.save(update_fields=["withdrawn_on", "withdrawn_by"])


@transaction.atomic
def renew(old: Consent, new: Consent) -> Consent:
    """Put the pictures of a consent under a new one; the old one stays on record."""
    new.renews = old
    new.save()
    old.pictures.filter(deleted_on=None).update(consent=new)
    return new


def delete(picture: Picture, by: Person, today: date) -> None:
    """Delete a picture for good; that there was one stays on record."""
    picture.photo, picture.deleted_on, picture.deleted_by = None, today, by
    picture.save(update_fields=["photo", "deleted_on", "deleted_by"])
