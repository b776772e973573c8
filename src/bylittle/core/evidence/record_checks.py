"""Does a child's record hold together? Each part may only point to parts that are there.

The record may come from a file that somebody else wrote: it is checked whole before anything is kept.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Iterator, Sequence

from bylittle.core.evidence.child_record import ChildRecord, KeptPlan, KeptSkill, Written
from bylittle.core.faults import BadValue, Fault, raise_all
from bylittle.core.practice.log import Change


def check_record(record: ChildRecord) -> None:
    """Raise everything that does not fit together, each with its place; lists are counted from 1."""
    raise_all(list(faults_of(record)))


def faults_of(record: ChildRecord) -> Iterator[Fault]:
    """All faults of a record."""
    yield from _twice("adults", [adult.initials for adult in record.adults])
    yield from _twice("hands", [hand.name for hand in record.hands])
    for number, consent in enumerate(record.consents, 1):
        yield from _known(f"consents[{number}].renews", consent.renews, range(1, number))
    for number, skill in enumerate(record.skills, 1):
        yield from _skill(skill, f"skills[{number}].", len(record.consents))


def _skill(skill: KeptSkill, where: str, consents: int) -> Iterator[Fault]:
    versions = {version.steps.number: version for version in skill.versions}
    plans = [kept.plan.number for kept in skill.plans]
    if not versions:
        yield BadValue("missing", name=f"{where}versions", value=None, allowed="a version")
    yield from _twice(f"{where}versions", [version.steps.number for version in skill.versions])
    yield from _twice(f"{where}plans", plans)
    steps = {number: {step.id for step in version.steps.steps} for number, version in versions.items()}
    for number, kept in enumerate(skill.plans, 1):
        yield from _plan(kept, f"{where}plans[{number}].", steps)
    yield from _practice(skill, where, steps)
    yield from _later(skill, where, plans, consents)
    yield from _json_texts(skill, where)


def _plan(kept: KeptPlan, where: str, steps: dict[int, set[str]]) -> Iterator[Fault]:
    yield from _known(f"{where}version", kept.version, steps)
    known = steps.get(kept.version, set())
    for step in kept.plan.steps:
        yield from _known(f"{where}steps", step.step_id, known)
    if bool(kept.signed_by) != (kept.signed_on is not None):
        yield BadValue("half_a_signature", name=f"{where}signed_by", value=kept.signed_by, allowed="both")


def _practice(skill: KeptSkill, where: str, steps: dict[int, set[str]]) -> Iterator[Fault]:
    plans = [kept.plan.number for kept in skill.plans]
    found = list(_references(skill.practice, where, steps, plans, len(skill.imports)))
    yield from found
    if not found:
        try:
            _ = skill.log
        except Fault as fault:
            fault.values["name"] = f"{where}practice"
            yield fault


def _references(
    lines: Sequence[Written], where: str, steps: dict[int, set[str]], plans: Sequence[int], imports: int
) -> Iterator[Fault]:
    for number, line in enumerate(lines, 1):
        here = f"{where}practice[{number}]."
        entry = line.record.entry if isinstance(line.record, Change) else line.record
        yield from _known(f"{here}version", line.version, steps)
        yield from _known(f"{here}plan", line.plan, plans)
        yield from _known(f"{here}imported", line.imported, range(1, imports + 1))
        if entry is not None and line.version in steps:
            yield from _known(f"{here}record.step_id", entry.step_id, steps[line.version])


def _later(skill: KeptSkill, where: str, plans: Sequence[int], consents: int) -> Iterator[Fault]:
    for number, review in enumerate(skill.reviews, 1):
        yield from _known(f"{where}reviews[{number}].plan", review.plan, plans)
    for number, check in enumerate(skill.coaching, 1):
        yield from _known(f"{where}coaching[{number}].plan", check.plan, plans)
    for number, picture in enumerate(skill.pictures, 1):
        yield from _known(f"{where}pictures[{number}].consent", picture.consent, range(1, consents + 1))
    for number, printed in enumerate(skill.plan_pictures, 1):
        here = f"{where}plan_pictures[{number}]."
        yield from _known(f"{here}plan", printed.plan, plans)
        yield from _known(f"{here}picture", printed.picture, range(1, len(skill.pictures) + 1))
    for number, hindrance in enumerate(skill.in_the_way, 1):
        yield from _known(f"{where}in_the_way[{number}].plan", hindrance.plan, plans)
    for number, scan in enumerate(skill.scans, 1):
        yield from _known(f"{where}scans[{number}].plan", scan.plan, plans)
        for _, line in scan.records:
            yield from _known(f"{where}scans[{number}].records", line, range(1, len(skill.practice) + 1))


def _json_texts(skill: KeptSkill, where: str) -> Iterator[Fault]:
    """Texts that must hold JSON of one form."""
    for n, version in enumerate(skill.versions, 1):
        if version.translations:
            yield from _json(f"{where}versions[{n}].translations", version.translations, dict)
    for n, review in enumerate(skill.reviews, 1):
        for why in review.why:
            yield from _json(f"{where}reviews[{n}].why", why.values, dict)
    for n, screen in enumerate(skill.screens, 1):
        yield from _json(f"{where}screens[{n}].thing_json", screen.thing_json, dict)
        yield from _json(f"{where}screens[{n}].findings_json", screen.findings_json, list)
    for n, scan in enumerate(skill.scans, 1):
        for name in ("ink_json", "places_json", "rows_json", "adults_json"):
            yield from _json(f"{where}scans[{n}].{name}", getattr(scan, name), dict)
        yield from _json(f"{where}scans[{n}].trail_json", scan.trail_json, list)


def _json(where: str, text: str, form: type) -> Iterator[Fault]:
    try:
        told = json.loads(text)
    except (ValueError, RecursionError):
        told = None
    if not isinstance(told, form):
        yield BadValue("not_one_of", name=where, value=text[:40], allowed=("JSON",))


def _known(where: str, value: object, known: Collection[object] | range) -> Iterator[Fault]:
    """A pointer to something that is not there; None points nowhere and is permitted."""
    if value is not None and value not in known:
        shown = (1, len(known)) if isinstance(known, range) else tuple(known)
        yield BadValue("not_one_of", name=where, value=value, allowed=shown)


def _twice(where: str, names: Iterable[object]) -> Iterator[Fault]:
    told = list(names)
    for name in dict.fromkeys(told):
        if told.count(name) > 1:
            yield BadValue("repeated", name=where, value=name, allowed="once")
