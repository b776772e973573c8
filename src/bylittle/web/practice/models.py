"""The practice record. It only grows: a correction or a move is a row of its own and the old one stays."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.utils import timezone

from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.practice.marks import Outcome, ProbeKind, Source
from bylittle.web.people.models import Child, Person
from bylittle.web.plans.models import Plan
from bylittle.web.skills.models import Skill, SkillVersion


class AppendOnly(Exception):
    """Somebody tried to change or take out a row of the record."""


class Visit(models.Model):
    """A visit: when, how long, where, and what was done."""

    child = models.ForeignKey(Child, on_delete=models.CASCADE, related_name="visits")
    on = models.DateField(default=timezone.localdate)
    minutes = models.PositiveIntegerField(default=45)
    timed_minutes = models.PositiveIntegerField("of these timed", default=0)
    place = models.CharField(max_length=60, blank=True)
    done = models.TextField("what was done", blank=True)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["on", "id"]


class ScoredTwice(models.Model):
    """Two people scored the same turns (a visit or a clip that both watched): the base of agreement."""

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="scored_twice")
    first_source = models.CharField(max_length=8)
    first_adult = models.CharField(max_length=40)
    second_source = models.CharField(max_length=8)
    second_adult = models.CharField(max_length=40)


class FidelityCheck(models.Model):
    """How one adult practised, seen at a visit and held against the signed plan: {item: what was seen}."""

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="fidelity_checks")
    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, related_name="+")
    on = models.DateField(default=timezone.localdate)
    adult = models.CharField(max_length=40)
    seen = models.JSONField(default=dict)
    note = models.CharField(max_length=400, blank=True)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["on", "id"]


class Import(models.Model):
    """One file taken in; the same content again is known by its digest."""

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="imports")
    name = models.CharField(max_length=120)
    digest = models.CharField(max_length=64)
    rows = models.PositiveIntegerField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)


class InTheWay(models.Model):
    """What a family ticked under "what got in the way?" for some days; taken back with trace, never deleted.

    `what`: a word of `library.wording.sheet.HINDRANCES`, or `in_the_way.WORDS` where the family wrote
    something: `words` says it as somebody typed it. `photograph`: the digest of the picture that it was
    read from, empty where it came another way.
    """

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="in_the_way")
    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, null=True, related_name="+")
    first = models.DateField()
    last = models.DateField()
    what = models.CharField(max_length=20)
    words = models.TextField(blank=True)
    source = models.CharField(max_length=8, choices=[(value.value, value.value) for value in Source])
    photograph = models.CharField(max_length=80, blank=True)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    back_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    back_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["first", "id"]


class RecordKind(models.TextChoices):
    ENTRY = "entry", "written down"
    CORRECTED = "corrected", "corrected"
    MOVED_AWAY = "moved away", "moved away"


class Record(models.Model):
    """One step mark as written, or a later word about one (`about`), with who wrote it and why."""

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="records")
    version = models.ForeignKey(SkillVersion, on_delete=models.PROTECT, related_name="+")
    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, null=True, related_name="+")
    kind = models.CharField(max_length=10, choices=RecordKind.choices, default=RecordKind.ENTRY)
    about = models.ForeignKey("self", on_delete=models.PROTECT, null=True, related_name="later_words")
    reason = models.CharField(max_length=200, blank=True)

    day = models.DateField()
    turn = models.PositiveIntegerField()
    step_id = models.CharField(max_length=60)
    outcome = models.CharField(max_length=14, choices=[(value.value, value.value) for value in Outcome])
    source = models.CharField(max_length=8, choices=[(value.value, value.value) for value in Source])
    adult = models.CharField(max_length=40, blank=True)
    offered = models.PositiveIntegerField(null=True)
    needed = models.PositiveIntegerField(null=True)
    order = models.CharField(max_length=14, default=OrderOfHelp.FIXED_OFFER)
    place = models.CharField(max_length=60, blank=True)
    grade = models.CharField(max_length=80, blank=True)
    note = models.CharField(max_length=400, blank=True)
    probe = models.CharField(
        max_length=8, blank=True, choices=[(value.value, value.value) for value in ProbeKind]
    )

    imported = models.ForeignKey(Import, on_delete=models.PROTECT, null=True, related_name="records")
    by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["skill", "day"])]

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self.pk is not None:
            raise AppendOnly("Practice is corrected by a new row, never changed.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        raise AppendOnly("Practice is corrected by a new row, never taken out.")
