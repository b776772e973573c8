"""What a person says of a sheet, and its way into the record; undone and moved with trace."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.db import transaction
from django.utils import timezone

from bylittle.core.faults import BadValue
from bylittle.core.practice.log import Entry
from bylittle.core.sheet import settle
from bylittle.library.wording.sheet import HINDRANCES
from bylittle.web.people.models import Person
from bylittle.web.plans.models import Plan
from bylittle.web.practice import in_the_way
from bylittle.web.practice import services as practice
from bylittle.web.practice.models import Record
from bylittle.web.practice.queries import as_entry, rows_of, standing
from bylittle.web.scans import compared, queries
from bylittle.web.scans.compared import PERSON, last_word
from bylittle.web.scans.models import Scan, ScanState
from bylittle.workflows.read_sheet import days_of, first_day, open_days

RIGHT, KEEP = "right", "keep"
PRINTED, ANOTHER = "printed", "another"


@dataclass(frozen=True, slots=True)
class Said:
    """What a person says of a sheet: rows settled or put right, who practised by day, which days."""

    rows: Mapping[str, str | None] = field(default_factory=dict)
    adults: Mapping[str, str] = field(default_factory=dict)
    start: date | None = None
    week: str = ""
    changed: str = ""
    free_word: str | None = None


def settle_sheet(scan: Scan, said: Said, by: Person) -> Scan:
    """Keep what a person said so far, with trace. A row as it was read needs no word."""
    page = queries.page(scan)
    asked = set(settle.rows_to_ask(page))
    rows = {
        row: value for row, value in said.rows.items() if row in asked or value != settle.read_of(page, row)
    }
    scan.trail = [*scan.trail, *_traces(scan, rows, said, by)]
    scan.rows, scan.adults, scan.start = rows, dict(said.adults), said.start
    scan.week, scan.changed, scan.free_word = said.week, said.changed, said.free_word
    scan.save(update_fields=["rows", "adults", "start", "week", "changed", "free_word", "trail"])
    return scan


def _traces(scan: Scan, rows: Mapping[str, str | None], said: Said, by: Person) -> Iterator[dict[str, Any]]:
    page = queries.page(scan)
    asked = set(settle.rows_to_ask(page))
    for row in sorted({*rows, *scan.rows}):
        read = None if row in asked else settle.read_of(page, row)
        was, now = scan.rows.get(row, read), rows.get(row, read)
        first = row in asked and row not in scan.rows
        if was != now or first:
            what = "settled" if row in asked else "changed"
            yield trace(by, what, row=row, now=now, **({} if first else {"was": was}))
    for day in sorted({*said.adults, *scan.adults}, key=int):
        if said.adults.get(day) != scan.adults.get(day):
            yield trace(by, "who", day=day, now=said.adults.get(day, ""))
    if said.free_word != scan.free_word:
        yield trace(by, "free word", now=said.free_word or "")
    if said.week != scan.week and PERSON in (said.week, scan.week):
        yield trace(by, "turns", now=said.week)
    if said.start != scan.start:
        yield trace(by, "start", now=said.start.isoformat() if said.start else "")


def trace(by: Person, what: str, **more: Any) -> dict[str, Any]:
    """A line of a sheet's trail: when, who, what."""
    return {"at": timezone.now().isoformat(), "by": by.shown_name, "what": what, **more}


def gaps(scan: Scan) -> list[str]:
    """What must be said before acceptance: "rows", "adults", "start", "free_word", "week", "changed"."""
    assert scan.plan is not None
    page, answers = queries.page(scan), queries.answers(scan)
    found = []
    if set(settle.rows_to_ask(page)) - set(answers.rows):
        found.append("rows")
    if open_days(page, queries.printed_on(scan), queries.home(scan.plan), answers):
        found.append("adults")
    if first_day(page, answers) is None:
        found.append("start")
    if queries.written_on(scan) and scan.free_word is None:
        found.append("free_word")
    told = compared.compared(scan)
    if told is not None and told.clashes and not scan.week:
        found.append("week")
    if told is not None and told.changed and not scan.changed:
        found.append("changed")
    return found


@transaction.atomic
def accept(scan: Scan, by: Person) -> int:
    """Put the marks into the record, source paper; returns how many rows were written.

    A row that the record has already (from an earlier photograph of the same days, whoever is ticked now, or
    from elsewhere) is not written twice: where it says otherwise it is put right only if a person said so.
    BadValue while something is open, or where the sheet is in the record already.
    """
    kept = Scan.objects.select_for_update().get(pk=scan.pk)
    if kept.state != ScanState.WAITING or kept.plan is None or gaps(kept):
        raise BadValue("sheet_not_settled", name="sheet", value=kept.state, allowed="settled")
    entries = compared.entries(kept)
    newest = max((entry.day for entry in entries.values()), default=None)
    if newest is not None and newest > timezone.localdate():
        raise BadValue("day_in_future", name="day", value=newest, allowed=timezone.localdate())
    there = compared.in_the_record(kept)
    fresh = {row: entry for row, entry in entries.items() if row not in there}
    practice.write(kept.plan.skill, kept.plan.version, list(fresh.values()), by=by, plan=kept.plan)
    numbers = {as_entry(row).identity: row.pk for row in standing(rows_of(kept.plan.skill))}
    kept.records = {row: numbers[entry.identity] for row, entry in fresh.items()}
    if kept.changed == RIGHT:
        _put_right(kept, there, entries, by)
    _note_hindrances(kept, by)
    kept.state, kept.accepted_by, kept.accepted_at = ScanState.ACCEPTED, by, timezone.now()
    kept.trail = [*kept.trail, trace(by, "accepted", count=len(kept.records))]
    kept.save()
    scan.refresh_from_db()
    return len(kept.records)


def _put_right(scan: Scan, there: Mapping[str, Record], entries: Mapping[str, Entry], by: Person) -> None:
    """Correct the rows that the record says otherwise."""
    for row, old in there.items():
        entry = entries.get(row)
        if entry is not None and compared.otherwise(as_entry(old), entry):
            why = f"another photograph, sheet {scan.sheet}"
            scan.records[row] = practice.correct(old, entry, by=by, reason=why).pk
            scan.put_right.append(row)


def _note_hindrances(scan: Scan, by: Person) -> None:
    """What is ticked under "what got in the way?" counts for the days of the page."""
    page, start = queries.page(scan), first_day(queries.page(scan), queries.answers(scan))
    assert scan.plan is not None
    assert start is not None, "asked for before"
    what = [HINDRANCES[place] for place in settle.ways(page, scan.rows)]
    days = days_of(page, start)
    in_the_way.write(scan.plan, what, days, by=by, photograph=_photograph(scan))
    in_the_way.write_words(scan.plan, scan.free_word or "", days, by=by, photograph=_photograph(scan))


def _photograph(scan: Scan) -> str:
    return f"{scan.digest}-{scan.part}"


@transaction.atomic
def undo(scan: Scan, by: Person, reason: str) -> int:
    """Take a sheet's marks out of what counts, with trace, and let the sheet wait again. How many.

    A row that it had put right says again what it said before.
    """
    kept = Scan.objects.select_for_update().get(pk=scan.pk)
    if kept.state != ScanState.ACCEPTED or kept.plan is None:
        raise BadValue("sheet_not_settled", name="sheet", value=kept.state, allowed=ScanState.ACCEPTED)
    count = sum(_taken_back(kept, row, number, by, reason) for row, number in kept.records.items())
    in_the_way.take_back(kept.plan.skill, _photograph(kept), by)
    kept.records, kept.put_right = {}, []
    kept.state, kept.accepted_by, kept.accepted_at = ScanState.WAITING, None, None
    kept.trail = [*kept.trail, trace(by, "undone", count=count)]
    kept.save()
    scan.refresh_from_db()
    return count


def _taken_back(scan: Scan, row: str, number: int, by: Person, reason: str) -> bool:
    last = last_word(number)
    if last is None:
        return False
    before = Record.objects.get(pk=number).about if row in scan.put_right else None
    if before is None:
        practice.take_out(last, by=by, reason=reason)
    else:
        practice.correct(last, as_entry(before), by=by, reason=reason)
    return True


@transaction.atomic
def move(scan: Scan, plan: Plan, by: Person) -> Scan:
    """File a sheet under another plan: what it had put into the record is taken out first, with trace.

    BadValue where the other plan asks another number of steps or has another ladder: its rows would mean
    other things. The trace names neither child to the other's team.
    """
    if not fits(scan, plan):
        raise BadValue(
            "sheet_other_shape", name="plan", value=plan.number, allowed=queries.page(scan).sheet.shape.steps
        )
    assert scan.plan is not None
    same = scan.plan.skill.child_id == plan.skill.child_id
    if scan.state == ScanState.ACCEPTED:
        undo(scan, by, "the sheet was filed under another plan" if same else "the sheet is another child's")
    told = f"plan {scan.plan.number} of {scan.plan.skill.name}" if same else "another child"
    scan.trail = [*scan.trail, trace(by, "moved", was=told)]
    scan.plan, scan.adults, scan.changed, scan.week = plan, {}, "", ""
    scan.save()
    return scan


def fits(scan: Scan, plan: Plan) -> bool:
    """True where the plan's rows mean what stands on the sheet: as many asked steps and help levels."""
    shape = queries.page(scan).sheet.shape
    return len(queries.home(plan).asked) == shape.steps and len(plan.levels) == shape.levels


def set_aside(scan: Scan, by: Person) -> Scan:
    """Set a sheet aside, or take it up again; nothing of the record changes."""
    other = {ScanState.WAITING.value: ScanState.ASIDE, ScanState.ASIDE.value: ScanState.WAITING}
    if scan.state in other:
        scan.state = other[scan.state]
        what = "aside" if scan.state == ScanState.ASIDE else "taken up"
        scan.trail = [*scan.trail, trace(by, what)]
        scan.save(update_fields=["state", "trail"])
    return scan
