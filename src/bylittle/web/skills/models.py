"""Skills of a child and their versions; practice belongs to one version."""

from __future__ import annotations

from django.db import models
from django.utils import timezone

from bylittle.core.skill import steps as core
from bylittle.web.people.models import LANGUAGES, Child, Person


class SkillState(models.TextChoices):
    ACTIVE = "active", "being learned"
    PARKED = "parked", "parked for later"
    PAUSED = "paused", "paused"
    LASTING = "lasting", "learned, watched for carry-over"
    CLOSED = "closed", "closed"


class Breakdown(models.TextChoices):
    """Idea, plan or doing: clinical reasoning, not a test."""

    UNKNOWN = "unknown", "not clear yet"
    IDEA = "idea", "the idea: what to do with it"
    PLAN = "plan", "the plan: how, in which order"
    DOING = "doing", "the doing: force, timing, control"


class FitsIn(models.TextChoices):
    """ "Can you fit this in?": asked before anything is printed."""

    NOT_ASKED = "not asked", "not asked yet"
    YES = "yes", "yes"
    CHANGED = "changed", "yes, with a change"
    NO = "no", "no, not now"


class Readiness(models.TextChoices):
    """Readiness is rarely all or none: what is missing is adapted, not waited for."""

    READY = "ready", "ready"
    ADAPTED = "adapted", "ready with an adaptation"
    NOT_YET = "not yet", "not yet"


class Skill(models.Model):
    """One skill of one child. `library_id` names the ready skill it started from, if any."""

    child = models.ForeignKey(Child, on_delete=models.CASCADE, related_name="skills")
    name = models.CharField(max_length=80)
    library_id = models.CharField(max_length=60, blank=True)
    state = models.CharField(max_length=10, choices=SkillState.choices, default=SkillState.ACTIVE)
    routine = models.CharField("when in the day", max_length=120, blank=True)
    breakdown = models.CharField(
        "where it breaks down", max_length=10, choices=Breakdown.choices, default=Breakdown.UNKNOWN
    )
    fits_in = models.CharField(
        "can the family fit this in", max_length=10, choices=FitsIn.choices, default=FitsIn.NOT_ASKED
    )
    fits_in_note = models.CharField("what would make it fit", max_length=200, blank=True)
    adults_differ = models.BooleanField("adults help or speak in different ways", default=False)
    waits_at = models.PositiveIntegerField("place among the parked skills", default=0)
    next_because = models.CharField("why it comes next", max_length=200, blank=True)
    """Why this parked skill comes next; empty for every skill but that one."""
    created = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.name


class SkillVersion(models.Model):
    """The steps at one time. Once practised or planned it never changes: an edit makes the next one."""

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="versions")
    number = models.PositiveIntegerField()
    mirrored = models.BooleanField("mirrored for the left hand", default=False)
    materials = models.TextField(blank=True)
    grades = models.TextField("materials from easier to harder", blank=True)
    usual_grade = models.CharField("the one of daily life", max_length=80, blank=True)
    translations = models.JSONField(default=dict)
    """{language: {"name": ..., "routine": ..., "materials": ...}}: the family's words for the whole."""
    origins = models.JSONField(default=dict)
    """{step id: [ids of the version before]} where a step was split off or put together from others."""
    created = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["number"]
        constraints = [models.UniqueConstraint(fields=["skill", "number"], name="version_once_per_skill")]

    @property
    def grade_names(self) -> list[str]:
        return [line.strip() for line in self.grades.splitlines() if line.strip()]

    def is_easier(self, grade: str) -> bool:
        """True where a variant stands before the one of daily life (the last one where none is named)."""
        names = self.grade_names
        usual = self.usual_grade if self.usual_grade in names else (names[-1] if names else "")
        return grade in names and names.index(grade) < names.index(usual)


class StepRow(models.Model):
    """One step of one version; `step_id` stays the same through versions while it is the same action."""

    version = models.ForeignKey(SkillVersion, on_delete=models.CASCADE, related_name="steps")
    position = models.PositiveIntegerField()
    step_id = models.CharField(max_length=60)
    name = models.CharField(max_length=core.LONGEST_NAME)
    cue = models.CharField("cue words", max_length=core.LONGEST_CUE, blank=True)
    done_when = models.CharField(max_length=200, blank=True)
    hazard = models.CharField(max_length=200, blank=True)
    adult_only = models.BooleanField("always done by the adult", default=False)
    translations = models.JSONField(default=dict)
    """{language: {"name": ..., "cue": ..., "hazard": ...}}: the same step in another language."""

    class Meta:
        ordering = ["position"]
        constraints = [
            models.UniqueConstraint(fields=["version", "step_id"], name="step_once_per_version"),
            models.UniqueConstraint(fields=["version", "position"], name="position_once_per_version"),
        ]

    def as_step(self) -> core.Step:
        """The row as the core's value."""
        return core.Step(
            id=self.step_id,
            name=self.name,
            cue=self.cue,
            done_when=self.done_when,
            adult_only=self.adult_only,
            hazard=self.hazard,
        )


class ReadinessAnswer(models.Model):
    """What was seen of one readiness item, and the adaptation that goes with the plan."""

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="readiness")
    item = models.CharField(max_length=60)
    answer = models.CharField(max_length=10, choices=Readiness.choices)
    adaptation = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["skill", "item"], name="readiness_once_per_item")]


class BreakdownLook(models.Model):
    """What the quick looks showed on a day and what they pointed to then; kept as seen, with who looked."""

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="breakdown_looks")
    on = models.DateField(default=timezone.localdate)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    seen = models.JSONField(default=list)
    strength = models.CharField(max_length=20)
    kind = models.CharField(max_length=10, blank=True, choices=Breakdown.choices)

    class Meta:
        ordering = ["id"]


class MaterialScreen(models.Model):
    """A thing held against the safety rules on a day: its sizes, the child's age that counted, the findings.

    The last screen of a thing's name stands, until the thing is left out of the plan.
    """

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="screens")
    name = models.CharField(max_length=80)
    on = models.DateField(default=timezone.localdate)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    thing = models.JSONField()
    food_allergy = models.BooleanField(null=True)
    swallow_concern = models.BooleanField(null=True)
    mouths = models.BooleanField(null=True)
    age_months = models.FloatField()
    strict = models.BooleanField()
    verdict = models.CharField(max_length=8, blank=True)
    findings = models.JSONField(default=list)
    left_out_on = models.DateField(null=True)

    class Meta:
        ordering = ["id"]


#: For an adult who speaks another language than those of the library with the child.
OTHER_LANGUAGE = "xx"


class SpokenWords(models.Model):
    """What one adult really says at each step: {step id: words}. The newest of an adult stands.

    `at_visit`: heard by one of the team; else told by the adult.
    """

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="spoken_words")
    adult = models.CharField(max_length=40)
    language = models.CharField(max_length=8, choices=[*LANGUAGES, (OTHER_LANGUAGE, "another language")])
    on = models.DateField(default=timezone.localdate)
    at_visit = models.BooleanField("heard at a visit", default=False)
    words = models.JSONField(default=dict)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["id"]


class ClosingReason(models.TextChoices):
    """An honest close: nobody's fault, and never for good."""

    NOT_MOVED = "not moved", "it did not move after honest changes"
    ENOUGH = "enough", "the family says: enough"
    PRIORITY = "priority", "something else matters more now"
    KEPT = "kept", "the skill was kept at the last probe"


class Closing(models.Model):
    """Why a skill was closed and what was tried; it can be taken up again at any time."""

    skill = models.ForeignKey(Skill, on_delete=models.CASCADE, related_name="closings")
    on = models.DateField(default=timezone.localdate)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    reason = models.CharField(max_length=10, choices=ClosingReason.choices)
    tried = models.TextField("what was tried", blank=True)
    reopened_on = models.DateField(null=True)
    reopened_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["id"]


class ReadText(models.Model):
    """That a speaker of the language has read a text of the library, and the service's own words for it.

    A record of this service; the library's files stay as they were shipped. It counts for the very words
    that were read (`digest`): when a newer library words the text anew, it waits for a reader again.
    """

    language = models.CharField(max_length=8)
    key = models.CharField(max_length=160)
    digest = models.CharField(max_length=16)
    speaker = models.CharField("who read it", max_length=80)
    own = models.TextField("the service's own words", blank=True)
    on = models.DateField(default=timezone.localdate)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["language", "key"], name="read_once_per_language")]
