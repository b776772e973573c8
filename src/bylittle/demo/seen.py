"""What the therapist saw at visits: adults coached, quick looks, things held against the safety rules."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from datetime import date, timedelta

from bylittle import library
from bylittle.core.evidence.kept_parts import KeptFidelity, KeptLook, KeptScreen, KeptSpoken
from bylittle.core.skill import materials
from bylittle.demo.sketch import ChildSketch, CoachingSketch, LookSketch, ScreenSketch
from bylittle.demo.values import SIGNER, TEAM, SignedPlan

DAYS_A_MONTH = 365.25 / 12
DONE, PARTLY, MISSED = "done", "partly", "not"
THERAPIST = next(f"{member.first_name} {member.last_name}" for member in TEAM if member.user == SIGNER)


def coaching_of(sketch: ChildSketch, plans: Sequence[SignedPlan], today: date) -> tuple[KeptFidelity, ...]:
    """The checks of the adults, each against the plan of its day."""
    return tuple(_check(told, plans, today + timedelta(days=told.on)) for told in sketch.coaching)


def _check(told: CoachingSketch, plans: Sequence[SignedPlan], day: date) -> KeptFidelity:
    plan = [each.plan for each in plans if each.plan.start is not None and each.plan.start <= day][-1]
    items = [item.id for item in library.fidelity_items() if item.order in (None, plan.order_of_help.value)]
    seen = (
        dict.fromkeys(items, DONE) | dict.fromkeys(told.partly, PARTLY) | dict.fromkeys(told.missed, MISSED)
    )
    return KeptFidelity(day, told.adult, plan.number, tuple(seen.items()), told.note, THERAPIST)


def looks_of(sketch: ChildSketch, today: date) -> tuple[KeptLook, ...]:
    """The quick looks with what they pointed to."""
    return tuple(_look(told, today + timedelta(days=told.on)) for told in sketch.looks)


def _look(told: LookSketch, day: date) -> KeptLook:
    found = library.breakdown().suggest(told.seen)
    return KeptLook(day, told.seen, found.strength, found.kind.id if found.kind else "", THERAPIST)


def spoken_of(sketch: ChildSketch, today: date) -> tuple[KeptSpoken, ...]:
    """What the adults were heard to say, in the language of the home."""
    return tuple(
        KeptSpoken(
            on=today + timedelta(days=told.on),
            adult=told.adult,
            language=sketch.language,
            words=tuple(sorted(told.words.items())),
            at_visit=True,
            by=THERAPIST,
        )
        for told in sketch.spoken
    )


def screens_of(sketch: ChildSketch, born: date, today: date) -> tuple[KeptScreen, ...]:
    """The things that were screened, each with what the rules said of it on its day."""
    return tuple(_screen(sketch, told, born, today) for told in sketch.screens)


def _screen(sketch: ChildSketch, told: ScreenSketch, born: date, today: date) -> KeptScreen:
    day = today + timedelta(days=told.on)
    child = materials.Child((day - born).days / DAYS_A_MONTH, mouths=sketch.mouths)
    found = materials.screen(told.thing, child)
    return KeptScreen(
        name=told.name,
        on=day,
        thing_json=json.dumps(asdict(told.thing), sort_keys=True),
        age_months=found.age_months,
        strict=found.strict,
        mouths=sketch.mouths,
        verdict=found.verdict or "",
        findings_json=json.dumps([asdict(finding) for finding in found.findings], sort_keys=True),
        left_out_on=None if told.left_out is None else today + timedelta(days=told.left_out),
        by=THERAPIST,
    )
