"""What is kept and shown: no place or camera data, crops of the rows to settle, the same photograph known."""

from __future__ import annotations

import io

import cv2
import numpy as np
from PIL import Image

from bylittle.core.sheet.ink import Ink
from bylittle.reading import keep
from bylittle.reading.pictures import decode
from bylittle.reading.reader import Reading, read_picture
from tests.reading.conftest import CALM, Lay, Table


def reading(table: Table) -> Reading:
    told = read_picture(decode(table.taken()))
    assert isinstance(told, Reading)
    return told


def test_nothing_but_the_pixels_is_kept(lay: Lay) -> None:
    exif = Image.Exif()
    exif[0x010F] = "A camera maker"
    exif[0x0112] = 3
    exif.get_ifd(0x8825)[2] = (12.0, 30.0, 5.0)  # a place
    out = io.BytesIO()
    Image.open(io.BytesIO(lay().taken())).save(out, "JPEG", exif=exif, comment=b"secret")
    assert b"A camera maker" in out.getvalue()
    kept = keep.keepsake(out.getvalue())
    assert not Image.open(io.BytesIO(kept)).getexif()
    assert b"A camera maker" not in kept
    assert b"secret" not in kept
    upright = np.asarray(Image.open(io.BytesIO(kept)).convert("L"), int)
    assert abs(upright - decode(out.getvalue()).astype(int)).mean() < 6


def test_a_crop_shows_the_row_and_its_marks(lay: Lay) -> None:
    told = reading(lay({"d3t2.1": "fill", "d3t2.4": "fill"}))
    crop = decode(keep.row_crop(told, "d3t2"))
    assert crop.shape[1] > 4 * crop.shape[0]
    plain = decode(keep.row_crop(told, "d3t1"))
    dark, light = (crop < 120).mean(), (plain < 120).mean()
    assert dark > 2 * light


def test_places_point_at_the_bubbles(lay: Lay) -> None:
    told = reading(lay({"d5t3.2": "fill"}))
    picture = decode(keep.straight_picture(told))
    height, width = picture.shape
    places = keep.picture_places(told)
    for seen in told.page.bubbles:
        x, y = places[seen.bubble.id]
        middle = picture[int(y * height) - 3 : int(y * height) + 4, int(x * width) - 3 : int(x * width) + 4]
        assert (middle.mean() < 130) == (seen.state is Ink.MARKED), seen.bubble.id


def test_the_same_photograph_is_known_again_and_another_is_not(lay: Lay) -> None:
    first, other = lay({"d1t1.2": "fill"}).taken(), lay({"d1t1.2": "fill"}).taken(CALM, seed=9)
    assert keep.file_hash(first) == keep.file_hash(bytes(first))
    assert keep.file_hash(first) != keep.file_hash(other)
    grey = decode(first)
    smaller = cv2.resize(grey, None, fx=0.6, fy=0.6, interpolation=cv2.INTER_AREA)
    again = cv2.imdecode(cv2.imencode(".jpg", smaller, [cv2.IMWRITE_JPEG_QUALITY, 50])[1], 0)
    assert keep.looks_apart(keep.looks_hash(grey), keep.looks_hash(again)) <= 12
    upside_down = np.ascontiguousarray(np.rot90(grey, 2))
    assert keep.looks_apart(keep.looks_hash(grey), keep.looks_hash(upside_down)) > 12
