"""A sheet against the record: what is new, what is there already, what the record says otherwise."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from bylittle.core.practice.log import Entry
from bylittle.core.sheet import settle
from bylittle.web.practice.models import Record, RecordKind
from bylittle.web.practice.queries import as_entry, rows_of, standing
from bylittle.web.scans import queries
from bylittle.web.scans.models import Scan, ScanState
from bylittle.workflows.read_sheet import first_day

WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Compared:
    """Rows by what the record says of them. `changed`: (row, as it stands, as this sheet says).

    `gone`: rows that an earlier photograph of this sheet marked and that are blank here. `again`: True where
    a photograph of this very page is in the record for the same days.
    """

    added: tuple[str, ...]
    same: tuple[str, ...]
    changed: tuple[tuple[str, Entry, Entry], ...]
    gone: tuple[str, ...]
    again: bool

    @property
    def clashes(self) -> bool:
        """The same days are filled in otherwise: perhaps another week, on a photocopy."""
        return bool(self.changed or self.gone)


def compared(scan: Scan) -> Compared | None:
    """The sheet as it is settled so far against the record; None while its days are not known."""
    page = queries.page(scan)
    if scan.plan is None or first_day(page, queries.answers(scan)) is None:
        return None
    told, there = queries.entries(scan), in_the_record(scan)
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
    )


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
    for row, entry in queries.entries(scan).items():
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
    """What an earlier photograph of this page for these days was said to hold; empty where none was."""
    if scan.plan is None or first_day(queries.page(scan), queries.answers(scan)) is None:
        return ""
    return next((each.free_word for each in reversed(queries.earlier(scan)) if each.free_word), "")


def next_week(scan: Scan, today: date) -> date | None:
    """The first day that a photocopy would have next: a week after the last one in the record."""
    same = Scan.objects.filter(sheet=scan.sheet, page=scan.page, state=ScanState.ACCEPTED).exclude(pk=scan.pk)
    used = [first_day(queries.page(each), queries.answers(each)) for each in same]
    last = max((day for day in used if day is not None), default=None)
    return last + WEEK if last is not None and last + WEEK <= today else None
