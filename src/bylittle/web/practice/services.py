"""Writing to the practice record: entries, corrections, moves, imports. All or nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from django.db import transaction

from bylittle.core.faults import BadValue, Contradiction
from bylittle.core.practice.log import Entry, Identity
from bylittle.core.practice.marks import Source
from bylittle.web.people.models import Person
from bylittle.web.plans.models import Plan
from bylittle.web.practice.models import Import, Record, RecordKind
from bylittle.web.practice.queries import as_entry, log_of, rows_of, standing
from bylittle.web.skills.models import Skill, SkillVersion


@transaction.atomic
def write(
    skill: Skill,
    version: SkillVersion,
    entries: Sequence[Entry],
    *,
    by: Person | None,
    plan: Plan | None = None,
    imported: Import | None = None,
) -> int:
    """Append entries; returns how many were new.

    The same row again is passed over; the same identity with other content is a Contradiction that shows
    both. A step that the version lacks is a BadValue.
    """
    _check_steps(version, entries)
    log = log_of(skill)
    there = {entry.identity: entry for entry in log.entries()}
    fresh: list[Entry] = []
    for entry in entries:
        entry.reach(_top(plan, entry))
        old = there.get(entry.identity)
        if old == entry:
            continue
        if old is not None:
            raise Contradiction("same_row_other_content", there=old, new=entry)
        there[entry.identity] = entry
        fresh.append(entry)
    Record.objects.bulk_create(
        _row(skill, version, entry, by=by, plan=plan, imported=imported) for entry in fresh
    )
    return len(fresh)


def _top(plan: Plan | None, entry: Entry) -> int:
    levels = (entry.offered, entry.needed)
    return plan.ladder.top if plan else max([7, *(level for level in levels if level is not None)])


def _check_steps(version: SkillVersion, entries: Iterable[Entry]) -> None:
    known = {row.step_id for row in version.steps.all()}
    for entry in entries:
        if entry.step_id not in known:
            raise BadValue(
                "step_not_in_version",
                name="step",
                value=entry.step_id,
                allowed=tuple(sorted(known)),
                version=version.number,
            )


def _row(
    skill: Skill,
    version: SkillVersion,
    entry: Entry,
    *,
    by: Person | None,
    plan: Plan | None,
    imported: Import | None,
) -> Record:
    return Record(
        skill=skill,
        version=version,
        plan=plan,
        imported=imported,
        by=by,
        day=entry.day,
        turn=entry.turn,
        step_id=entry.step_id,
        outcome=entry.outcome,
        source=entry.source,
        adult=entry.adult,
        offered=entry.offered,
        needed=entry.needed,
        order=entry.order,
        place=entry.place,
        grade=entry.grade,
        note=entry.note,
        probe=entry.probe or "",
    )


def next_turn(skill: Skill, day: date, source: Source, adult: str) -> int:
    """The number of the next turn of this date, source and adult."""
    turns = [
        entry.turn
        for entry in log_of(skill).entries()
        if (entry.day, entry.source, entry.adult) == (day, source, adult)
    ]
    return max(turns, default=0) + 1


@transaction.atomic
def correct(row: Record, entry: Entry, *, by: Person, reason: str) -> Record:
    """Put a row right by a row of its own; the old one stays visible."""
    _must_stand(row)
    others: dict[Identity, Entry] = {
        as_entry(other).identity: as_entry(other)
        for other in standing(rows_of(row.skill))
        if other.pk != row.pk
    }
    if entry.identity in others:
        raise Contradiction("same_row_other_content", there=others[entry.identity], new=entry)
    _check_steps(row.version, [entry])
    fresh = _row(row.skill, row.version, entry, by=by, plan=row.plan, imported=None)
    fresh.kind, fresh.about, fresh.reason = RecordKind.CORRECTED, row, reason
    fresh.save()
    return fresh


@transaction.atomic
def take_out(row: Record, *, by: Person, reason: str) -> Record:
    """Take a row out of what counts (wrong child, wrong plan): with trace, the row stays visible."""
    _must_stand(row)
    fresh = _row(row.skill, row.version, as_entry(row), by=by, plan=row.plan, imported=None)
    fresh.kind, fresh.about, fresh.reason = RecordKind.MOVED_AWAY, row, reason
    fresh.save()
    return fresh


def _must_stand(row: Record) -> None:
    if row.kind == RecordKind.MOVED_AWAY or row.later_words.exists():
        raise BadValue("no_such_row", name="of", value=row.pk, allowed="a row that stands")


def renumbered(entries: Sequence[Entry], first_turn: int) -> list[Entry]:
    """The entries of one turn under another turn number."""
    return [replace(entry, turn=first_turn) for entry in entries]
