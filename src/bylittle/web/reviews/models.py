"""Reviews, carry-over checks, and the advice kept for a day so that pages are quick."""

from __future__ import annotations

from django.db import models
from django.utils import timezone

from bylittle.web.people.models import Person
from bylittle.web.plans.models import Plan
from bylittle.web.skills.models import Skill


class Review(models.Model):
    """What was advised, what the therapist decided and why; both are kept."""

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="reviews")
    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, null=True, related_name="+")
    on = models.DateField()
    advised = models.CharField(max_length=20)
    advised_why = models.JSONField(default=list)
    decided = models.CharField(max_length=20)
    reason = models.TextField(blank=True)
    red_flags = models.JSONField(default=dict)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["id"]

    @property
    def overridden(self) -> bool:
        return self.advised != self.decided


class Carryover(models.Model):
    """A carry-over check due after mastery: the same skill elsewhere, later, or with somebody else."""

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="carryovers")
    due = models.DateField()
    place = models.CharField(max_length=60, blank=True)
    adult = models.CharField(max_length=40, blank=True)
    done_on = models.DateField(null=True, blank=True)
    kept = models.BooleanField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["due"]


class KeptAdvice(models.Model):
    """The advice worked out from the log as it stands on one day: derived, never edited, made again at will.

    `basis` names what it was worked out from (last record, plan, day); a differing basis makes it stale.
    """

    skill = models.OneToOneField(Skill, on_delete=models.CASCADE, related_name="kept_advice")
    basis = models.CharField(max_length=120)
    content = models.JSONField()
