"""The pictures of sheets: where they lie, and how long the service keeps them."""

from __future__ import annotations

import secrets
from datetime import date, timedelta
from pathlib import Path

from django.conf import settings
from django.db.models import Q
from django.utils import timezone

from bylittle.web.people.models import Service
from bylittle.web.scans.models import Scan, ScanState

#: A picture whose number could not be read waits this long for the number to be typed in.
UNREAD_DAYS = 7
#: Where they lie, below the data directory.
PLACE = "files/scans"


def folder() -> Path:
    """Where the pictures lie."""
    place = Path(settings.DATA_DIR) / PLACE
    place.mkdir(parents=True, exist_ok=True)
    return place


def keep(picture: bytes) -> str:
    """Keep a JPEG; returns its name, which says nothing."""
    name = f"{secrets.token_hex(16)}.jpg"
    (folder() / name).write_bytes(picture)
    return name


def let_go(scan: Scan) -> None:
    """Delete the picture of a scan; what was read stays."""
    if scan.picture:
        (folder() / scan.picture).unlink(missing_ok=True)
        scan.picture = ""


def days_kept() -> int:
    """How many days the service keeps the pictures."""
    return Service.current().keep_pictures_days


def until(scan: Scan) -> date | None:
    """The last day on which the picture of a scan is kept; None where there is none."""
    if not scan.picture:
        return None
    days = days_kept()
    most = min(days, UNREAD_DAYS) if scan.state == ScanState.REFUSED else days
    return timezone.localdate(scan.at) + timedelta(days=most)


def forget_old_pictures(today: date) -> int:
    """Delete pictures kept longer than the service says; the marks stay. How many were deleted."""
    most = days_kept()
    read = Q(at__date__lt=today - timedelta(days=most))
    unread = Q(state=ScanState.REFUSED, at__date__lt=today - timedelta(days=min(most, UNREAD_DAYS)))
    old = Scan.objects.filter(read | unread).exclude(picture="")
    for scan in old:
        let_go(scan)
        scan.save(update_fields=["picture"])
    return len(old)
