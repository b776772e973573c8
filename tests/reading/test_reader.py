"""Print, mark, bend, photograph, read: what was marked is read, what is unclear is asked about."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.photos import ink
from bylittle.core.sheet.ink import Ink
from bylittle.reading.reader import NotRead, Reading, read_picture
from bylittle.reading.result import why
from bylittle.reading.upload import read_upload
from tests.reading.conftest import CALM, PLAN, WHOLE, Lay, Table

PENCIL = ink.Pen("pencil", (0.4, 0.4, 0.41), 0.5, 0.3)


def outcome(photo: bytes) -> Reading | NotRead:
    (result,) = read_upload("photo.jpg", photo)
    return result.outcome


def read(photo: bytes) -> Reading:
    told = outcome(photo)
    assert isinstance(told, Reading), why(told)
    return told


def refused(photo: bytes) -> NotRead:
    told = outcome(photo)
    assert isinstance(told, NotRead)
    return told


def states(reading: Reading) -> dict[str, Ink]:
    return {seen.bubble.id: seen.state for seen in reading.page.bubbles}


def not_blank(reading: Reading) -> dict[str, Ink]:
    return {name: state for name, state in states(reading).items() if state is not Ink.BLANK}


ROWS = [f"d{day}t{turn}" for day in range(1, 8) for turn in range(1, 5)]


@pytest.mark.parametrize("pen", [None, PENCIL], ids=["biro", "pencil"])
@pytest.mark.parametrize("mark", ink.CLEAR)
def test_a_clear_mark_is_read_as_marked_and_no_other_bubble_is(
    lay: Lay, mark: str, pen: ink.Pen | None
) -> None:
    marks = {f"{row}.{number % 6}": mark for number, row in enumerate(ROWS)}
    reading = read(lay(marks, pen=pen or ink.Pen("biro", (0.1, 0.15, 0.5), 0.5, 0.1)).taken())
    found = not_blank(reading)
    assert set(found) == set(marks)
    assert sum(state is Ink.MARKED for state in found.values()) >= len(marks) - 2
    assert reading.page.conflicts == ()


@pytest.mark.parametrize("mark", ink.TAKEN_BACK)
def test_a_mark_taken_back_is_not_read_as_marked(lay: Lay, mark: str) -> None:
    marks = {f"{row}.{number % 6}": mark for number, row in enumerate(ROWS)}
    found = states(read(lay(marks).taken()))
    assert sum(found[name] is Ink.MARKED for name in marks) <= len(marks) // 10
    assert all(state is Ink.BLANK for name, state in found.items() if name not in marks)


def test_a_circle_drawn_around_a_bubble_is_asked_about(lay: Lay) -> None:
    marks = {f"{row}.{number % 6}": "ring" for number, row in enumerate(ROWS[:10])}
    found = states(read(lay(marks).taken()))
    assert {found[name] for name in marks} == {Ink.DOUBTFUL}
    assert all(state is Ink.BLANK for name, state in found.items() if name not in marks)


def test_two_clear_marks_in_a_row_are_both_marked_and_told(lay: Lay) -> None:
    reading = read(lay({"d3t2.1": "fill", "d3t2.4": "tick", "d4t1.5": "cross"}).taken())
    assert set(not_blank(reading).values()) == {Ink.MARKED}
    assert reading.page.conflicts == ("d3t2",)


def test_who_practised_and_what_got_in_the_way_are_read_too(lay: Lay) -> None:
    marks = {"d1.who1": "fill", "d1.who3": "tick", "way2": "cross", "way5": "fill"}
    reading = read(lay(marks).taken())
    assert set(not_blank(reading)) == set(marks)
    assert reading.page.conflicts == ()


@pytest.mark.parametrize("turn", [0, 90, 180, 270, 37])
def test_any_way_up(lay: Lay, turn: int) -> None:
    table = lay({"d2t3.4": "fill"})
    side = replace(CALM, width=2000, height=2000, turn=float(turn), fills=0.95)
    reading = read(table.taken(side))
    assert reading.page.sheet == table.sheet
    assert not_blank(reading) == {"d2t3.4": Ink.MARKED}


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("number", [1, 2])
def test_each_page_of_each_paper_is_known_by_its_own_id(lay: Lay, paper: str, number: int) -> None:
    table = lay(plan=WHOLE, paper=paper, number=number)
    assert read(table.taken()).page.sheet == table.sheet


def test_a_hundred_marked_bubbles_are_no_reason_to_doubt(lay: Lay) -> None:
    marks = {f"{row}.{level}": "fill" for row in ROWS for level in range(6)}
    found = states(read(lay(marks).taken()))
    assert all(found[name] is Ink.MARKED for name in marks)
    assert found["d1t1.stopped"] is Ink.BLANK


@given(
    seed=st.integers(0, 10_000),
    turn=st.floats(-8, 8),
    curl=st.floats(0, 4),
    tilt=st.floats(0, 0.06),
    shadow=st.floats(0, 0.45),
    blur=st.floats(0.3, 1.2),
    copies=st.integers(0, 2),
)
@settings(max_examples=8, deadline=None, derandomize=True, database=None)
def test_what_was_marked_is_read_through_bend_and_shade(
    lay: Lay, seed: int, turn: float, curl: float, tilt: float, shadow: float, blur: float, copies: int
) -> None:
    """The law: never silently another reading, whatever the page went through."""
    rng = np.random.default_rng(seed)
    marks = {f"{row}.{rng.integers(6)}": str(rng.choice(ink.CLEAR)) for row in ROWS if rng.random() < 0.8}
    table = lay(marks, seed=seed)
    shot = replace(
        CALM, turn=turn, curl_mm=curl, tilt=tilt, fills=0.85, shadow=shadow, blur=blur, copies=copies
    )
    told = outcome(table.taken(shot, seed))
    if isinstance(told, NotRead):
        assert max(curl / 4, tilt / 0.06, shadow / 0.45, blur / 1.2) > 0.6, why(told)
        return
    assert told.page.sheet == table.sheet
    for name, state in states(told).items():
        assert state in ((Ink.MARKED, Ink.DOUBTFUL) if name in marks else (Ink.BLANK, Ink.DOUBTFUL)), name


def test_bubbles_under_a_thumb_are_asked_about(lay: Lay) -> None:
    table = lay({"d1t1.2": "fill"})
    box = next(card.box for card in table.places.cards if card.day == 3)
    found = states(read(table.covered(box, shade=0.55).taken()))
    hidden = [name for name in found if name.startswith("d3t")]
    assert {found[name] for name in hidden} == {Ink.DOUBTFUL}
    assert found["d1t1.2"] is Ink.MARKED


def test_bubbles_in_glare_are_asked_about(lay: Lay) -> None:
    table = lay({"d1t1.2": "fill"})
    box = next(card.box for card in table.places.cards if card.day == 3)
    found = states(read(table.covered(box, shade=1.0).taken()))
    assert {found[name] for name in found if name.startswith("d3t")} == {Ink.DOUBTFUL}


def test_a_fold_across_a_row_is_no_mark(lay: Lay) -> None:
    for seed in (1, 2, 3):
        assert not_blank(read(lay().taken(replace(CALM, fold=0.35), seed))) == {}


@pytest.mark.parametrize("code", ["qr", "matrix"])
def test_one_code_may_be_spoilt(lay: Lay, code: str) -> None:
    table = lay()
    reading = read(table.covered(getattr(table.places, code)).taken())
    assert reading.page.sheet == table.sheet


def test_without_a_readable_number_nothing_is_guessed_but_a_typed_one_helps(lay: Lay) -> None:
    table = lay({"d1t1.2": "fill"})
    photo = table.covered(table.places.qr, table.places.matrix).taken()
    told = refused(photo)
    assert told.refusal.code == "no_number"
    assert "type the number in" in why(told)
    grey = cv2.imdecode(np.frombuffer(photo, np.uint8), cv2.IMREAD_GRAYSCALE)
    typed = read_picture(grey, typed=table.sheet)
    assert isinstance(typed, Reading)
    assert not_blank(typed) == {"d1t1.2": Ink.MARKED}


def test_two_different_numbers_are_refused(lay: Lay) -> None:
    table, other = lay(), lay(plan=replace(PLAN, version=4))
    mixed = table.page.copy()
    box = table.places.matrix
    rows = slice(int(box.y * table.scale), int((box.y + box.h) * table.scale))
    columns = slice(int(box.x * table.scale), int((box.x + box.w) * table.scale))
    mixed[rows, columns] = other.page[rows, columns]
    assert refused(replace(table, page=mixed).taken()).refusal.code == "two_numbers"


def test_three_corners_are_enough(lay: Lay) -> None:
    table = lay({"d7t4.5": "fill", "d4t4.0": "tick"})
    for _, corner in table.places.markers:
        assert not_blank(read(table.covered(corner).taken())) == {
            "d7t4.5": Ink.MARKED,
            "d4t4.0": Ink.MARKED,
        }


def test_two_missing_corners_are_refused_with_what_to_do(lay: Lay) -> None:
    table = lay()
    corners = [box for _, box in table.places.markers]
    told = refused(table.covered(corners[0], corners[3]).taken())
    assert told.refusal.code == "corners_missing"
    assert why(told) == (
        "2 of the four corner squares cannot be seen: cut off, covered or blurred. "
        "Lay the sheet flat, hold the phone still, with all four squares in the picture."
    )


def test_two_sheets_in_one_picture_are_refused(lay: Lay) -> None:
    def small(table: Table) -> np.ndarray:
        return cv2.imdecode(np.frombuffer(table.taken(), np.uint8), cv2.IMREAD_GRAYSCALE)

    both = np.hstack([small(lay()), small(lay(plan=replace(PLAN, plan="111111")))])
    assert refused(bytes(cv2.imencode(".jpg", both)[1])).refusal.code == "several_sheets"


def test_two_sheets_of_different_paper_are_told_as_well(lay: Lay) -> None:
    sides = [
        cv2.imdecode(np.frombuffer(lay(paper=paper).taken(), np.uint8), cv2.IMREAD_GRAYSCALE)
        for paper in ("a4", "letter")
    ]
    assert refused(bytes(cv2.imencode(".jpg", np.hstack(sides))[1])).refusal.code == "several_sheets"


@pytest.mark.parametrize("axis", [0, 1], ids=["upside down", "left to right"])
def test_a_mirrored_photograph_is_read_as_it_was_meant(lay: Lay, axis: int) -> None:
    table = lay({"d1t1.2": "fill", "d6t3.5": "tick"})
    photo = cv2.imdecode(np.frombuffer(table.taken(), np.uint8), cv2.IMREAD_GRAYSCALE)
    reading = read(bytes(cv2.imencode(".jpg", cv2.flip(photo, axis))[1]))
    assert reading.page.sheet == table.sheet
    assert not_blank(reading) == {"d1t1.2": Ink.MARKED, "d6t3.5": Ink.MARKED}


HOPELESS = {
    "too_blurred": replace(CALM, blur=14.0),
    "too_small": replace(CALM, fills=0.2),
    "too_dark": replace(CALM, light=0.06, black=0.05, noise=0.01, quality=20),
    "corners_missing": replace(CALM, shift=(0.5, 0.0)),
}


@pytest.mark.parametrize("code", list(HOPELESS))
def test_a_hopeless_photograph_is_refused_with_the_reason_and_what_to_do(lay: Lay, code: str) -> None:
    told = refused(lay({"d1t1.2": "fill"}).taken(HOPELESS[code]))
    assert told.refusal.code == code
    assert len(why(told)) > 40
    assert len(why(told, "es")) > 40


def test_a_picture_of_something_else_is_refused() -> None:
    rng = np.random.default_rng(5)
    noise = rng.integers(0, 255, (900, 1200), np.uint8)
    boxes = np.kron(rng.integers(0, 2, (45, 60)), np.ones((20, 20))).astype(np.uint8) * 255
    for picture in (noise, boxes, np.full((900, 1200), 255, np.uint8), np.zeros((40, 4000), np.uint8)):
        assert isinstance(outcome(bytes(cv2.imencode(".png", picture)[1])), NotRead)


def test_a_typed_id_of_a_page_that_its_layout_lacks_is_refused_with_the_reason(lay: Lay) -> None:
    table = lay()
    grey = cv2.imdecode(np.frombuffer(table.taken(), np.uint8), cv2.IMREAD_GRAYSCALE)
    told = read_picture(grey, typed=replace(table.sheet, page=8))
    assert isinstance(told, NotRead)
    assert told.refusal.code == "no_such_page"
    assert len(why(told)) > 40


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_strongly_bent_page_is_never_read_a_row_or_column_off(lay: Lay, seed: int) -> None:
    marks = {f"{row}.{number % 6}": "fill" for number, row in enumerate(ROWS) if number % 3}
    shot = replace(CALM, fills=0.85, curl_mm=6.0, roll=55.0)
    told = outcome(lay(marks).taken(shot, seed))
    if isinstance(told, NotRead):
        assert told.refusal.code in ("too_doubtful", "not_flat"), why(told)
        return
    for name, state in states(told).items():
        assert state in ((Ink.MARKED, Ink.DOUBTFUL) if name in marks else (Ink.BLANK, Ink.DOUBTFUL)), name
