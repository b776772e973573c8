"""The team, the children and the adults around them."""

from __future__ import annotations

from datetime import date

from django.contrib.auth.models import AbstractUser
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models


class Role(models.TextChoices):
    THERAPIST = "therapist", "Therapist"
    ASSISTANT = "assistant", "Assistant"
    STUDENT = "student", "Student"
    LEAD = "lead", "Lead"


class Person(AbstractUser):
    """A member of the team. Only a therapist or lead decides and signs."""

    role = models.CharField(max_length=20, choices=Role.choices, default=Role.ASSISTANT)

    @property
    def may_sign(self) -> bool:
        return self.role in (Role.THERAPIST, Role.LEAD)

    @property
    def shown_name(self) -> str:
        return self.get_full_name() or self.username


KEEP_PICTURES_DAYS = (1, 3650)


class Service(models.Model):
    """The team's own defaults; one row."""

    name = models.CharField(max_length=120, default="Our service")
    call = models.CharField(max_length=120, blank=True)
    paper = models.CharField(max_length=10, choices=[("a4", "A4"), ("letter", "US Letter")], default="a4")
    keep_pictures_days = models.PositiveIntegerField(
        "days that pictures of log sheets are kept",
        default=90,
        validators=[MinValueValidator(KEEP_PICTURES_DAYS[0]), MaxValueValidator(KEEP_PICTURES_DAYS[1])],
    )

    @classmethod
    def current(cls) -> Service:
        return cls.objects.first() or cls()


LANGUAGES = [("en", "English"), ("es", "Español")]


class Child(models.Model):
    """A child goes by the first name. Safety facts stand here and go on every page that goes home."""

    name = models.CharField("first name", max_length=40)
    born = models.DateField("born on")
    due = models.DateField("due date, if born early", null=True, blank=True)
    left_handed = models.BooleanField("uses the left hand", default=False)
    language = models.CharField(max_length=8, choices=LANGUAGES, default="en")
    second_language = models.CharField(max_length=8, choices=[("", "none"), *LANGUAGES], blank=True)
    loves = models.TextField("what the child loves", blank=True)
    finds_hard = models.TextField("what is hard and wanted", blank=True)
    wears = models.CharField("splints, glasses, shoes: on or off", max_length=200, blank=True)
    mouths = models.BooleanField("puts things into the mouth", null=True, blank=True)
    text_size = models.PositiveIntegerField(
        "letters on pages for the family", default=14, choices=[(n, f"{n} points") for n in (14, 16, 18)]
    )
    precautions = models.TextField(blank=True)
    allergies = models.TextField(blank=True)
    stop_signs = models.TextField(blank=True)
    yes_signs = models.TextField(blank=True)
    call = models.CharField("whom to call", max_length=120, blank=True)
    team = models.ManyToManyField(Person, related_name="children")
    created = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def age_on(self, day: date) -> tuple[int, int]:
        """Age in whole years and months on a day."""
        months = (day.year - self.born.year) * 12 + day.month - self.born.month
        if day.day < self.born.day:
            months -= 1
        return divmod(max(months, 0), 12)


class Routine(models.Model):
    """A routine of the child's day: where a skill could live."""

    child = models.ForeignKey(Child, on_delete=models.CASCADE, related_name="routines")
    what = models.CharField(max_length=80)
    who = models.CharField(max_length=80, blank=True)
    place = models.CharField(max_length=60, blank=True)
    minutes = models.PositiveIntegerField(null=True, blank=True)
    mood = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return ", ".join(part for part in (self.what, self.place, self.who) if part)


class Caregiver(models.Model):
    """An adult who practises with the child; the initials stand on the log sheet."""

    child = models.ForeignKey(Child, on_delete=models.CASCADE, related_name="caregivers")
    name = models.CharField(max_length=40)
    initials = models.CharField(max_length=8)

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["child", "initials"], name="initials_once_per_child")]

    def __str__(self) -> str:
        return self.name
