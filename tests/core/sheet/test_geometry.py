"""The geometry: every layout fits its paper, and a tired thumb can hit every bubble."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.core.faults import BadValue
from bylittle.core.sheet import geometry
from bylittle.core.sheet.geometry import Box
from bylittle.core.sheet.shape import A4, LETTER, Shape


@st.composite
def shapes(draw: st.DrawFn) -> Shape:
    steps = draw(st.integers(1, 12))
    turns = draw(st.integers(1, 5)) if steps == 1 else 1
    paper = draw(st.sampled_from([A4, LETTER]))
    levels, adults = draw(st.integers(2, 8)), draw(st.integers(0, 4))
    return Shape(paper, draw(st.integers(1, 7)), turns, steps, levels, adults)


@given(shapes())
@settings(max_examples=80, deadline=None)
def test_bubbles_are_large_and_far_enough_apart(shape: Shape) -> None:
    for page in geometry.pages(shape):
        assert all(2 * bubble.r >= 5 for bubble in page.bubbles)
        places = np.array([(bubble.x, bubble.y) for bubble in page.bubbles])
        gaps = np.linalg.norm(places[:, None] - places[None], axis=2)
        np.fill_diagonal(gaps, np.inf)
        assert gaps.min() >= 8 - 1e-9


@given(shapes())
@settings(max_examples=80, deadline=None)
def test_every_day_turn_step_and_level_has_one_bubble(shape: Shape) -> None:
    bubbles = [bubble for page in geometry.pages(shape) for bubble in page.bubbles]
    helps = Counter((b.day, b.turn, b.step, b.choice) for b in bubbles if b.use == "help")
    wanted = {
        (day, turn, step, choice)
        for day in range(1, shape.days + 1)
        for turn in range(1, shape.turns + 1)
        for step in range(1, shape.steps + 1)
        for choice in (*range(shape.levels), None)
    }
    assert set(helps) == wanted
    assert set(helps.values()) == {1}
    who = {(b.day, b.choice) for b in bubbles if b.use == "who"}
    assert len(who) == shape.days * shape.adults


@given(shapes())
@settings(max_examples=80, deadline=None)
def test_nothing_leaves_the_paper_or_covers_a_marker_or_code(shape: Shape) -> None:
    for page in geometry.pages(shape):
        taken = [box for _, box in page.markers] + [page.qr, page.matrix]
        for bubble in page.bubbles:
            round_it = Box(bubble.x - bubble.r, bubble.y - bubble.r, 2 * bubble.r, 2 * bubble.r)
            assert all(not _touch(round_it, box, room=1.0) for box in taken)
            assert round_it.x >= 8
            assert round_it.x + round_it.w <= shape.paper.width_mm - 8 + 1e-9
        assert page.notes.h >= geometry.NOTES_TALL - 1e-9
        assert page.number <= 8


def _touch(one: Box, other: Box, room: float) -> bool:
    apart_x = one.x + one.w + room <= other.x or other.x + other.w + room <= one.x
    apart_y = one.y + one.h + room <= other.y or other.y + other.h + room <= one.y
    return not (apart_x or apart_y)


def test_the_usual_week_fits_on_one_page_of_either_paper() -> None:
    for paper in (A4, LETTER):
        assert len(geometry.pages(Shape(paper, 7, 4, 1, 6, 3))) == 1
        assert len(geometry.pages(Shape(paper, 7, 1, 3, 6, 3))) == 1


def test_bubble_names_are_those_of_the_row_and_unique() -> None:
    shape = Shape(A4, 7, 1, 12, 8, 4)
    names = [bubble.id for page in geometry.pages(shape) for bubble in page.bubbles if bubble.use != "way"]
    assert len(set(names)) == len(names)


def test_a_page_that_is_not_there_is_told() -> None:
    with pytest.raises(BadValue) as told:
        geometry.page(Shape(A4, 7, 4, 1, 6), 2)
    assert told.value.values["allowed"] == (1, 1)
