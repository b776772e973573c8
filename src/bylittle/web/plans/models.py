"""Home plans and the safety gate. A plan is a draft until it is signed; a signed one never changes."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone

from bylittle.core.plan.home_plan import MOST_MINUTES, MOST_TURNS_A_DAY, MOST_WAIT_S, Chaining
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.skill.ladder import DEFAULT_LADDER, Ladder
from bylittle.web.people.models import Person
from bylittle.web.pictures.models import Picture
from bylittle.web.skills.models import Skill, SkillVersion


def default_ladder() -> list[str]:
    return list(DEFAULT_LADDER.names)


def _choices(values: type[Chaining] | type[OrderOfHelp]) -> list[tuple[str, str]]:
    return [(value.value, value.value) for value in values]


def _range(low: int, high: int) -> list[MinValueValidator | MaxValueValidator]:
    return [MinValueValidator(low), MaxValueValidator(high)]


class Plan(models.Model):
    """One version of the home plan of a skill. `code` is the same for all versions of the skill's plan."""

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="plans")
    version = models.ForeignKey(SkillVersion, on_delete=models.PROTECT, related_name="plans")
    number = models.PositiveIntegerField()
    code = models.CharField(max_length=6)
    chaining = models.CharField(max_length=10, choices=_choices(Chaining), default=Chaining.BACKWARD)
    leap_ahead = models.BooleanField("leap ahead", default=False)
    order_of_help = models.CharField(
        max_length=14, choices=_choices(OrderOfHelp), default=OrderOfHelp.FIXED_OFFER
    )
    procedure = models.CharField("way of helping", max_length=40, blank=True)
    levels = models.JSONField(default=default_ladder)
    grade = models.CharField("material", max_length=80, blank=True)
    routine = models.CharField("when in the day", max_length=120, blank=True)
    turns_per_day = models.PositiveIntegerField(
        "turns in a sitting", default=4, validators=_range(1, MOST_TURNS_A_DAY)
    )
    days = models.PositiveIntegerField("days on the log sheet", default=7, validators=_range(1, 7))
    minutes = models.PositiveIntegerField("minutes at most", default=5, validators=_range(1, MOST_MINUTES))
    wait_s = models.PositiveIntegerField("seconds to wait", default=5, validators=_range(0, MOST_WAIT_S))
    when_it_goes_wrong = models.TextField(blank=True)
    praise = models.TextField("what to say when it works", blank=True)
    bad_days = models.TextField("on a bad day", blank=True)
    start = models.DateField(null=True, blank=True)
    band_low = models.FloatField(default=0.70, validators=_range(0, 1))
    band_high = models.FloatField(default=0.90, validators=_range(0, 1))
    created = models.DateTimeField(auto_now_add=True)
    signed_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    signed_at = models.DateTimeField(null=True)
    initials = models.JSONField(default=list)
    """The adults' initials at the signature, in their order: what is ticked on its log sheets means these."""
    copies = models.JSONField(default=list)
    """Log sheets printed beside the first: see `plans.copies`."""

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["skill", "number"], name="plan_number_once_per_skill"),
            models.CheckConstraint(
                condition=models.Q(signed_by__isnull=True, signed_at__isnull=True)
                | models.Q(signed_by__isnull=False, signed_at__isnull=False),
                name="a_signature_has_a_hand_and_a_time",
            ),
        ]

    @property
    def signed(self) -> bool:
        return self.signed_at is not None

    @property
    def ladder(self) -> Ladder:
        return Ladder(tuple(self.levels))


class PlanStep(models.Model):
    """What a plan says of one step of its version."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="steps")
    step_id = models.CharField(max_length=60)
    asked = models.BooleanField(default=False)
    help_level = models.PositiveIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["plan", "step_id"], name="step_once_per_plan")]


#: Pages in another language say so where no speaker has read them, and the therapist confirms it.
LANGUAGE_CHECKS = [
    ("read", "A speaker of the language has read the family's pages"),
    ("unread", "Nobody has read them; the pages will say so"),
]


class Gate(models.Model):
    """The safety gate answered for one plan. `answers`: {question: {"yes": bool, "done": text}}."""

    plan = models.OneToOneField(Plan, on_delete=models.CASCADE, related_name="gate")
    answers = models.JSONField(default=dict)
    precautions = models.TextField(blank=True)
    allergies = models.TextField(blank=True)
    stop_signs = models.TextField(blank=True)
    yes_signs = models.TextField(blank=True)
    call = models.CharField(max_length=120, blank=True)
    language_check = models.CharField(max_length=8, blank=True, choices=LANGUAGE_CHECKS)
    answered_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    answered_at = models.DateTimeField(default=timezone.now)


class Goal(models.Model):
    """The goal of a skill with its five attainment levels (Kiresuk & Sherman 1968)."""

    skill = models.OneToOneField(Skill, on_delete=models.CASCADE, related_name="goal")
    statement = models.CharField(max_length=240)
    much_less = models.CharField("much less than expected (-2)", max_length=200, blank=True)
    less = models.CharField("less than expected (-1)", max_length=200, blank=True)
    expected = models.CharField("as expected (0)", max_length=200, blank=True)
    more = models.CharField("more than expected (+1)", max_length=200, blank=True)
    much_more = models.CharField("much more than expected (+2)", max_length=200, blank=True)
    baseline_level = models.IntegerField(null=True, blank=True, validators=_range(-2, 2))
    by = models.DateField("by", null=True, blank=True)
    written_on = models.DateField(default=timezone.localdate)

    @property
    def levels(self) -> tuple[str, str, str, str, str]:
        return self.much_less, self.less, self.expected, self.more, self.much_more


class GoalRating(models.Model):
    """How far the goal was reached on a day, and who says so. Kept as given; a later one stands beside it."""

    goal = models.ForeignKey(Goal, on_delete=models.CASCADE, related_name="ratings")
    on = models.DateField(default=timezone.localdate)
    level = models.IntegerField(validators=_range(-2, 2))
    rated_by = models.CharField(
        max_length=10,
        choices=[("therapist", "therapist"), ("caregiver", "family"), ("child", "child")],
        default="therapist",
    )
    name = models.CharField(max_length=60, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["on", "id"]


class PlanPicture(models.Model):
    """A picture that a signed plan is printed with, by place. The newest edition of a plan counts.

    A later edition is put on by a therapist who wants newer pictures on a plan that is signed already.
    """

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="pictures")
    edition = models.PositiveIntegerField(default=1)
    place = models.CharField(max_length=60)
    picture = models.ForeignKey(Picture, on_delete=models.RESTRICT, related_name="+")
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["edition", "id"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "edition", "place"], name="picture_once_per_place")
        ]
