"""Taking photographs in: read, settled by a person, then into the record; undone and moved with trace."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path

import cv2
import numpy as np
from django.conf import settings
from django.db import transaction
from django.utils import timezone

from bylittle.core.faults import BadValue
from bylittle.core.practice.log import Entry
from bylittle.core.sheet import settle
from bylittle.reading.keep import file_hash, picture_places, straight_picture
from bylittle.reading.reader import NotRead, Reading
from bylittle.reading.result import Result, why
from bylittle.reading.upload import read_upload
from bylittle.web.people.models import Person
from bylittle.web.plans.models import Plan
from bylittle.web.practice import services as practice
from bylittle.web.practice.models import Record, RecordKind
from bylittle.web.practice.queries import as_entry, rows_of, standing
from bylittle.web.scans import queries
from bylittle.web.scans.models import Scan, ScanState
from bylittle.workflows.read_sheet import entries_of, first_day, kept_ink, open_days

#: How long the straightened picture is kept after it was sent; the marks stay (adjust to local rules).
KEEP_DAYS = 90
RIGHT = "right"
NOT_YOURS = "This sheet's plan is not one of your children's. Nothing of it was kept."


def folder() -> Path:
    """Where the straightened pictures lie."""
    place = Path(settings.DATA_DIR) / "files" / "scans"
    place.mkdir(parents=True, exist_ok=True)
    return place


def take(name: str, data: bytes, by: Person) -> list[Scan]:
    """Read an upload: one scan for each picture in it, waiting or refused. Nothing is practice yet."""
    digest = file_hash(data)
    return [_taken(result, digest, by) for result in read_upload(name, data)]


def _taken(result: Result, digest: str, by: Person) -> Scan:
    scan = Scan(by=by, name=result.photo[-120:], part=result.part, digest=digest)
    if isinstance(result.outcome, NotRead):
        scan.state, scan.why = ScanState.REFUSED, why(result.outcome)
        scan.save()
        return scan
    _fill(scan, result.outcome, by)
    scan.save()
    return scan


def _fill(scan: Scan, reading: Reading, by: Person) -> None:
    number = reading.page.sheet
    scan.plan = queries.plan_of(number, by)
    if scan.plan is None:
        scan.state, scan.why = ScanState.REFUSED, NOT_YOURS
        return
    scan.sheet, scan.page = str(number), number.page
    scan.ink, scan.places = kept_ink(reading.page), picture_places(reading)
    scan.picture, scan.width, scan.height = _kept(straight_picture(reading))


def _kept(picture: bytes) -> tuple[str, int, int]:
    name = f"{secrets.token_hex(16)}.jpg"
    (folder() / name).write_bytes(picture)
    seen = cv2.imdecode(np.frombuffer(picture, np.uint8), cv2.IMREAD_GRAYSCALE)
    assert seen is not None, "our own JPEG"
    height, width = seen.shape
    return name, width, height


def settle_rows(
    scan: Scan, rows: Mapping[str, str | None], start: date | None, adult: str, changed: str = ""
) -> Scan:
    """Keep what a person settled so far."""
    scan.rows, scan.start, scan.adult, scan.changed = dict(rows), start, adult, changed
    scan.save(update_fields=["rows", "start", "adult", "changed"])
    return scan


def gaps(scan: Scan) -> list[str]:
    """What must still be said before acceptance: "rows", "start", "adult", "changed"."""
    page, answers = queries.page(scan), queries.answers(scan)
    found = []
    if set(page.open_rows) - set(answers.rows):
        found.append("rows")
    if first_day(page, answers) is None:
        found.append("start")
    if open_days(page, answers) and not answers.adult:
        found.append("adult")
    told = difference(scan)
    if told is not None and told.changed and not scan.changed:
        found.append("changed")
    return found


@transaction.atomic
def accept(scan: Scan, by: Person) -> int:
    """Put the marks into the record, source paper; returns how many rows were written.

    A row that an earlier photograph of the same week put into the record is not written twice, whoever is
    ticked now: where it reads otherwise it is put right only if a person said so. BadValue while something is
    open, or where the sheet is in the record already.
    """
    kept = Scan.objects.select_for_update().get(pk=scan.pk)
    if kept.state != ScanState.WAITING or kept.plan is None or gaps(kept):
        raise BadValue("sheet_not_settled", name="sheet", value=kept.state, allowed="settled")
    entries = entries_of(queries.page(kept), queries.home(kept.plan), queries.answers(kept))
    newest = max((entry.day for entry in entries.values()), default=None)
    if newest is not None and newest > timezone.localdate():
        raise BadValue("day_in_future", name="day", value=newest, allowed=timezone.localdate())
    there = _in_the_record(kept)
    fresh = {row: entry for row, entry in entries.items() if row not in there}
    practice.write(kept.plan.skill, kept.plan.version, list(fresh.values()), by=by, plan=kept.plan)
    numbers = {as_entry(row).identity: row.pk for row in standing(rows_of(kept.plan.skill))}
    kept.records = {row: numbers[entry.identity] for row, entry in fresh.items()}
    if kept.changed == RIGHT:
        _put_right(kept, there, entries, by)
    kept.state, kept.accepted_by, kept.accepted_at = ScanState.ACCEPTED, by, timezone.now()
    kept.save()
    scan.refresh_from_db()
    return len(kept.records)


def _in_the_record(scan: Scan) -> dict[str, Record]:
    """The rows that earlier photographs of the same week put into the record, with what stands of each."""
    found: dict[str, Record] = {}
    for each in queries.earlier(scan):
        for row, number in each.records.items():
            if (last := last_word(number)) is not None:
                found[row] = last
    return found


def last_word(number: int) -> Record | None:
    """What stands of a record after all later words about it; None where it was taken out."""
    row = Record.objects.get(pk=number)
    while (later := row.later_words.order_by("-pk").first()) is not None:
        row = later
    return None if row.kind == RecordKind.MOVED_AWAY else row


def _put_right(scan: Scan, there: Mapping[str, Record], entries: Mapping[str, Entry], by: Person) -> None:
    """Correct the rows of an earlier photograph that read otherwise now."""
    for row, old in there.items():
        entry = entries.get(row)
        if entry is not None and as_entry(old) != entry:
            why = f"second photograph of sheet {scan.sheet}"
            scan.records[row] = practice.correct(old, entry, by=by, reason=why).pk
            scan.put_right.append(row)


@transaction.atomic
def undo(scan: Scan, by: Person, reason: str) -> int:
    """Take a sheet's marks out of what counts, with trace, and let the sheet wait again. How many.

    A row that it had put right says again what it said before.
    """
    kept = Scan.objects.select_for_update().get(pk=scan.pk)
    if kept.state != ScanState.ACCEPTED or kept.plan is None:
        raise BadValue("sheet_not_settled", name="sheet", value=kept.state, allowed=ScanState.ACCEPTED)
    count = sum(_taken_back(kept, row, number, by, reason) for row, number in kept.records.items())
    kept.records, kept.put_right = {}, []
    kept.state, kept.accepted_by, kept.accepted_at = ScanState.WAITING, None, None
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
    other things.
    """
    number = queries.page(scan).sheet
    if len(queries.home(plan).asked) != number.shape.steps or len(plan.levels) != number.shape.levels:
        raise BadValue("sheet_other_shape", name="plan", value=plan.number, allowed=number.shape.steps)
    if scan.state == ScanState.ACCEPTED:
        undo(scan, by, f"the sheet was filed under another plan ({plan.skill.child.name})"[:200])
    scan.plan, scan.adult = plan, ""
    scan.save()
    return scan


def forget_old_pictures(today: date) -> int:
    """Delete pictures kept longer than `KEEP_DAYS`; the marks stay. How many were deleted."""
    old = Scan.objects.filter(at__date__lt=today - timedelta(days=KEEP_DAYS)).exclude(picture="")
    for scan in old:
        (folder() / scan.picture).unlink(missing_ok=True)
        scan.picture = ""
        scan.save(update_fields=["picture"])
    return len(old)


def difference(scan: Scan) -> settle.Difference | None:
    """What this photograph adds to an earlier one of the same page; None for the first one."""
    before = queries.before(scan)
    return settle.difference(queries.page(before), queries.page(scan)) if before else None
