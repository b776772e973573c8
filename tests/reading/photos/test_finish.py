"""The saved picture: the square that was chosen, lighter, faces gone for good, small, nothing but pixels."""

from __future__ import annotations

import io

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from bylittle.core.faults import BadValue
from bylittle.library.wording import faults
from bylittle.reading.photos.boxes import Box
from bylittle.reading.photos.finish import (
    BLOCKS,
    MOST_BYTES,
    SIDE,
    Crop,
    Finish,
    again,
    as_boxes,
    finished,
    kept_for_editing,
    middle_square,
    turn_right,
    written,
)
from tests.reading.photos.makers import BLUE, GREEN, RED, WHITE, grain, quarters

WHOLE = Crop(0, 0, 1)


def test_the_middle_square_is_the_largest_in_the_middle() -> None:
    assert middle_square(400, 300) == Crop(0.125, 0, 1)
    assert middle_square(300, 400) == Crop(0, 0.125, 1)
    square = finished(quarters(400, 300), Finish(middle_square(400, 300)))
    assert square.size == (300, 300)
    places = ((10, 10), (290, 10), (10, 290), (290, 290))
    assert [square.getpixel(place) for place in places] == [RED, GREEN, BLUE, WHITE]


def test_a_quarter_turn_to_the_right_brings_the_left_side_up() -> None:
    turned = turn_right(quarters(400, 300))
    assert turned.size == (300, 400)
    places = ((10, 10), (290, 10), (10, 390), (290, 390))
    assert [turned.getpixel(place) for place in places] == [BLUE, RED, WHITE, GREEN]


def test_the_chosen_square_is_what_is_kept() -> None:
    kept = finished(quarters(400, 300), Finish(Crop(0.5, 0, 0.5)))
    assert kept.size == (150, 150)
    assert set(kept.get_flattened_data()) == {GREEN}


@settings(max_examples=60, deadline=None)
@given(
    st.integers(64, 700),
    st.integers(64, 700),
    st.floats(-0.5, 1.5),
    st.floats(-0.5, 1.5),
    st.floats(0.01, 3.0),
)
def test_whatever_square_is_asked_for_lies_inside_or_is_refused(
    width: int, height: int, left: float, top: float, side: float
) -> None:
    """Black beyond the edge would show as a pixel darker than any in the picture."""
    picture, finish = Image.new("RGB", (width, height), WHITE), Finish(Crop(left, top, side))
    if round(min(side, 1.0) * min(width, height)) < 64:
        with pytest.raises(BadValue, match="crop_too_small"):
            finished(picture, finish)
        return
    kept = finished(picture, finish)
    assert kept.width == kept.height <= SIDE
    assert min(kept.convert("L").get_flattened_data()) >= min(WHITE) - 1


def test_a_large_square_is_made_as_small_as_a_frame_needs() -> None:
    assert finished(quarters(1600, 1200), Finish(middle_square(1600, 1200))).size == (SIDE, SIDE)


@pytest.mark.parametrize("crop", [(float("nan"), 0, 1), (0, float("inf"), 1), (0, 0, 0), (0, 0, -1)])
def test_a_square_that_makes_no_sense_is_told(crop: tuple[float, float, float]) -> None:
    with pytest.raises(BadValue) as told:
        Crop(*crop)
    assert told.value.code == "crop_not_read"
    assert faults.sentence(told.value).mend


def test_a_square_too_small_to_print_is_told_with_its_size() -> None:
    with pytest.raises(BadValue) as told:
        finished(quarters(), Finish(Crop(0, 0, 0.1)))
    sentence = faults.sentence(told.value)
    assert sentence.what == "The square is only 30 pixels wide; at least 64 are needed."


def test_lighter_lifts_the_dark_most_and_leaves_white_and_black() -> None:
    steps = Image.new("RGB", (100, 100))
    for number, level in enumerate((0, 40, 120, 255)):
        steps.paste((level,) * 3, (number * 25, 0, number * 25 + 25, 100))

    def levels(amount: int) -> list[int]:
        made = finished(steps, Finish(WHOLE, amount))
        return [made.getpixel((column, 50))[0] for column in (5, 30, 60, 90)]  # type: ignore[index]

    assert levels(0) == [0, 40, 120, 255]
    half, most = levels(50), levels(100)
    assert (half[0], half[3], most[0], most[3]) == (0, 255, 0, 255)
    assert 40 < half[1] < most[1]
    assert most[1] - 40 > most[2] - 120 > 0


@pytest.mark.parametrize("amount", [-1, 101])
def test_how_much_lighter_is_bounded(amount: int) -> None:
    with pytest.raises(BadValue, match="lighter"):
        Finish(WHOLE, amount)


FACE = Box(0.25, 0.25, 0.5, 0.5)


def test_of_a_covered_face_only_a_few_means_are_left() -> None:
    """Thirty-six colours at most from forty thousand pixels: no more can be told by anybody."""
    picture = grain(400, 400)
    covered = np.asarray(finished(picture, Finish(WHOLE, covered=(FACE,))))
    inside = covered[100:300, 100:300].reshape(-1, 3)
    assert len(np.unique(inside, axis=0)) <= BLOCKS**2
    assert (covered[:100] == np.asarray(picture)[:100]).all(), "the rest stays as it was"


def test_two_faces_that_differ_only_in_detail_look_the_same_once_covered() -> None:
    """The same means under another fine pattern: nothing of the pattern gets through."""
    rng = np.random.default_rng(3)
    plain = np.full((400, 400, 3), 120, np.uint8)
    pattern = plain.copy()
    dots = rng.integers(1, 100, (200, 200, 1), dtype=np.uint8)
    pattern[100:300:2, 100:300] = 120 + dots[::2]
    pattern[101:300:2, 100:300] = 120 - dots[::2]
    made = [
        np.asarray(finished(Image.fromarray(each), Finish(WHOLE, covered=(FACE,)))).astype(int)
        for each in (plain, pattern)
    ]
    assert np.abs(made[0] - made[1]).max() <= 3, "a block's edge may run through a row of dots"
    assert np.abs(plain.astype(int) - pattern).max() > 50


def test_lightening_covers_no_less() -> None:
    made = np.asarray(finished(grain(400, 400), Finish(WHOLE, 100, (FACE,))))[100:300, 100:300]
    assert len(np.unique(made.reshape(-1, 3), axis=0)) <= BLOCKS**2


def test_a_face_cut_by_the_edge_of_the_square_keeps_large_blocks() -> None:
    """A sliver of a face is covered with blocks of the whole face's size, not of the sliver's."""
    picture = grain(800, 400)
    made = np.asarray(finished(picture, Finish(Crop(0, 0, 1), covered=(Box(0.45, 0.25, 0.25, 0.5),))))
    sliver = made[100:300, 360:400].reshape(-1, 3)
    assert len(np.unique(sliver, axis=0)) <= BLOCKS * 2


def test_a_far_face_of_a_few_pixels_is_covered_too() -> None:
    picture = grain(400, 400)
    made = np.asarray(finished(picture, Finish(WHOLE, covered=(Box(0.5, 0.5, 0.03, 0.03),))))
    small = made[200:212, 200:212].reshape(-1, 3)
    assert len(np.unique(small, axis=0)) <= 4


@settings(max_examples=60, deadline=None)
@given(st.builds(Box, *(st.floats(-0.5, 1.5) for _ in range(4))))
def test_any_box_is_covered_or_leaves_the_picture_alone(box: Box) -> None:
    picture = grain(120, 120)
    made = np.asarray(finished(picture, Finish(WHOLE, covered=(box,))))
    inside = box.clipped()
    left, top = int(inside.left * 120) + 1, int(inside.top * 120) + 1
    right, bottom = int((inside.left + inside.width) * 120), int((inside.top + inside.height) * 120)
    if right - left > 12 and bottom - top > 12:
        assert not (made[top:bottom, left:right] == np.asarray(picture)[top:bottom, left:right]).mean() > 0.05
    elif box.width <= 0 or box.height <= 0:
        assert (made == np.asarray(picture)).all()


@pytest.mark.parametrize("side", [720, 300])
def test_the_saved_file_keeps_to_its_size_even_for_noise(side: int) -> None:
    data = written(grain(side, side))
    assert len(data) <= MOST_BYTES
    assert data.startswith(b"\xff\xd8\xff")
    assert Image.open(io.BytesIO(data)).width >= 64


def test_an_easy_picture_keeps_its_size_and_its_colours() -> None:
    again_opened = Image.open(io.BytesIO(written(quarters(720, 720))))
    assert again_opened.size == (720, 720)
    assert np.abs(np.asarray(again_opened)[100, 100].astype(int) - RED).max() < 6


def test_a_dozen_of_the_heaviest_pictures_fit_a_page_of_two_megabytes() -> None:
    """Base64 in the page's picture takes four thirds, the page's fonts and lines 200 kB."""
    assert 12 * MOST_BYTES * 4 / 3 + 200_000 < 2_000_000


def test_what_is_kept_for_editing_comes_back_as_it_was() -> None:
    back = again(kept_for_editing(quarters()))
    assert (back.mode, back.size) == ("RGB", (400, 300))
    assert np.abs(np.asarray(back).astype(int) - np.asarray(quarters())).mean() < 2


def test_rows_of_a_form_become_boxes_inside_the_picture() -> None:
    made = as_boxes([[0.1, 0.2, 0.3, 0.4], ["0.9", "0.9", "0.3", "0.3"], [0.1, 0.1, 0, 0]])  # type: ignore[list-item]
    assert len(made) == 2
    assert made[0] == Box(0.1, 0.2, pytest.approx(0.3), pytest.approx(0.4))  # type: ignore[arg-type]
    assert made[1].left + made[1].width <= 1


@pytest.mark.parametrize("row", [[1, 2, 3], ["x", 0, 1, 1], [float("nan"), 0, 1, 1], [0, 0, float("inf"), 1]])
def test_a_box_that_is_not_understood_is_told_and_not_left_out(row: list[float]) -> None:
    with pytest.raises(BadValue) as told:
        as_boxes([[0.1, 0.1, 0.2, 0.2], row])
    assert told.value.code == "box_not_read"
    assert "uncovered" in faults.sentence(told.value).mend
