"""From ink to practice: who practised is told by the day, and nothing unclear is guessed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from bylittle.core.sheet import geometry
from bylittle.core.sheet.identity import SheetId
from bylittle.core.sheet.ink import BubbleInk, Ink, PageInk
from bylittle.core.sheet.shape import A4, Shape
from bylittle.workflows.read_sheet import (
    NOT_KNOWN,
    Answers,
    days_of,
    entries_of,
    kept_ink,
    open_days,
    page_of,
    ticked,
)
from tests.printed_plans import ONE

START = date(2026, 11, 30)
SHEET = SheetId(Shape(A4, 7, 4, 1, 6, 2), 0x7F3A9C, 3, start=START)
PLAN = replace(ONE, adults=("M", "D"))
PRINTED = ("M", "D")


def page(**states: Ink) -> PageInk:
    """The page with some bubbles marked or doubtful; dots in their ids written as two lines."""
    told = {name.replace("__", "."): state for name, state in states.items()}
    bubbles = geometry.page(SHEET.shape, 1).bubbles
    return PageInk(SHEET, tuple(BubbleInk(each, told.get(each.id, Ink.BLANK), 0.5) for each in bubbles))


def test_one_clear_tick_says_who_practised() -> None:
    read = page(d1__who2=Ink.MARKED, d1t1__3=Ink.MARKED)
    assert open_days(read, PRINTED, PLAN, Answers({})) == ()
    (entry,) = entries_of(read, PRINTED, PLAN, Answers({})).values()
    assert (entry.day, entry.adult, entry.needed) == (START, "D", 3)


@pytest.mark.parametrize(
    "ticks",
    [
        {},
        {"d2__who1": Ink.DOUBTFUL},
        {"d2__who1": Ink.MARKED, "d2__who2": Ink.MARKED},
        {"d2__who1": Ink.MARKED, "d2__who2": Ink.DOUBTFUL},
    ],
    ids=["nobody", "doubtful", "two", "one and a doubtful one"],
)
def test_a_day_that_does_not_say_it_is_asked_about_alone(ticks: dict[str, Ink]) -> None:
    read = page(d1__who1=Ink.MARKED, d1t1__3=Ink.MARKED, d2t1__3=Ink.MARKED, **ticks)
    assert open_days(read, PRINTED, PLAN, Answers({})) == (2,)
    assert open_days(read, PRINTED, PLAN, Answers({}, adults={2: "D"})) == ()
    told = entries_of(read, PRINTED, PLAN, Answers({}, adults={2: "D"}))
    assert [entry.adult for entry in told.values()] == ["M", "D"]


def test_a_doubtful_tick_on_a_day_without_marks_is_not_asked_about() -> None:
    assert open_days(page(d3__who1=Ink.DOUBTFUL), PRINTED, PLAN, Answers({})) == ()


def test_a_name_that_the_plan_does_not_know_is_nobody() -> None:
    read = page(d1__who1=Ink.MARKED, d1t1__3=Ink.MARKED)
    assert ticked(read, ("Jo", "D"), PLAN.adults) == {}
    assert open_days(read, ("Jo", "D"), PLAN, Answers({})) == (1,)


def test_nobody_known_is_an_answer() -> None:
    (entry,) = entries_of(
        page(d1t1__3=Ink.MARKED), PRINTED, PLAN, Answers({}, adults={1: NOT_KNOWN})
    ).values()
    assert entry.adult == ""


def test_a_clear_row_said_otherwise_counts_as_said() -> None:
    read = page(d1__who1=Ink.MARKED, d1t1__3=Ink.MARKED)
    (entry,) = entries_of(read, PRINTED, PLAN, Answers({"d1t1": "d1t1.5"})).values()
    assert entry.needed == 5
    assert entries_of(read, PRINTED, PLAN, Answers({"d1t1": None})) == {}


def test_what_is_kept_of_a_page_gives_the_page_back() -> None:
    read = page(d1t1__3=Ink.MARKED, d2t1__stopped=Ink.DOUBTFUL)
    assert page_of(str(SHEET), kept_ink(read)) == read


def test_the_days_of_a_page() -> None:
    assert days_of(page(), START) == (START, date(2026, 12, 6))
