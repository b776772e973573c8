"""Pictures of a child's own things, the consent for each, and what lies ready while it is being edited."""

from __future__ import annotations

from datetime import date

from django.db import models
from django.utils import timezone

from bylittle.web.people.models import Child, Person
from bylittle.web.skills.models import Skill


class Purpose(models.TextChoices):
    """What a picture may be used for. Each includes the pages of this family."""

    HOME = "home", "Pages for this family"
    HELPERS = "helpers", "Pages for this family and for others who practise with the child"
    TEACHING = "teaching", "The same, and to show colleagues how it is done"


class Consent(models.Model):
    """Who allowed what with pictures of a child, and until when. One consent may cover several pictures.

    `until` is the last day. `renews` is the consent that this one took the pictures over from.
    """

    child = models.ForeignKey(Child, on_delete=models.CASCADE, related_name="picture_consents")
    purpose = models.CharField(max_length=10, choices=Purpose.choices, default=Purpose.HOME)
    given_by = models.CharField("who gave it", max_length=60)
    relation = models.CharField("and is the child's", max_length=40)
    given_on = models.DateField("given on", default=timezone.localdate)
    until = models.DateField("until")
    noted_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    noted_at = models.DateTimeField(default=timezone.now)
    withdrawn_on = models.DateField(null=True)
    withdrawn_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    renews = models.ForeignKey("self", on_delete=models.RESTRICT, null=True, related_name="renewed")

    class Meta:
        ordering = ["-id"]

    def stands_on(self, day: date) -> bool:
        """Whether pictures may be printed under it on that day."""
        return self.withdrawn_on is None and self.given_on <= day <= self.until


class Picture(models.Model):
    """One square picture of one place of a skill; the newest of a place is the one in use.

    `photo`: the JPEG with faces covered for good; None once deleted. `shows`: {language: what it shows}.
    `thing`: a thing of the open set instead, which needs nobody's consent.
    """

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="pictures")
    place = models.CharField(max_length=60)
    shows = models.JSONField(default=dict)
    photo = models.BinaryField(null=True)
    thing = models.CharField(max_length=40, blank=True)
    from_clip = models.BooleanField(default=False)
    consent = models.ForeignKey(Consent, on_delete=models.RESTRICT, null=True, related_name="pictures")
    kept_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    kept_at = models.DateTimeField(default=timezone.now)
    deleted_on = models.DateField(null=True)
    deleted_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(consent__isnull=False) | ~models.Q(thing=""), name="a_photo_has_a_consent"
            )
        ]

    def usable_on(self, day: date) -> bool:
        """Whether it may be put on a page that day."""
        allowed = self.consent.stands_on(day) if self.consent else bool(self.thing)
        return self.deleted_on is None and allowed


class Tray(models.Model):
    """Photos that one person sent in and has not kept yet. Nobody else sees it; it is short-lived.

    `clip`: the file a clip waits in, `""` for photos; `taps`: {place: seconds}; `typed`: the consent as typed
    so far.
    """

    by = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="+")
    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="trays")
    at = models.DateTimeField(default=timezone.now)
    clip = models.CharField(max_length=80, blank=True)
    clip_kind = models.CharField(max_length=40, blank=True)
    taps = models.JSONField(default=dict)
    typed = models.JSONField(default=dict)

    class Meta:
        ordering = ["-id"]


class TrayPhoto(models.Model):
    """A photo on a tray, and what is to be done to it before it is kept.

    `file`: its working copy; `width`, `height`: of that copy in pixels. `turns`: quarters to the right.
    Square and covers are shares of the turned picture, as in `bylittle.reading.photos`.
    """

    tray = models.ForeignKey(Tray, on_delete=models.CASCADE, related_name="photos")
    name = models.CharField(max_length=120)
    file = models.CharField(max_length=80)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    from_clip = models.BooleanField(default=False)
    place = models.CharField(max_length=60, blank=True)
    shows = models.JSONField(default=dict)
    looked = models.BooleanField(default=False)
    turns = models.PositiveIntegerField(default=0)
    left = models.FloatField()
    top = models.FloatField()
    side = models.FloatField(default=1.0)
    lighter = models.PositiveIntegerField(default=0)
    covers = models.JSONField(default=list)
    found = models.PositiveIntegerField(default=0)
    """How many faces the program offered a cover for."""

    class Meta:
        ordering = ["id"]
