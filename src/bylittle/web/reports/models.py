"""Reports as drafts to edit and sign; a signed one stays as it was."""

from __future__ import annotations

from django.db import models
from django.utils import timezone

from bylittle.library.wording.reports import KINDS, title
from bylittle.web.people.models import Child, Person


class KeptReport(models.Model):
    """One report: `content` is the whole of it as text, as `files.report_json` writes it."""

    child = models.ForeignKey(Child, on_delete=models.CASCADE, related_name="reports")
    kind = models.CharField(max_length=20, choices=[(kind, title(kind)) for kind in KINDS])
    content = models.TextField()
    made_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(default=timezone.now)
    signed_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    signed_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["-id"]

    @property
    def signed(self) -> bool:
        return self.signed_at is not None
