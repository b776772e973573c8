"""What is done to a photo on the tray: turned, the square moved, covers changed. Shares of the picture."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace

from PIL import Image

from bylittle.core.faults import BadValue
from bylittle.reading.photos.boxes import Box
from bylittle.reading.photos.finish import (
    MOST_LIGHTER,
    SMALLEST_CROP,
    Crop,
    Finish,
    again,
    finished,
    turn_right,
    written,
)
from bylittle.web.pictures import working
from bylittle.web.pictures.models import TrayPhoto

STEP = 0.04  # of the shorter side: how far one press moves the square
LIGHTER_STEP = 20
NEW_COVER = 0.3  # of the shorter side
MOST_COVERS = 30
MOVES = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}


@dataclass(frozen=True, slots=True)
class Edit:
    """How a photo of `width` x `height` pixels (as turned) is to be finished."""

    width: int
    height: int
    turns: int
    square: Crop
    lighter: int
    covers: tuple[Box, ...]

    @property
    def finish(self) -> Finish:
        return Finish(self.square, self.lighter, self.covers)

    @property
    def stamp(self) -> str:
        """Another word for every other edit: a browser keeps a picture it has seen under the same address."""
        return hashlib.sha256(repr(self).encode()).hexdigest()[:12]

    @property
    def side_px(self) -> float:
        return self.square.side * min(self.width, self.height)


def edit_of(photo: TrayPhoto) -> Edit:
    """What is noted with a photo on the tray."""
    odd = photo.turns % 2
    width, height = (photo.height, photo.width) if odd else (photo.width, photo.height)
    covers = tuple(Box(*row) for row in photo.covers)
    return Edit(width, height, photo.turns, Crop(photo.left, photo.top, photo.side), photo.lighter, covers)


def check(edit: Edit) -> None:
    """BadValue (`crop_too_small`) for a square that is too small to be printed."""
    if edit.side_px < SMALLEST_CROP:
        raise BadValue("crop_too_small", name="crop", value=round(edit.side_px), allowed=SMALLEST_CROP)


def note(photo: TrayPhoto, edit: Edit) -> None:
    """Keep an edit with its photo; whoever ticked it must look again."""
    if edit == edit_of(photo):
        return
    photo.turns, photo.lighter, photo.looked = edit.turns, edit.lighter, False
    photo.left, photo.top, photo.side = edit.square.left, edit.square.top, edit.square.side
    photo.covers = [[box.left, box.top, box.width, box.height] for box in edit.covers]
    photo.save()


def whole(photo: TrayPhoto, turns: int) -> Image.Image:
    """The working copy, turned. FileNotFoundError where its time is over."""
    picture = again(working.path(photo.file).read_bytes())
    for _ in range(turns % 4):
        picture = turn_right(picture)
    return picture


def jpeg(photo: TrayPhoto, edit: Edit) -> bytes:
    """The picture as it is seen before and kept after: one call for both."""
    return written(finished(whole(photo, edit.turns), edit.finish))


def turned(edit: Edit) -> Edit:
    """Everything a quarter to the right."""
    down_px = edit.square.top * edit.height
    left = (edit.height - down_px - edit.side_px) / edit.height
    return Edit(
        width=edit.height,
        height=edit.width,
        turns=(edit.turns + 1) % 4,
        square=Crop(max(left, 0.0), edit.square.left, edit.square.side),
        lighter=edit.lighter,
        covers=tuple(box.turned() for box in edit.covers),
    )


def moved(edit: Edit, way: str) -> Edit:
    """The square a small step to the left, right, up or down, kept inside the picture."""
    across, down = MOVES[way]
    step = STEP * min(edit.width, edit.height)
    left = edit.square.left + across * step / edit.width
    top = edit.square.top + down * step / edit.height
    return inside(replace(edit, square=Crop(left, top, edit.square.side)))


def sized(edit: Edit, by: int) -> Edit:
    """The square larger (1) or smaller (-1) around its middle."""
    least = min(SMALLEST_CROP / min(edit.width, edit.height), 1.0)
    side = min(max(edit.square.side + by * 2 * STEP, least), 1.0)
    gone = (edit.square.side - side) / 2 * min(edit.width, edit.height)
    left, top = edit.square.left + gone / edit.width, edit.square.top + gone / edit.height
    return inside(replace(edit, square=Crop(left, top, side)))


def inside(edit: Edit) -> Edit:
    """The square pushed into the picture."""
    side = min(edit.square.side, 1.0)
    side_px = side * min(edit.width, edit.height)
    left = min(max(edit.square.left, 0.0), 1 - side_px / edit.width)
    top = min(max(edit.square.top, 0.0), 1 - side_px / edit.height)
    return replace(edit, square=Crop(left, top, side))


def lit(edit: Edit, by: int) -> Edit:
    """A step lighter (1) or back (-1)."""
    return replace(edit, lighter=min(max(edit.lighter + by * LIGHTER_STEP, 0), MOST_LIGHTER))


def with_cover(edit: Edit) -> Edit:
    """One more cover, in the middle of the square."""
    if len(edit.covers) >= MOST_COVERS:
        raise BadValue("too_many_covers", name="covers", value=len(edit.covers) + 1, allowed=(0, MOST_COVERS))
    wide = NEW_COVER * edit.side_px / edit.width
    high = NEW_COVER * edit.side_px / edit.height
    left = edit.square.left + edit.side_px / edit.width / 2 - wide / 2
    top = edit.square.top + edit.side_px / edit.height / 2 - high / 2
    return replace(edit, covers=(*edit.covers, Box(left, top, wide, high)))


def without_cover(edit: Edit, number: int) -> Edit:
    """One cover taken off (counted from 0); a number there is not changes nothing."""
    return replace(edit, covers=tuple(box for place, box in enumerate(edit.covers) if place != number))


def acted(edit: Edit, act: str) -> Edit:
    """What a button of the editor does: "turn", "left" ... "larger", "lighter", "add", "off-2"."""
    if act in MOVES:
        return moved(edit, act)
    if act.startswith("off-") and act[4:].isdecimal():
        return without_cover(edit, int(act[4:]))
    acts = {
        "turn": lambda: turned(edit),
        "larger": lambda: sized(edit, 1),
        "smaller": lambda: sized(edit, -1),
        "lighter": lambda: lit(edit, 1),
        "darker": lambda: lit(edit, -1),
        "add": lambda: with_cover(edit),
    }
    return acts[act]() if act in acts else edit
