"""What the demo caseload holds: children of an invented coast, with plans, logs, reviews and checks.

All frozen and free of Django: the web part writes them into its records.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from bylittle.core.advice import Decision
from bylittle.core.evidence.kept_parts import KeptFidelity, KeptLook, KeptScreen, KeptSpoken
from bylittle.core.plan.gate import SafetyGate
from bylittle.core.plan.goal import Goal
from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.practice.log import Entry
from bylittle.core.skill.steps import SkillVersion


@dataclass(frozen=True, slots=True)
class TeamMember:
    """Somebody of the team, with the name to sign in by and the role: therapist, assistant or lead."""

    user: str
    first_name: str
    last_name: str
    role: str


SERVICE = "Tern Bay Children's Therapy"
CALL = "Tern Bay Children's Therapy, 555-0100"
TEAM = (
    TeamMember("ines", "Ines", "Falk", "therapist"),
    TeamMember("jonah", "Jonah", "Rowe", "assistant"),
    TeamMember("marit", "Marit", "Lund", "lead"),
)
SIGNER = "ines"


@dataclass(frozen=True, slots=True)
class Adult:
    """An adult who practises with the child; the initials stand on the log."""

    name: str
    initials: str


@dataclass(frozen=True, slots=True)
class SignedPlan:
    """A version of the home plan, the gate answered for it, and the day and user of the signature."""

    plan: HomePlan
    gate: SafetyGate
    signed_on: date
    signed_by: str = SIGNER


@dataclass(frozen=True, slots=True)
class PastReview:
    """What the therapist decided on a day, and why. `red_flags`: {question: what was done, if anything}.

    What was advised that day is no part of the story: it is worked out from the log as it stood.
    """

    on: date
    decided: Decision
    reason: str
    plan_number: int | None
    red_flags: Mapping[str, str] = field(default_factory=dict)
    by: str = SIGNER


@dataclass(frozen=True, slots=True)
class Check:
    """A carry-over check, due or done (`done_on`, `kept`)."""

    due: date
    place: str
    adult: str = ""
    done_on: date | None = None
    kept: bool | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class DemoChild:
    """One child of the caseload on the day it is loaded. `expected`: the decision that the log leads to.

    `breakdown`: where praxis breaks down ("idea", "plan", "doing", "unknown"); `state`: "active", "lasting";
    `grades`: the material's variants from easier to harder, `usual` the one of daily life. `coaching`,
    `looks`, `screens` and `spoken` were seen by the therapist at visits.
    """

    name: str
    born: date
    skill_id: str
    skill: SkillVersion
    expected: Decision
    course: str
    adults: tuple[Adult, ...]
    team: tuple[str, ...]
    goal: Goal
    plans: tuple[SignedPlan, ...]
    reviews: tuple[PastReview, ...]
    checks: tuple[Check, ...]
    log: tuple[Entry, ...]
    precautions: str
    allergies: str
    stop_signs: tuple[str, ...]
    yes_signs: tuple[str, ...]
    routine: str
    grades: tuple[str, ...]
    usual: str
    materials: tuple[str, ...]
    breakdown: str = "unknown"
    adults_differ: bool = False
    state: str = "active"
    left_handed: bool = False
    language: str = "en"
    call: str = CALL
    mouths: bool | None = None
    coaching: tuple[KeptFidelity, ...] = ()
    looks: tuple[KeptLook, ...] = ()
    screens: tuple[KeptScreen, ...] = ()
    spoken: tuple[KeptSpoken, ...] = ()

    @property
    def present_plan(self) -> HomePlan | None:
        """The newest signed plan, None before the first."""
        return self.plans[-1].plan if self.plans else None

    @property
    def easier_material(self) -> bool:
        """True where the present plan uses an easier variant than that of daily life."""
        plan = self.present_plan
        return plan is not None and self.grades.index(plan.grade) < self.grades.index(self.usual)

    @property
    def open_red_flags(self) -> tuple[str, ...]:
        """Red flags of the last review about which nothing has been done yet."""
        flags = self.reviews[-1].red_flags if self.reviews else {}
        return tuple(question for question, done in flags.items() if not done)
