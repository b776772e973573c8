"""Pictures to keep and to show: without place and camera data, straightened, and crops of rows to settle."""

from __future__ import annotations

import hashlib

import cv2
import numpy as np
from numpy.typing import NDArray

from bylittle.core.sheet.ink import by_row
from bylittle.reading.pictures import Grey, decode_colour
from bylittle.reading.reader import Reading
from bylittle.reading.straighten import FINE

KEPT_SIDE = 2400  # long side in pixels of the picture that stays with the record
CROP_MARGIN_MM = 4.5
LIGHT_PAPER = 245  # grey of the paper on the picture that people look at; what was read is not touched
_HASH = 16


def keepsake(data: bytes) -> bytes:
    """The upload's picture as a new JPEG, nothing of the file but its pixels. Raises `Refused`."""
    picture = decode_colour(data)
    ratio = KEPT_SIDE / max(picture.shape[:2])
    if ratio < 1:
        size = (round(picture.shape[1] * ratio), round(picture.shape[0] * ratio))
        picture = np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8)
    return _jpeg(picture, 85)


def grey_picture(grey: Grey) -> bytes:
    """A picture that could not be read yet, as JPEG of its greys alone; `decode` gives it back."""
    return _jpeg(grey, 92)


def straight_picture(reading: Reading) -> bytes:
    """The straightened page as JPEG, its paper made light; `picture_places` says where its bubbles are."""
    page = reading.sheet.fine
    gain = LIGHT_PAPER / max(1.0, float(np.percentile(page, 90)))
    return _jpeg(np.asarray(cv2.convertScaleAbs(page, alpha=max(1.0, gain)), np.uint8), 80)


def picture_places(reading: Reading) -> dict[str, tuple[float, float]]:
    """Middle of each bubble on the straightened picture, as shares of its width and height."""
    height, width = reading.sheet.fine.shape
    return {
        ink.bubble.id: (float(x * FINE / width), float(y * FINE / height))
        for ink, (x, y) in zip(reading.page.bubbles, reading.rings.centres, strict=True)
    }


def row_crop(reading: Reading, row: str) -> bytes:
    """The bubbles of one row, cut from the straightened page, as JPEG."""
    known = by_row(reading.page.bubbles)
    chosen = {ink.bubble.id for ink in known[row]}
    places = np.array(
        [
            centre
            for ink, centre in zip(reading.page.bubbles, reading.rings.centres, strict=True)
            if ink.bubble.id in chosen
        ]
    )
    left, top = np.maximum((places.min(0) - CROP_MARGIN_MM) * FINE, 0).astype(int)
    right, foot = ((places.max(0) + CROP_MARGIN_MM) * FINE).astype(int)
    return _jpeg(reading.sheet.fine[top:foot, left:right], 90)


def file_hash(data: bytes) -> str:
    """Equal for the same file sent twice."""
    return hashlib.sha256(data).hexdigest()


def looks_hash(grey: Grey) -> str:
    """Nearly equal for the same photograph sent again in another size or quality (a difference hash)."""
    small = cv2.resize(grey, (_HASH + 1, _HASH), interpolation=cv2.INTER_AREA).astype(int)
    bits = (small[:, 1:] > small[:, :-1]).ravel()
    return f"{int(''.join('1' if bit else '0' for bit in bits), 2):0{_HASH * _HASH // 4}x}"


def looks_apart(one: str, other: str) -> int:
    """How many of 256 bits differ; up to about 12 is the same photograph."""
    return (int(one, 16) ^ int(other, 16)).bit_count()


def _jpeg(picture: NDArray[np.uint8], quality: int) -> bytes:
    done, data = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, quality])
    assert done
    return bytes(data)
