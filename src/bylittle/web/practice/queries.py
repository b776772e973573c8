"""Reading the practice record as the core's log."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.practice.log import Change, ChangeKind, Entry, PracticeLog
from bylittle.core.practice.marks import Outcome, ProbeKind, Source
from bylittle.web.practice.models import Record, RecordKind
from bylittle.web.skills.models import Skill


def as_entry(row: Record) -> Entry:
    """One row as the core's entry."""
    return Entry(
        day=row.day,
        turn=row.turn,
        step_id=row.step_id,
        outcome=Outcome(row.outcome),
        source=Source(row.source),
        adult=row.adult,
        offered=row.offered,
        needed=row.needed,
        order=OrderOfHelp(row.order),
        place=row.place,
        grade=row.grade,
        note=row.note,
        probe=ProbeKind(row.probe) if row.probe else None,
    )


def records_from(rows: Iterable[Record]) -> list[Entry | Change]:
    """Each row as the core's entry or change; `rows` oldest first, all of one skill."""
    by_id: dict[int, Record] = {}
    records: list[Entry | Change] = []
    for row in rows:
        by_id[row.pk] = row
        records.append(_record(row, by_id))
    return records


def log_from(rows: Iterable[Record]) -> PracticeLog:
    """The log that the rows make."""
    return PracticeLog.of(records_from(rows))


def _record(row: Record, by_id: dict[int, Record]) -> Entry | Change:
    if row.kind == RecordKind.ENTRY or row.about_id is None:
        return as_entry(row)
    moved = row.kind == RecordKind.MOVED_AWAY
    return Change(
        of=as_entry(by_id[row.about_id]).identity,
        kind=ChangeKind(row.kind),
        by=str(row.by_id or ""),
        reason=row.reason,
        entry=None if moved else as_entry(row),
    )


def rows_of(skill: Skill) -> list[Record]:
    """All rows of a skill, oldest first, with who wrote them."""
    return list(skill.records.select_related("by").order_by("pk"))


def log_of(skill: Skill) -> PracticeLog:
    """The practice log of a skill."""
    return log_from(skill.records.order_by("pk"))


def standing(rows: list[Record]) -> list[Record]:
    """The rows that stand (the last word about each), newest day first."""
    spoken = {row.about_id for row in rows if row.about_id}
    kept = [row for row in rows if row.pk not in spoken and row.kind != RecordKind.MOVED_AWAY]
    return sorted(kept, key=lambda row: (row.day, row.pk), reverse=True)


def probe_points(skill: Skill, source: Source, steps: int) -> list[tuple[date, str, int, int]]:
    """Each probe or baseline point: day, adult, steps alone, steps there are. Oldest first."""
    groups: dict[tuple[date, str, int], int] = {}
    for entry in log_of(skill).entries():
        if entry.source is source:
            key = (entry.day, entry.adult, entry.turn)
            groups[key] = groups.get(key, 0) + (entry.outcome is Outcome.MANAGED)
    return [(day, adult, alone, steps) for (day, adult, _), alone in sorted(groups.items())]
