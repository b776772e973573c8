"""Working copies and trays thrown away: by hand, once kept, and by age."""

from __future__ import annotations

from datetime import timedelta

from django.conf import settings
from django.db.models import QuerySet
from django.utils import timezone

from bylittle.web.pictures import working
from bylittle.web.pictures.models import Tray, TrayPhoto


def drop_photos(photos: QuerySet[TrayPhoto]) -> None:
    """Throw photos of a tray away, with their working copies."""
    rows = list(photos)
    working.drop(photo.file for photo in rows)
    TrayPhoto.objects.filter(pk__in=[photo.pk for photo in rows]).delete()


def files_of(tray: Tray) -> list[str]:
    """The names of a tray's working copies."""
    return [tray.clip, *tray.photos.values_list("file", flat=True)]


def drop_tray(tray: Tray) -> None:
    """Throw a tray away: photos, clip, all of it."""
    files = files_of(tray)
    tray.delete()
    working.drop(files)


def forget_working_copies() -> int:
    """Drop what has lain longer than the service allows, wherever it came from. How many trays."""
    hours = settings.WORKING_COPY_HOURS
    old = list(Tray.objects.filter(at__lt=timezone.now() - timedelta(hours=hours)))
    for tray in old:
        drop_tray(tray)
    working.drop_older_than(hours)
    return len(old)
