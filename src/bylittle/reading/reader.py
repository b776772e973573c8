"""One grey picture to the ink of one page, or the reason why not."""

from __future__ import annotations

from dataclasses import dataclass

from bylittle.core.faults import BadValue
from bylittle.core.sheet import geometry
from bylittle.core.sheet.identity import SheetId
from bylittle.core.sheet.ink import PageInk
from bylittle.reading.corners import find_plane
from bylittle.reading.judge import check_page, judge
from bylittle.reading.measure import measure
from bylittle.reading.number import read_number
from bylittle.reading.pictures import Grey
from bylittle.reading.refusal import Refused
from bylittle.reading.rings import Rings, find_rings
from bylittle.reading.straighten import Sheet, straighten


@dataclass(frozen=True, slots=True)
class Reading:
    """What was read of one picture: the ink, the straightened page and where its bubbles stand on it."""

    page: PageInk
    sheet: Sheet
    rings: Rings


def _page(number: SheetId) -> geometry.Page:
    """The page that an id names. Raises `Refused` where its layout has no such page."""
    try:
        return geometry.page(number.shape, number.page)
    except BadValue as fault:
        raise Refused("no_such_page", told=str(number)) from fault


@dataclass(frozen=True, slots=True)
class NotRead:
    """A refusal, with the sheet's id where at least that was read."""

    refusal: Refused
    number: SheetId | None = None


def read_picture(grey: Grey, typed: SheetId | None = None) -> Reading | NotRead:
    """Read the one sheet in `grey`; `typed` is its id where a person typed it in."""
    number = typed
    try:
        sheet = straighten(grey, find_plane(grey))
        number = typed or read_number(sheet)
        bubbles = _page(number).bubbles
        rings = find_rings(sheet, bubbles)
        measured = measure(sheet, rings, bubbles)
        check_page(measured)
        return Reading(PageInk(number, judge(measured, bubbles)), sheet, rings)
    except Refused as refusal:
        return NotRead(refusal, number)
