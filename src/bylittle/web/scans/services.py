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
from bylittle.web.practice.models import Record
from bylittle.web.practice.queries import as_entry, rows_of, standing
from bylittle.web.scans import queries
from bylittle.web.scans.models import Scan, ScanState
from bylittle.workflows.read_sheet import entries_of, first_day, kept_ink, open_days

#: How long the straightened picture is kept after it was sent; the marks stay (adjust to local rules).
KEEP_DAYS = 90
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


def settle_rows(scan: Scan, rows: Mapping[str, str | None], start: date | None, adult: str) -> Scan:
    """Keep what a person settled so far."""
    scan.rows, scan.start, scan.adult = dict(rows), start, adult
    scan.save(update_fields=["rows", "start", "adult"])
    return scan


def gaps(scan: Scan) -> list[str]:
    """What must still be said before the sheet can go into the record: "rows", "start", "adult"."""
    page, answers = queries.page(scan), queries.answers(scan)
    found = []
    if set(page.open_rows) - set(answers.rows):
        found.append("rows")
    if first_day(page, answers) is None:
        found.append("start")
    if open_days(page, answers) and not answers.adult:
        found.append("adult")
    return found


@transaction.atomic
def accept(scan: Scan, by: Person, *, another_week: bool = False) -> int:
    """Put the marks into the record, source paper; returns how many were new.

    A second photograph of the same page adds what is new and puts changed rows right; a photocopy used for
    another week counts as a week of its own, from the day that was said. BadValue while something is open.
    """
    open_things = gaps(scan)
    if open_things or scan.plan is None or scan.state != ScanState.WAITING:
        raise BadValue("sheet_not_settled", name="sheet", value=", ".join(open_things), allowed="settled")
    earlier = None if another_week else queries.before(scan)
    if another_week and scan.start is None:
        raise BadValue("sheet_not_settled", name="sheet", value="start", allowed="settled")
    page, plan = queries.page(scan), queries.home(scan.plan)
    entries = entries_of(page, plan, queries.answers(scan))
    newest = max((entry.day for entry in entries), default=None)
    if newest is not None and newest > timezone.localdate():
        raise BadValue("day_in_future", name="day", value=newest, allowed=timezone.localdate())
    rights = _put_right(scan, earlier, entries, by) if earlier else set()
    fresh = [entry for entry in entries if entry.identity not in rights]
    before = (
        Record.objects.filter(skill=scan.plan.skill).order_by("-pk").values_list("pk", flat=True).first() or 0
    )
    practice.write(scan.plan.skill, scan.plan.version, fresh, by=by, plan=scan.plan)
    written = Record.objects.filter(skill=scan.plan.skill, pk__gt=before).values_list("pk", flat=True)
    scan.records = [*scan.records, *written]
    scan.state, scan.accepted_by, scan.accepted_at = ScanState.ACCEPTED, by, timezone.now()
    scan.save()
    return len(written)


def _put_right(scan: Scan, earlier: Scan, entries: tuple[Entry, ...], by: Person) -> set[object]:
    """Correct the rows of an earlier photograph that read otherwise now; their identities."""
    assert scan.plan is not None
    there = {
        as_entry(row).identity: row for row in standing(rows_of(scan.plan.skill)) if row.source == "paper"
    }
    done: set[object] = set()
    for entry in entries:
        row = there.get(entry.identity)
        if row is None or as_entry(row) == entry:
            continue
        fresh = practice.correct(row, entry, by=by, reason=f"second photograph of sheet {scan.sheet}")
        scan.records = [*scan.records, fresh.pk]
        done.add(entry.identity)
    return done


@transaction.atomic
def undo(scan: Scan, by: Person, reason: str) -> int:
    """Take the sheet's marks out of what counts, with trace; the sheet waits again. How many."""
    if scan.state != ScanState.ACCEPTED or scan.plan is None:
        raise BadValue("sheet_not_settled", name="sheet", value=scan.state, allowed=ScanState.ACCEPTED)
    mine = set(scan.records)
    rows = [row for row in standing(rows_of(scan.plan.skill)) if row.pk in mine]
    for row in rows:
        practice.take_out(row, by=by, reason=reason)
    scan.records, scan.state, scan.accepted_by, scan.accepted_at = [], ScanState.WAITING, None, None
    scan.save()
    return len(rows)


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
    earlier = queries.before(scan)
    return settle.difference(queries.page(earlier), queries.page(scan)) if earlier else None
