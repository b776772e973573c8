"""Everything that is kept about one child, as one value: what reports tell and exports carry.

Nothing here is derived. The practice is the record as it was written, with every correction; series, facts
and beliefs are worked out from it. Pictures are named by the parts that own them and stand under `files`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from bylittle.core.evidence.agreement import Scorer
from bylittle.core.evidence.kept_parts import (
    KeptClosing,
    KeptConsent,
    KeptFidelity,
    KeptFile,
    KeptHindrance,
    KeptImport,
    KeptLook,
    KeptPicture,
    KeptPlanPicture,
    KeptReport,
    KeptScan,
    KeptScreen,
    KeptSpoken,
    TypedText,
)
from bylittle.core.faults import BadValue
from bylittle.core.plan.gate import SafetyGate
from bylittle.core.plan.goal import Goal
from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.practice.log import Change, Entry, PracticeLog
from bylittle.core.skill.ladder import DEFAULT_LADDER, Ladder
from bylittle.core.skill.steps import SkillVersion


class RatedBy(StrEnum):
    """Who rated how far a goal is reached."""

    THERAPIST = "therapist"
    CAREGIVER = "caregiver"
    CHILD = "child"


@dataclass(frozen=True, slots=True)
class Who:
    """The child, no more than the work needs: a first name, the birthday and what keeps the child safe."""

    name: str
    born: date
    due: date | None = None
    left_handed: bool = False
    language: str = "en"
    precautions: str = ""
    allergies: str = ""
    stop_signs: tuple[str, ...] = ()
    yes_signs: tuple[str, ...] = ()
    call: str = ""
    second_language: str = ""
    loves: str = ""
    finds_hard: str = ""
    wears: str = ""
    mouths: bool | None = None
    text_size: int | None = None
    noted_at: datetime | None = None
    typed: tuple[TypedText, ...] = ()

    def age_on(self, day: date) -> tuple[int, int]:
        """Age in whole years and months on a day; (0, 0) before the birth."""
        months = (day.year - self.born.year) * 12 + day.month - self.born.month
        if day.day < self.born.day:
            months -= 1
        return divmod(max(months, 0), 12)


@dataclass(frozen=True, slots=True)
class DayRoutine:
    """A routine of the child's day where a skill could live; `minutes` there are, None: not asked."""

    what: str
    who: str = ""
    place: str = ""
    minutes: int | None = None
    mood: str = ""


@dataclass(frozen=True, slots=True)
class FamilyAdult:
    """An adult who practises with the child; the initials stand on the log."""

    name: str
    initials: str


@dataclass(frozen=True, slots=True)
class TeamAdult:
    """Somebody of the team; `role`: therapist, assistant, student or lead; `user`: the name to sign in by."""

    name: str
    role: str
    user: str = ""


@dataclass(frozen=True, slots=True)
class TaughtVersion:
    """One version of the steps, with its materials; `grades` from easier to harder, `since` its first day."""

    steps: SkillVersion
    materials: tuple[str, ...] = ()
    grades: tuple[str, ...] = ()
    usual_grade: str = ""
    since: date | None = None
    translations: str = ""
    """The family's words in other languages as JSON text, empty where there are none."""
    origins: str = ""
    """Where split or joined steps come from, as JSON text {step id: [ids before]}; empty where none were."""
    made_at: datetime | None = None
    typed: tuple[TypedText, ...] = ()


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """A version of the home plan and its safety gate. Without `signed_by` and `signed_on` it is a draft.

    `version`: number of the steps it was made for. `band`: chance of success wanted. `procedure`: the way of
    helping by its id. `initials`: the adults as they stood at the signature; None: as in `plan`.
    `copies_json`: the further prints of its log sheet.
    """

    plan: HomePlan
    version: int = 1
    gate: SafetyGate | None = None
    band: tuple[float, float] = (0.70, 0.90)
    signed_by: str = ""
    signed_on: date | None = None
    language_check: str = ""
    procedure: str = ""
    bad_days: str = ""
    initials: tuple[str, ...] | None = None
    made_at: datetime | None = None
    signed_at: datetime | None = None
    gate_by: str = ""
    gate_at: datetime | None = None
    typed: tuple[TypedText, ...] = ()
    copies_json: str = "[]"

    @property
    def signed(self) -> bool:
        """True when a name and a day of signing are there."""
        return bool(self.signed_by) and self.signed_on is not None


@dataclass(frozen=True, slots=True)
class Rating:
    """How far a goal was reached on a day: -2 to +2, 0 as expected."""

    on: date
    level: int
    by: RatedBy = RatedBy.THERAPIST
    name: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class KeptGoal:
    """The goal with its levels, the day they were written, and its ratings in order of time."""

    goal: Goal
    written_on: date | None = None
    ratings: tuple[Rating, ...] = ()

    def rated_by(self, day: date) -> Rating | None:
        """The last rating up to a day, whoever gave it; None before the first."""
        known = [rating for rating in self.ratings if rating.on <= day]
        return max(known, key=lambda rating: rating.on, default=None)


@dataclass(frozen=True, slots=True)
class Written:
    """One line of the practice record with who wrote it, when, and for which version and plan.

    `file`: the name of the file it was imported from, if any, and `imported` which of the skill's imports
    that is, from 1.
    """

    record: Entry | Change
    version: int = 1
    plan: int | None = None
    by: str = ""
    at: datetime | None = None
    file: str = ""
    imported: int | None = None


@dataclass(frozen=True, slots=True)
class ReasonGiven:
    """A reason of the advice: its code, and its numbers by name as JSON text."""

    code: str
    values: str = "{}"


@dataclass(frozen=True, slots=True)
class RedFlag:
    """The answer to a red-flag question (None: left open); of a yes, what was done (empty: nothing yet)."""

    question: str
    done: str = ""
    yes: bool | None = True


@dataclass(frozen=True, slots=True)
class KeptReview:
    """What was advised on a day, what the therapist decided and why. `plan`: its number, if there was one."""

    on: date
    advised: str
    decided: str
    reason: str = ""
    why: tuple[ReasonGiven, ...] = ()
    red_flags: tuple[RedFlag, ...] = ()
    plan: int | None = None
    by: str = ""
    at: datetime | None = None

    @property
    def overridden(self) -> bool:
        """True where the therapist decided otherwise than was advised."""
        return self.advised != self.decided

    @property
    def raised(self) -> tuple[RedFlag, ...]:
        """The red flags answered yes."""
        return tuple(flag for flag in self.red_flags if flag.yes)


@dataclass(frozen=True, slots=True)
class KeptCheck:
    """A carry-over check, due or done (`done_on`, `kept`)."""

    due: date
    place: str = ""
    adult: str = ""
    done_on: date | None = None
    kept: bool | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Visit:
    """A visit: how long in minutes, how many of them count as timed, where, who came, what was done."""

    on: date
    minutes: int
    timed_minutes: int = 0
    place: str = ""
    by: str = ""
    done: str = ""


@dataclass(frozen=True, slots=True)
class ReadinessSeen:
    """What was seen of a readiness item ("ready", "adapted", "not yet") and the adaptation for the plan."""

    item: str
    answer: str
    adaptation: str = ""


@dataclass(frozen=True, slots=True)
class KeptSkill:
    """One skill of the child with all that was ever planned, practised, reviewed and checked.

    `twice`: pairs of scorers who scored the same turns (a visit or a video that both watched).
    """

    id: str
    name: str
    versions: tuple[TaughtVersion, ...]
    library_id: str = ""
    state: str = "active"
    routine: str = ""
    breakdown: str = "unknown"
    adults_differ: bool = False
    plans: tuple[KeptPlan, ...] = ()
    goal: KeptGoal | None = None
    practice: tuple[Written, ...] = ()
    reviews: tuple[KeptReview, ...] = ()
    checks: tuple[KeptCheck, ...] = ()
    twice: tuple[tuple[Scorer, Scorer], ...] = ()
    fits_in: str = "not asked"
    fits_in_note: str = ""
    readiness: tuple[ReadinessSeen, ...] = ()
    made_at: datetime | None = None
    looks: tuple[KeptLook, ...] = ()
    screens: tuple[KeptScreen, ...] = ()
    closings: tuple[KeptClosing, ...] = ()
    coaching: tuple[KeptFidelity, ...] = ()
    imports: tuple[KeptImport, ...] = ()
    scans: tuple[KeptScan, ...] = ()
    in_the_way: tuple[KeptHindrance, ...] = ()
    pictures: tuple[KeptPicture, ...] = ()
    plan_pictures: tuple[KeptPlanPicture, ...] = ()
    spoken: tuple[KeptSpoken, ...] = ()
    waits_at: int = 0
    next_because: str = ""

    @property
    def log(self) -> PracticeLog:
        """The practice log: the record replayed."""
        return PracticeLog.of(line.record for line in self.practice)

    @property
    def newest(self) -> TaughtVersion:
        """The newest version of the steps."""
        return self.versions[-1]

    @property
    def signed_plans(self) -> tuple[KeptPlan, ...]:
        """The signed plans in order; drafts are left out."""
        return tuple(plan for plan in self.plans if plan.signed)

    @property
    def ladder(self) -> Ladder:
        """The help ladder of the newest signed plan, else of the newest draft, else the default one."""
        plans = self.signed_plans or self.plans
        return plans[-1].plan.ladder if plans else DEFAULT_LADDER

    def plan_on(self, day: date) -> KeptPlan | None:
        """The signed plan that was followed on a day; None before the first one began."""
        begun = [each for each in self.signed_plans if each.plan.start is not None and each.plan.start <= day]
        return max(begun, key=_start, default=None)


@dataclass(frozen=True, slots=True)
class ChildRecord:
    """Everything of one child. `id` is the number in the records it comes from; a copy may change it.

    `hands`: everybody named anywhere in it as writer or signer, so that their roles stay known; `consents`:
    for pictures of the child, oldest first; `files`: only where they were asked for.
    """

    id: str
    child: Who
    adults: tuple[FamilyAdult, ...] = ()
    team: tuple[TeamAdult, ...] = ()
    skills: tuple[KeptSkill, ...] = ()
    visits: tuple[Visit, ...] = ()
    service: str = ""
    routines: tuple[DayRoutine, ...] = ()
    hands: tuple[TeamAdult, ...] = ()
    reports: tuple[KeptReport, ...] = ()
    consents: tuple[KeptConsent, ...] = ()
    files: tuple[KeptFile, ...] = ()

    def skill(self, skill_id: str) -> KeptSkill:
        """The skill of that id; BadValue when the child has no such skill."""
        for skill in self.skills:
            if skill.id == skill_id:
                return skill
        allowed = tuple(skill.id for skill in self.skills)
        raise BadValue("no_such_skill", name="skill", value=skill_id, allowed=allowed)

    @property
    def days(self) -> tuple[date, ...]:
        """Days on which anything was practised, probed, seen or decided, in order, each once."""
        practised = {entry.day for skill in self.skills for entry in skill.log.entries()}
        reviewed = {review.on for skill in self.skills for review in skill.reviews}
        return tuple(sorted(practised | reviewed | {visit.on for visit in self.visits}))


def _start(kept: KeptPlan) -> tuple[date, int]:
    assert kept.plan.start is not None
    return kept.plan.start, kept.plan.number


def latest_day(skills: Sequence[KeptSkill]) -> date | None:
    """The last day with practice in any of these skills."""
    return max((entry.day for skill in skills for entry in skill.log.entries()), default=None)
