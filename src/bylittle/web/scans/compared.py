"""A sheet against the record: what is new, what is there already, what the record says otherwise."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Source
from bylittle.core.sheet import settle
from bylittle.core.sheet.ink import Ink, PageInk
from bylittle.web.practice.models import Record, RecordKind
from bylittle.web.practice.queries import as_entry, rows_of, standing
from bylittle.web.scans import queries
from bylittle.web.scans.models import Scan, ScanState
from bylittle.workflows.read_sheet import first_day

WEEK = timedelta(days=7)
PERSON = "person"  # said of a sheet: its turns are others than those in the record


@dataclass(frozen=True, slots=True)
class Compared:
    """Rows by what the record says of them. `changed`: (row, as it stands, as this sheet says).

    `gone`: rows that an earlier photograph of this sheet marked and that are blank here. `again`: True where
    a photograph of this very page is in the record for the same days. `beside`: rows of days and turns that
    another print of the sheet has put into the record, where it is not plain that they are the same turns.
    """

    added: tuple[str, ...]
    same: tuple[str, ...]
    changed: tuple[tuple[str, Entry, Entry], ...]
    gone: tuple[str, ...]
    again: bool
    beside: tuple[str, ...]

    @property
    def clashes(self) -> bool:
        """The same days are filled in otherwise: perhaps another week, or another person's turns."""
        return bool(self.changed or self.gone or self.beside)


def compared(scan: Scan) -> Compared | None:
    """The sheet as it is settled so far against the record; None while its days are not known."""
    page = queries.page(scan)
    if scan.plan is None or first_day(page, queries.answers(scan)) is None:
        return None
    told, there = entries(scan), in_the_record(scan)
    known = {row: (as_entry(there[row]), entry) for row, entry in told.items() if row in there}
    changed = {row for row, (old, new) in known.items() if otherwise(old, new)}
    unsettled = set(settle.rows_to_ask(page)) - set(scan.rows)
    earlier = queries.earlier(scan)
    marked_before = {row for each in earlier for row in each.records}
    return Compared(
        added=tuple(row for row in told if row not in there),
        same=tuple(row for row in known if row not in changed),
        changed=tuple((row, *pair) for row, pair in known.items() if row in changed),
        gone=tuple(sorted(row for row in there if row in marked_before and row not in {*told, *unsettled})),
        again=bool(earlier),
        beside=_beside(scan),
    )


def entries(scan: Scan) -> dict[str, Entry]:
    """What the sheet says now, by row; turns of another person come after those that the record has.

    The first day and the plan are known.
    """
    told = queries.entries(scan)
    if scan.week != PERSON:
        return told
    last: dict[tuple[date, str], int] = {}
    for each in _of_others(scan):
        key = (each.day, each.adult)
        last[key] = max(last.get(key, 0), each.turn)
    there = {each.identity for each in _of_others(scan)}
    taken = {(entry.day, entry.adult) for entry in told.values() if entry.identity in there}
    return {
        row: replace(entry, turn=entry.turn + last[key])
        if (key := (entry.day, entry.adult)) in taken
        else entry
        for row, entry in told.items()
    }


def _of_others(scan: Scan) -> list[Entry]:
    """What stands in the record of the skill and came from no photograph of this page."""
    assert scan.plan is not None
    own = {number for each in queries.earlier(scan) for number in _numbers(each)}
    return [as_entry(row) for row in standing(rows_of(scan.plan.skill)) if row.pk not in own]


def _numbers(scan: Scan) -> set[int]:
    """The records of a sheet as they stand after all later words."""
    return {last.pk for number in scan.records.values() if (last := last_word(number)) is not None}


def _beside(scan: Scan) -> tuple[str, ...]:
    """Rows whose day, turn and adult another print has too: they differ, or nobody knows who practised."""
    own = {row for each in queries.earlier(scan) for row in each.records}
    told = {row: entry for row, entry in queries.entries(scan).items() if row not in own}
    others = [scan for scan in other_prints(scan) if scan.records]
    theirs = {number for each in others for number in _numbers(each)} if told and others else set()
    if not theirs:
        return ()
    assert scan.plan is not None
    stands = {
        as_entry(row).identity: as_entry(row)
        for row in standing(rows_of(scan.plan.skill))
        if row.pk in theirs
    }
    same = {row: (stands[entry.identity], entry) for row, entry in told.items() if entry.identity in stands}
    return tuple(row for row, (old, new) in same.items() if not new.adult or otherwise(old, new))


def also_told(scan: Scan) -> int:
    """Turns of this sheet that the record has from home too, but not from paper: typed in, or from a file."""
    if scan.plan is None or first_day(queries.page(scan), queries.answers(scan)) is None:
        return 0
    home = {
        (each.day, each.turn, each.step_id)
        for each in (as_entry(row) for row in standing(rows_of(scan.plan.skill)))
        if each.source is Source.HOME
    }
    return sum((each.day, each.turn, each.step_id) in home for each in entries(scan).values())


def other_prints(scan: Scan) -> list[Scan]:
    """Accepted photographs of other prints for the same skill, newest first."""
    assert scan.plan is not None
    same = Scan.objects.filter(plan__skill=scan.plan.skill, state=ScanState.ACCEPTED)
    return list(same.exclude(sheet=scan.sheet))


def settled_before(scan: Scan) -> dict[str, str | None]:
    """How open rows stand by an earlier photograph of this page, where no ink has come since."""
    page = queries.page(scan)
    if scan.plan is None or first_day(page, queries.answers(scan)) is None:
        return {}
    found: dict[str, str | None] = {}
    for each in queries.earlier(scan):
        old = queries.page(each)
        left = set(settle.rows_to_ask(old)) - set(each.rows)
        for row in settle.rows_to_ask(page):
            if row not in left and _inked(page, row) <= _inked(old, row):
                found[row] = each.rows[row] if row in each.rows else settle.read_of(old, row)
    return found


def _inked(page: PageInk, row: str) -> set[str]:
    return {ink.bubble.id for ink in page.bubbles if ink.bubble.row == row and ink.state is not Ink.BLANK}


def otherwise(old: Entry, new: Entry) -> bool:
    """True where the help differs, or who practised where both say it."""
    who = bool(old.adult and new.adult) and old.adult != new.adult
    return (old.outcome, old.needed) != (new.outcome, new.needed) or who


def in_the_record(scan: Scan) -> dict[str, Record]:
    """What stands for each row of the sheet: of earlier photographs, whoever is ticked, and of others.

    A second print, or a file taken in, may say something of the same turn of the same adult.
    """
    found: dict[str, Record] = {}
    for each in queries.earlier(scan):
        for row, number in each.records.items():
            if (last := last_word(number)) is not None:
                found[row] = last
    assert scan.plan is not None
    stands = {as_entry(row).identity: row for row in standing(rows_of(scan.plan.skill))}
    for row, entry in entries(scan).items():
        if row not in found and entry.identity in stands:
            found[row] = stands[entry.identity]
    return found


def last_word(number: int) -> Record | None:
    """What stands of a record after all later words about it; None where it was taken out."""
    row = Record.objects.get(pk=number)
    while (later := row.later_words.order_by("-pk").first()) is not None:
        row = later
    return None if row.kind == RecordKind.MOVED_AWAY else row


def adults_before(scan: Scan) -> Mapping[int, str]:
    """Who practised on each day, as an earlier photograph of this sheet put it into the record."""
    page = queries.page(scan)
    if scan.plan is None or first_day(page, queries.answers(scan)) is None:
        return {}
    days = {ink.bubble.row: ink.bubble.day for ink in page.bubbles}
    names: dict[int, set[str]] = {}
    for row, record in in_the_record(scan).items():
        names.setdefault(days[row] or 1, set()).add(record.adult)
    return {day: told.pop() for day, told in names.items() if len(told) == 1 and "" not in told}


def words_before(scan: Scan) -> str:
    """What an earlier photograph of this page for these days was said to hold, where something is written
    here too; empty where it may be another week's sheet."""
    told = compared(scan)
    if told is None or told.clashes or not queries.written_on(scan):
        return ""
    return next((each.free_word for each in reversed(queries.earlier(scan)) if each.free_word), "")


def next_week(scan: Scan, today: date) -> date | None:
    """The first day that a photocopy would have next: a week after the last one in the record."""
    same = Scan.objects.filter(sheet=scan.sheet, page=scan.page, state=ScanState.ACCEPTED).exclude(pk=scan.pk)
    used = [first_day(queries.page(each), queries.answers(each)) for each in same]
    last = max((day for day in used if day is not None), default=None)
    return last + WEEK if last is not None and last + WEEK <= today else None
