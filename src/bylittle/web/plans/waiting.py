"""Signs answered yes at the last review: they hold the plan until a therapist writes what was done."""

from __future__ import annotations

from bylittle import library
from bylittle.core.faults import BadValue, Fault, raise_all
from bylittle.library.redflags import RedFlag
from bylittle.web.plans.models import Gate, Plan
from bylittle.web.skills.models import Skill


def open_flags(skill: Skill) -> tuple[str, ...]:
    """Ids of the questions answered yes at the last review about which no therapist has written anything.

    What was done is written at a later review, or at the safety questions of the next plan.
    """
    last = skill.reviews.order_by("-pk").first()
    if last is None:
        return ()
    found = [name for name, it in last.red_flags.items() if it.get("yes") and not it.get("done", "").strip()]
    if not found:
        return ()
    later = Gate.objects.filter(plan__skill=skill, answered_at__gt=last.at).select_related("answered_by")
    done = {name for gate in later if gate.answered_by.may_sign for name in _acted_on(gate)}
    return tuple(name for name in found if name not in done)


def _acted_on(gate: Gate) -> list[str]:
    return [name for name, it in gate.answers.items() if it.get("yes") and it.get("done", "").strip()]


def in_words(flags: tuple[str, ...]) -> list[RedFlag]:
    """These signs with their questions, and the words for the family; unknown ones left out."""
    return [flag for flag in library.red_flags() if flag.id in flags]


def questions_of(flags: tuple[str, ...]) -> list[str]:
    """The questions of these signs; the id of one that the library no longer has."""
    asked = {flag.id: str(flag.question) for flag in library.red_flags()}
    return [asked.get(name, name) for name in flags]


def check(plan: Plan) -> None:
    """Raise what holds a plan: one fault for each open sign of the last review."""
    faults: list[Fault] = [
        BadValue("red_flag_open_since_review", name=question, value="yes", allowed="what was done")
        for question in questions_of(open_flags(plan.skill))
    ]
    raise_all(faults)
