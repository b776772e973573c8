"""Delete the pictures of log sheets that the service keeps no longer; for a nightly job."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from bylittle.web.scans import keeping


class Command(BaseCommand):
    help = "Deletes pictures of log sheets that are older than the service's setting; the marks stay."

    def handle(self, *args: Any, **options: Any) -> None:
        count = keeping.forget_old_pictures(timezone.localdate())
        self.stdout.write(f"{count} pictures deleted; they are kept for {keeping.days_kept()} days.")
