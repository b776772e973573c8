"""The room for a free word: where it stands on the straightened picture, and whether something is there.

The words themselves are never read: a person types them. Seeing too much costs one tap, so a spot, a crease
or a shadow may be asked about; only paper that is clearly empty is not.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from bylittle.core.sheet import geometry
from bylittle.core.sheet.geometry import Box
from bylittle.core.sheet.ink import Ink
from bylittle.reading.reader import Reading
from bylittle.reading.straighten import FINE

NAME = "notes"
TOP, FOOT = "notes.top", "notes.foot"  # its corners among a scan's places
DARKER = 0.12  # than the paper around it: the faintest pencil that counts
LEAST_SPOT = 0.5  # square millimetres; smaller ones are grain of the picture
LEAST_INK = 1.5  # square millimetres in all
NEAR = 12  # bubbles that say how far the paper is off there
_RULE = 5.0  # millimetres of a straight level line that was printed
_EDGE = 1.5
_HEADING_OWN, _HEADING_LINE, _HEADING_WIDE = 11.0, 6.5, 70.0  # where its printed words stand

_ASIDE, _BELOW, _LEAST_WIDE = 8.0, 6.0, 70.0  # shown around the writing

Grey = NDArray[np.uint8]
Spots = NDArray[np.float64]


def seen(reading: Reading) -> tuple[Ink, float, tuple[float, float], tuple[float, float]]:
    """Blank or doubtful, square millimetres of ink, and the corners of what to show as shares of the picture.

    Shown is the whole room, or as much of it as the writing takes.
    """
    page = geometry.page(reading.page.sheet.shape, reading.page.sheet.page)
    found = [spots for part in _room(page) if len(spots := _ink(reading, _placed(reading, part)))]
    area = sum(float(spots[:, 4].sum()) for spots in found)
    state = Ink.DOUBTFUL if area >= LEAST_INK else Ink.BLANK
    shown = _placed(reading, page.notes)
    if state is Ink.DOUBTFUL:
        shown = _around(np.concatenate(found), shown)
    height, width = reading.sheet.fine.shape
    top = (shown.x * FINE / width, shown.y * FINE / height)
    foot = ((shown.x + shown.w) * FINE / width, (shown.y + shown.h) * FINE / height)
    return state, round(area, 2), top, foot


def _around(spots: Spots, room: Box) -> Box:
    """The part of the room with the writing, from its heading on, all of it in millimetres."""
    left = max(room.x, min(float(spots[:, 0].min()) - _ASIDE, room.x + room.w - _LEAST_WIDE))
    right = min(room.x + room.w, max(float(spots[:, 2].max()) + _ASIDE, left + _LEAST_WIDE))
    foot = min(room.y + room.h, float(spots[:, 3].max()) + _BELOW)
    return Box(left, room.y, right - left, foot - room.y)


def _room(page: geometry.Page) -> tuple[Box, ...]:
    """Where somebody writes: the room without its printed words."""
    box = page.notes
    if box.x > 20.0:  # a place of its own, its heading above
        return (Box(box.x, box.y + _HEADING_OWN, box.w, box.h - _HEADING_OWN),)
    first = Box(box.x + _HEADING_WIDE, box.y, box.w - _HEADING_WIDE, min(_HEADING_LINE, box.h))
    rest = box.h - _HEADING_LINE
    return (first, Box(box.x, box.y + _HEADING_LINE, box.w, rest)) if rest > 3.0 else (first,)


def _placed(reading: Reading, box: Box) -> Box:
    """The box where the bubbles around it lie: paper that was bent is not quite where it was printed."""
    printed = np.array([(ink.bubble.x, ink.bubble.y) for ink in reading.page.bubbles])
    off = np.asarray(reading.rings.centres, float) - printed
    apart = np.hypot(*(printed - (box.x + box.w / 2, box.y + box.h / 2)).T)
    dx, dy = np.median(off[np.argsort(apart)[:NEAR]], axis=0)
    return Box(box.x + float(dx), box.y + float(dy), box.w, box.h)


def _ink(reading: Reading, box: Box) -> Spots:
    """What is darker than the paper and no printed line: left, top, right, foot (mm), square millimetres."""
    cut, left, top = _cut(reading.sheet.fine, box)
    if min(cut.shape) < 2 * FINE:
        return np.empty((0, 5))
    dark = _without_rules(_dark(cut))
    _, _, told, _ = cv2.connectedComponentsWithStats(dark, connectivity=8)
    x, y, w, h, area = (told[1:, column] / FINE for column in range(5))
    spots = np.stack([left + x, top + y, left + x + w, top + y + h, area / FINE], axis=1)
    return spots[spots[:, 4] >= LEAST_SPOT]


def _cut(page: Grey, box: Box) -> tuple[Grey, float, float]:
    """The box without its edge, and where it begins, in millimetres."""
    left, top = max(0.0, box.x + _EDGE), max(0.0, box.y + _EDGE / 2)
    right, foot = int((box.x + box.w - _EDGE) * FINE), int((box.y + box.h - _EDGE / 2) * FINE)
    return page[int(top * FINE) : foot, int(left * FINE) : right], left, top


def _dark(cut: Grey) -> Grey:
    calm = cv2.GaussianBlur(cut, (0, 0), 0.2 * FINE)
    reach = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (_odd(4.0), _odd(4.0)))
    paper = cv2.GaussianBlur(cv2.morphologyEx(calm, cv2.MORPH_CLOSE, reach), (0, 0), FINE)
    return np.asarray((calm < (1 - DARKER) * paper.astype(float)) * 255, np.uint8)


def _without_rules(dark: Grey) -> Grey:
    rule = cv2.getStructuringElement(cv2.MORPH_RECT, (_odd(_RULE), 1))
    lines = cv2.morphologyEx(dark, cv2.MORPH_OPEN, rule)
    lines = cv2.dilate(lines, cv2.getStructuringElement(cv2.MORPH_RECT, (_odd(1.5), _odd(0.6))))
    return np.asarray(cv2.bitwise_and(dark, cv2.bitwise_not(lines)), np.uint8)


def _odd(millimetres: float) -> int:
    return 2 * round(millimetres * FINE / 2) + 1
