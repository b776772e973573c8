"""Taking photographs in: each picture becomes a scan that waits or was refused."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from django.utils import timezone

from bylittle.core.faults import BadValue
from bylittle.core.sheet import identity
from bylittle.reading.keep import file_hash, grey_picture, picture_places, straight_picture
from bylittle.reading.pictures import Frame, decode, frames
from bylittle.reading.reader import NotRead, Reading
from bylittle.reading.refusal import Refused
from bylittle.reading.result import why
from bylittle.reading.upload import read_frame
from bylittle.web.people.models import Person
from bylittle.web.scans import bounds, free_word, keeping, queries
from bylittle.web.scans.models import Scan, ScanState
from bylittle.workflows.read_sheet import kept_ink

NOT_YOURS = "This sheet's plan is not one of your children's. Nothing of it was kept."
#: Refusals that a number typed by hand may mend: the picture waits for it.
NUMBER_REFUSALS = ("no_number", "two_numbers", "wrong_number", "no_such_page")


@dataclass(frozen=True, slots=True)
class Taken:
    """What came of one picture; `again` where the very same file had come before and nothing was added."""

    scan: Scan
    again: bool = False


def take(name: str, data: bytes, by: Person, room: int = bounds.MOST_PICTURES) -> list[Taken]:
    """Read a file: one scan for each picture in it. `room`: how many pictures may still be read."""
    digest = file_hash(data)
    before = list(queries.scans_of(by).filter(digest=digest).exclude(state=ScanState.REFUSED))
    if before:
        return [Taken(scan, again=True) for scan in reversed(before)]
    return list(_taken(name, data, digest, by, room))


def _taken(name: str, data: bytes, digest: str, by: Person, room: int) -> Iterator[Taken]:
    pictures = frames(data)
    for count, frame in enumerate(pictures):
        scan = Scan(by=by, name=name[-120:], part=frame.part, digest=digest)
        if count >= room:
            refuse(scan, bounds.TOO_MANY_PICTURES.format(most=bounds.MOST_PICTURES))
            yield Taken(scan)
            return
        _read(scan, frame, read_frame(frame), by)
        yield Taken(scan)


def leave_out(name: str, reason: str, by: Person) -> Taken:
    """A file that was not even looked at, told like the others."""
    return Taken(refuse(Scan(by=by, name=name[-120:], digest=""), reason))


def refuse(scan: Scan, reason: str, code: str = "") -> Scan:
    """Keep that a picture was not read, and why."""
    scan.state, scan.why, scan.refusal = ScanState.REFUSED, reason, code
    scan.save()
    return scan


def _read(scan: Scan, frame: Frame, outcome: Reading | NotRead, by: Person) -> None:
    if isinstance(outcome, Reading):
        _fill(scan, outcome, by)
        return
    code = outcome.refusal.code
    if code in NUMBER_REFUSALS and frame.grey is not None and not scan.picture:
        scan.picture = keeping.keep(grey_picture(frame.grey))
        scan.height, scan.width = frame.grey.shape
    refuse(scan, why(outcome), code)


def _fill(scan: Scan, reading: Reading, by: Person) -> None:
    number = reading.page.sheet
    scan.plan = queries.plan_of(number, by)
    if scan.plan is None:
        keeping.let_go(scan)
        refuse(scan, NOT_YOURS)
        return
    scan.state, scan.why, scan.refusal = ScanState.WAITING, "", ""
    scan.sheet, scan.page = str(number), number.page
    scan.initials = list(queries.printed_adults(scan.plan))
    state, area, top, foot = free_word.seen(reading)
    scan.ink = {**kept_ink(reading.page), free_word.NAME: (state.value, area)}
    scan.places = {**picture_places(reading), free_word.TOP: top, free_word.FOOT: foot}
    keeping.let_go(scan)
    picture = straight_picture(reading)
    scan.picture = keeping.keep(picture)
    seen = cv2.imdecode(np.frombuffer(picture, np.uint8), cv2.IMREAD_GRAYSCALE)
    assert seen is not None, "our own JPEG"
    scan.height, scan.width = seen.shape
    scan.save()


def with_number(scan: Scan, text: str, by: Person) -> Scan:
    """Read a picture again with the sheet's number typed in by hand.

    `identity.WrongId` where it is none; BadValue where no picture waits for a number.
    """
    number = identity.read(text)
    path = keeping.folder() / scan.picture
    if scan.refusal not in NUMBER_REFUSALS or not scan.picture or not path.is_file():
        raise BadValue("no_picture_waits", name="sheet", value=scan.pk, allowed=NUMBER_REFUSALS)
    try:
        frame = Frame(scan.part, decode(path.read_bytes()))
    except Refused as refusal:
        frame = Frame(scan.part, None, refusal)
    said = {"at": timezone.now().isoformat(), "by": by.shown_name, "what": "typed", "now": str(number)}
    scan.trail = [*scan.trail, said]
    _read(scan, frame, read_frame(frame, number), by)
    return scan
