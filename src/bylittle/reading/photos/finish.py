"""From the opened photo to the saved picture: turn, cut to the square, lighten, cover faces, write.

The same call makes the preview and the saved file, so what is seen is what is kept.
"""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass

from PIL import Image

from bylittle.core.faults import BadValue
from bylittle.reading.photos.boxes import Box
from bylittle.reading.photos.opening import only_pixels, smaller

SIDE = 720  # pixels: 6 cm on paper at 300 dots an inch, more than the widest frame
MOST_BYTES = 110_000  # a page with a dozen pictures stays well under 2 MB
QUALITIES = (86, 78, 68, 56, 44)
KEPT_QUALITY = 90
BLOCKS = 6  # a covered face is this many blocks across its shorter side
SMALLEST_BLOCK = 6.0  # pixels: nothing finer is left of a small face either
SMALLEST_CROP = 64  # pixels
MOST_LIGHTER = 100


@dataclass(frozen=True, slots=True)
class Crop:
    """The square to keep: left upper corner as shares of width and height, side as share of the shorter."""

    left: float
    top: float
    side: float

    def __post_init__(self) -> None:
        if not all(math.isfinite(value) for value in (self.left, self.top, self.side)) or self.side <= 0:
            raise BadValue("crop_not_read", name="crop", value=(self.left, self.top, self.side))


@dataclass(frozen=True, slots=True)
class Finish:
    """What is done to an upright picture: the square kept, how much lighter (0 to 100), boxes to cover."""

    crop: Crop
    lighter: int = 0
    covered: tuple[Box, ...] = ()

    def __post_init__(self) -> None:
        if not 0 <= self.lighter <= MOST_LIGHTER:
            raise BadValue("out_of_range", name="lighter", value=self.lighter, allowed=(0, MOST_LIGHTER))


def middle_square(width: int, height: int) -> Crop:
    """The largest square in the middle of a picture of that size (pixels)."""
    side = min(width, height)
    return Crop((width - side) / 2 / width, (height - side) / 2 / height, 1.0)


def turn_right(picture: Image.Image) -> Image.Image:
    """The picture turned a quarter to the right."""
    return picture.transpose(Image.Transpose.ROTATE_270)


def finished(picture: Image.Image, finish: Finish) -> Image.Image:
    """The square picture, lightened, with the boxes covered for good.

    Covering comes last and leaves only the means of a few large blocks: what was there is gone.
    Raises BadValue (`crop_too_small`) for a square of fewer than 64 pixels.
    """
    left, top, side = _pixels(picture, finish.crop)
    square = picture.crop((left, top, left + side, top + side))
    if side > SIDE:
        square = square.resize((SIDE, SIDE), Image.Resampling.LANCZOS)
    square = _lighter(square, finish.lighter)
    for box in finish.covered:
        _cover(square, _in_square(picture, box, left, top, side))
    return square


def _pixels(picture: Image.Image, crop: Crop) -> tuple[int, int, int]:
    """The square in whole pixels, pushed inside the picture."""
    width, height = picture.size
    side = min(round(crop.side * min(width, height)), width, height)
    if side < SMALLEST_CROP:
        raise BadValue("crop_too_small", name="crop", value=side, allowed=SMALLEST_CROP)
    left = min(max(round(crop.left * width), 0), width - side)
    top = min(max(round(crop.top * height), 0), height - side)
    return left, top, side


def _lighter(picture: Image.Image, amount: int) -> Image.Image:
    """Dark places gain most, white stays white: a gamma curve from 1 (nothing) to 2.2 (most)."""
    if not amount:
        return picture
    power = 1 / (1 + 1.2 * amount / MOST_LIGHTER)
    curve = [round(255 * (value / 255) ** power) for value in range(256)]
    return picture.point(curve * 3)


def _in_square(picture: Image.Image, box: Box, left: int, top: int, side: int) -> Box:
    """A box of the picture in shares of the square; it may reach beyond it."""
    width, height = picture.size
    return Box(
        (box.left * width - left) / side,
        (box.top * height - top) / side,
        box.width * width / side,
        box.height * height / side,
    )


def _cover(square: Image.Image, box: Box) -> None:
    """The size of the blocks comes from the whole box, also where the square shows only its edge."""
    side, inside = square.size[0], box.clipped()
    left, top = int(inside.left * side), int(inside.top * side)
    right, bottom = (
        math.ceil(end * side) for end in (inside.left + inside.width, inside.top + inside.height)
    )
    wide, high = min(right, side) - left, min(bottom, side) - top
    if inside.width <= 0 or inside.height <= 0 or wide < 1 or high < 1:
        return
    block = max(min(box.width, box.height) * side / BLOCKS, SMALLEST_BLOCK)
    cells = (max(1, int(wide / block)), max(1, int(high / block)))
    place = (left, top, left + wide, top + high)
    blocks = square.crop(place).resize(cells, Image.Resampling.BOX)
    square.paste(blocks.resize((wide, high), Image.Resampling.NEAREST), place)


def written(picture: Image.Image, most_bytes: int = MOST_BYTES) -> bytes:
    """The picture as JPEG of at most `most_bytes`, from its pixels alone: no place, no camera.

    What is still too large at the lowest quality is made smaller, down to 64 pixels, which stay as they are.
    """
    clean = only_pixels(picture)
    for quality in QUALITIES:
        data = _jpeg(clean, quality)
        if len(data) <= most_bytes:
            return data
    if min(clean.size) * 3 // 4 < SMALLEST_CROP:
        return data
    return written(smaller(clean, max(clean.size) * 3 // 4), most_bytes)


def _jpeg(picture: Image.Image, quality: int) -> bytes:
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=quality, optimize=True)
    return out.getvalue()


def kept_for_editing(picture: Image.Image) -> bytes:
    """The opened picture as JPEG, for the hours until it is cut; from its pixels alone."""
    return _jpeg(only_pixels(picture), KEPT_QUALITY)


def again(data: bytes) -> Image.Image:
    """A picture that `kept_for_editing` wrote."""
    picture = Image.open(io.BytesIO(data))
    picture.load()
    return picture.convert("RGB")


def as_boxes(rows: Sequence[Sequence[float]]) -> tuple[Box, ...]:
    """Rows of left, top, width, height (shares) as boxes inside the picture; empty ones are left out.

    Raises BadValue (`box_not_read`): a box that is not understood is never left out silently.
    """
    boxes = (_as_box(row).clipped() for row in rows)
    return tuple(box for box in boxes if box.width > 0 and box.height > 0)


def _as_box(row: Sequence[float]) -> Box:
    try:
        left, top, width, height = (float(value) for value in row)
    except (TypeError, ValueError) as problem:
        raise BadValue("box_not_read", name="box", value=row) from problem
    if not all(math.isfinite(value) for value in (left, top, width, height)):
        raise BadValue("box_not_read", name="box", value=row)
    return Box(left, top, width, height)
