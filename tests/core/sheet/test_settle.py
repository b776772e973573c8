"""Rows say what was marked, say nothing where a person must choose, and two photographs are compared."""

from __future__ import annotations

from datetime import date

import pytest

from bylittle.core.faults import BadValue
from bylittle.core.sheet import geometry, settle
from bylittle.core.sheet.identity import SheetId
from bylittle.core.sheet.ink import BubbleInk, Ink, PageInk
from bylittle.core.sheet.settle import Entry, Fit
from bylittle.core.sheet.shape import A4, Shape

SHEET = SheetId(Shape(A4, 7, 4, 1, 6, 2), 0x7F3A9C, 3, start=date(2026, 11, 30))


def page(marked: tuple[str, ...] = (), doubtful: tuple[str, ...] = (), sheet: SheetId = SHEET) -> PageInk:
    def state(name: str) -> Ink:
        if name in doubtful:
            return Ink.DOUBTFUL
        return Ink.MARKED if name in marked else Ink.BLANK

    bubbles = geometry.page(sheet.shape, sheet.page).bubbles
    return PageInk(sheet, tuple(BubbleInk(bubble, state(bubble.id), 0.0) for bubble in bubbles))


def test_a_mark_becomes_its_day_turn_level_and_adult() -> None:
    found = settle.entries(page(("d2t3.4", "d2.who2")))
    assert found == (Entry("d2t3", 2, 3, 1, 4, (1,)),)


def test_stopped_is_no_level_and_blank_is_nothing() -> None:
    assert settle.entries(page(("d1t1.stopped",))) == (Entry("d1t1", 1, 1, 1, None),)
    assert settle.entries(page()) == ()


def test_two_adults_on_one_day_are_no_conflict() -> None:
    both = page(("d1.who1", "d1.who2", "d1t1.0"))
    assert both.conflicts == ()
    assert settle.entries(both)[0].adults == (0, 1)


def test_two_marks_or_a_doubt_say_nothing_until_settled() -> None:
    told = page(("d1t1.2", "d1t1.3", "d1t2.5"), doubtful=("d1t3.1",))
    assert told.conflicts == ("d1t1",)
    assert told.open_rows == ("d1t1", "d1t3")
    assert [entry.row for entry in settle.entries(told)] == ["d1t2"]
    chosen = {"d1t1": "d1t1.3", "d1t3": None}
    assert [(entry.row, entry.level) for entry in settle.entries(told, chosen)] == [("d1t1", 3), ("d1t2", 5)]


@pytest.mark.parametrize("answer", [{"d9t9": None}, {"d1t1": "d1t2.0"}])
def test_an_answer_for_a_bubble_that_is_not_there_is_told(answer: dict[str, str | None]) -> None:
    with pytest.raises(BadValue):
        settle.entries(page(), answer)


def test_what_got_in_the_way_is_told_apart_from_the_turns() -> None:
    told = page(("way2", "way5"))
    assert settle.ways(told) == (1, 4)
    assert settle.entries(told) == ()


def test_a_second_photograph_with_more_days_only_adds() -> None:
    first, second = page(("d1t1.2",)), page(("d1t1.2", "d2t1.3"))
    told = settle.difference(first, second)
    assert told.added == ("d2t1",)
    assert told.only_more
    assert settle.difference(first, first).same


def test_a_second_week_on_a_photocopy_changes_rows() -> None:
    told = settle.difference(page(("d1t1.2", "d1t2.2")), page(("d1t1.4",)))
    assert told.changed == ("d1t1",)
    assert told.gone == ("d1t2",)
    assert not told.only_more


def test_a_doubtful_row_is_neither_changed_nor_the_same() -> None:
    told = settle.difference(page(("d1t1.2",)), page(doubtful=("d1t1.2",)))
    assert told.same


def test_photographs_of_two_sheets_are_not_compared() -> None:
    other = SheetId(SHEET.shape, 0x111111, 3)
    with pytest.raises(BadValue):
        settle.difference(page(), page(sheet=other))


@pytest.mark.parametrize(
    ("plan", "version", "expected"),
    [
        ("7F3A9C", 3, Fit.THIS_PLAN),
        ("7F3A9C", 4, Fit.OLDER_VERSION),
        ("7F3A9C", 2, Fit.NEWER_VERSION),
        ("7F3A9D", 3, Fit.ANOTHER_PLAN),
    ],
)
def test_a_sheet_says_whether_it_is_of_this_plan(plan: str, version: int, expected: Fit) -> None:
    assert settle.fit(SHEET, plan, version) is expected
