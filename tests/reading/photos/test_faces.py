"""The net finds a drawn face at its place and none on things; its answer is read as its paper says.

No photo of a person stands in this repository; what was measured on one is told in the guide.
"""

from __future__ import annotations

import hashlib

import numpy as np
import pytest
from PIL import Image

from bylittle.reading.photos import faces as room
from bylittle.reading.photos.boxes import Box, overlap
from bylittle.reading.photos.faces import AROUND, CELL, MODEL, boxes_of, faces
from tests.reading.photos import makers

DRAWN = Box(200 / 640, 175 / 640, 240 / 640, 310 / 640)  # the oval of the drawn face itself


def test_a_drawn_face_is_found_where_it_is() -> None:
    (found,) = faces(makers.drawn_face())
    assert overlap(found, DRAWN) > 0.5
    assert found.left < DRAWN.left
    assert found.top + found.height > DRAWN.top + DRAWN.height - 0.02


def test_a_face_that_fills_a_large_picture_is_covered_whole() -> None:
    """Seen in full size the net takes in only its middle; the small look finds all of it."""
    large = makers.drawn_face().crop((150, 80, 490, 520)).resize((1236, 1600))
    (found,) = faces(large)
    assert found.width > 240 / 340 * 0.9
    assert found.height > 310 / 440 * 0.9


def test_a_mirrored_face_is_found_at_the_mirrored_place() -> None:
    picture = Image.new("RGB", (800, 640), (180, 200, 215))
    picture.paste(makers.drawn_face(), (0, 0))
    (found,) = faces(picture)
    (mirrored,) = faces(picture.transpose(Image.Transpose.FLIP_LEFT_RIGHT))
    assert overlap(Box(1 - found.left - found.width, found.top, found.width, found.height), mirrored) > 0.7


@pytest.mark.parametrize("thing", ["quarters", "grain", "white", "ball"])
def test_no_face_is_found_on_things(thing: str) -> None:
    assert faces(makers.things()[thing]) == []


def answer(rows: int = 8, columns: int = 16) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    shape = (rows, columns)
    return (
        np.zeros((1, 1, *shape), np.float32),
        np.zeros((1, 2, *shape), np.float32),
        np.zeros((1, 2, *shape), np.float32),
    )


def test_the_answer_is_read_as_its_paper_says() -> None:
    """Xu and others (2019), from memory: middle = place + offset, size = exp(answer), in cells of 4 pixels.

    By hand: place row 3, column 5, offset 0.25 down and -0.25 across, height e^ln 2 = 2 cells, width 4.
    Middle (5 - 0.25 + 0.5) * 4 = 21 across of 64, (3 + 0.25 + 0.5) * 4 = 15 down of 32.
    """
    likely, size, offset = answer()
    likely[0, 0, 3, 5] = 0.9
    size[0, :, 3, 5] = np.log([2, 4])
    offset[0, :, 3, 5] = (0.25, -0.25)
    (box,) = boxes_of(likely, size, offset)
    assert CELL == 4
    assert (box.width, box.height) == (pytest.approx(16 * AROUND / 64), pytest.approx(8 * AROUND / 32))
    assert box.left + box.width / 2 == pytest.approx(21 / 64)
    assert box.top + box.height / 2 == pytest.approx(15 / 32)


def test_places_next_to_each_other_are_one_face_and_weak_ones_none() -> None:
    likely, size, offset = answer()
    likely[0, 0, 3, 5], likely[0, 0, 3, 6], likely[0, 0, 6, 14] = 0.6, 0.8, 0.39
    size[0, :, :, :] = np.log(6)
    (box,) = boxes_of(likely, size, offset)
    assert box.left + box.width / 2 == pytest.approx((6.5 * 4) / 64)
    assert boxes_of(*answer()) == []


def test_a_crowd_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(room, "MOST_PLACES", 3)
    likely, size, offset = answer(40, 40)
    likely[0, 0, ::8, ::8] = 0.9
    assert len(boxes_of(likely, size, offset)) == 3


def test_a_bare_answer_of_the_net_has_no_place_outside_the_picture() -> None:
    likely, size, offset = answer()
    likely[0, 0, 0, 0] = 0.9
    size[0, :, 0, 0] = np.log(12)
    (box,) = boxes_of(likely, size, offset)
    assert box == box.clipped()
    assert (box.left, box.top) == (0, 0)


def test_the_net_is_the_one_its_licence_note_names() -> None:
    note = (MODEL.parent / "LICENSE-centerface.txt").read_text(encoding="utf-8")
    assert hashlib.sha256(MODEL.read_bytes()).hexdigest() in note
    assert "MIT License" in note
