"""A photographed log sheet: what was read, what a person settled, and which rows of the record came of it."""

from __future__ import annotations

from django.db import models
from django.utils import timezone

from bylittle.web.people.models import Person
from bylittle.web.plans.models import Plan


class ScanState(models.TextChoices):
    WAITING = "waiting", "to be looked at"
    ACCEPTED = "accepted", "in the record"
    ASIDE = "set aside", "set aside"
    REFUSED = "refused", "could not be read"


class Scan(models.Model):
    """One picture of one page. Nothing of it is practice until it is accepted.

    `ink`: {bubble: [state, darkness]}; `places`: {bubble: [x, y]} as shares of the straightened picture;
    `initials`: the adults as they stand on the sheet. `refusal`: the code of why it was not read.
    What a person said: `rows` {row: bubble or null}, `adults` {day of the sheet: who practised}, `week`
    "another" for a photocopy, with its first day in `start`; `changed`: "right" or "keep", where the record
    says otherwise; `free_word`: what the family wrote, as somebody typed it, "" where there is nothing to
    keep, None while nobody said. `ink` tells under "notes" whether something seems to be written there, and
    `places` the corners of that room.
    `trail`: what was done by whom, oldest first. `records`: {row: number of the record written}; `put_right`:
    the corrections among them.
    """

    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    name = models.CharField(max_length=120)
    part = models.PositiveIntegerField(default=1)
    digest = models.CharField(max_length=64)
    state = models.CharField(max_length=10, choices=ScanState.choices, default=ScanState.WAITING)
    why = models.TextField(blank=True)
    refusal = models.CharField(max_length=20, blank=True)
    sheet = models.CharField(max_length=16, blank=True)
    page = models.PositiveIntegerField(default=1)
    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, null=True, related_name="scans")
    ink = models.JSONField(default=dict)
    places = models.JSONField(default=dict)
    picture = models.CharField(max_length=80, blank=True)
    width = models.PositiveIntegerField(default=0)
    height = models.PositiveIntegerField(default=0)
    rows = models.JSONField(default=dict)
    start = models.DateField(null=True)
    initials = models.JSONField(default=list)
    adults = models.JSONField(default=dict)
    week = models.CharField(max_length=8, blank=True)
    free_word = models.TextField(null=True)
    trail = models.JSONField(default=list)
    changed = models.CharField(max_length=8, blank=True)
    records = models.JSONField(default=dict)
    put_right = models.JSONField(default=list)
    accepted_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    accepted_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["-id"]
