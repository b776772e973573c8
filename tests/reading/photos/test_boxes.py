"""Boxes on a picture: turning, clipping, widening, and which two are the same face."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.reading.photos.boxes import Box, overlap, strongest, with_new
from bylittle.reading.photos.finish import turn_right
from tests.reading.photos.makers import RED, WHITE

shares = st.floats(0.0, 0.5, allow_nan=False)
boxes = st.builds(Box, shares, shares, st.floats(0.01, 0.5), st.floats(0.01, 0.5))


def near(one: Box, other: Box) -> bool:
    pairs = zip(
        (one.left, one.top, one.width, one.height),
        (other.left, other.top, other.width, other.height),
        strict=True,
    )
    return all(a == pytest.approx(b, abs=1e-9) for a, b in pairs)


@settings(max_examples=50)
@given(boxes)
def test_four_quarter_turns_lead_back(box: Box) -> None:
    assert near(box.turned().turned().turned().turned(), box)


def test_a_turned_box_lies_where_the_turned_picture_has_the_thing() -> None:
    from PIL import Image

    picture = Image.new("RGB", (200, 100), WHITE)
    box = Box(0.1, 0.2, 0.2, 0.5)
    picture.paste(RED, (20, 20, 60, 70))
    turned, place = turn_right(picture), box.turned()
    edges = (place.left * 100, place.top * 200, (place.left + place.width) * 100)
    assert [round(edge) for edge in edges] == [30, 20, 80]
    red = np.argwhere(np.asarray(turned)[:, :, 1] < 100)
    assert red.min(axis=0).tolist() == [20, 30]
    assert red.max(axis=0).tolist() == [59, 79]


@settings(max_examples=50)
@given(boxes, st.floats(1.0, 3.0))
def test_a_wider_box_holds_the_old_one_and_stays_inside(box: Box, factor: float) -> None:
    wide = box.wider(factor)
    assert wide.left <= box.left + 1e-9
    assert wide.top <= box.top + 1e-9
    assert 0 <= wide.left <= wide.left + wide.width <= 1 + 1e-9
    assert wide.left + wide.width >= min(box.left + box.width, 1.0) - 1e-9


def test_what_reaches_out_is_clipped_and_what_lies_outside_is_empty() -> None:
    assert near(Box(-0.1, 0.9, 0.3, 0.3).clipped(), Box(0, 0.9, 0.2, 0.1))
    assert Box(1.2, 0.2, 0.3, 0.3).clipped().width == 0


def test_overlap_is_shared_over_joint_area() -> None:
    """Two unit squares, one moved half a side: half a square of one and a half."""
    assert overlap(Box(0, 0, 0.4, 0.4), Box(0.2, 0, 0.4, 0.4)) == pytest.approx(1 / 3)
    assert overlap(Box(0, 0, 0.4, 0.4), Box(0.5, 0, 0.4, 0.4)) == 0
    assert overlap(Box(0, 0, 0, 0), Box(0, 0, 0, 0)) == 0


def test_only_what_is_new_is_added_and_nothing_known_is_lost() -> None:
    known = [Box(0.1, 0.1, 0.4, 0.4)]
    over, within, beside = Box(0.12, 0.1, 0.4, 0.4), Box(0.2, 0.2, 0.1, 0.1), Box(0.6, 0.1, 0.2, 0.2)
    assert with_new(known, [over, within, beside]) == [*known, beside]
    around = Box(0.0, 0.0, 1.0, 1.0)
    assert with_new([within], [around]) == [within, around], "a large face is not lost to a small box in it"


def test_of_boxes_over_each_other_the_strongest_stays() -> None:
    edges = np.array([[0, 0, 10, 10], [1, 0, 11, 10], [20, 20, 30, 30]], dtype=np.float32)
    strength = np.array([0.5, 0.9, 0.6], dtype=np.float32)
    assert strongest(edges, strength).tolist() == [1, 2]
