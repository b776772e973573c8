"""Questions about a goal: what its statement does not say, and what keeps its levels from being a scale."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bylittle.core.plan.goal import Goal
from bylittle.core.plan.goal_checks import changing, level_notes, notes_of, numbers_of, statement_notes
from tests.child_records import demo_records

LEVELS = tuple(f"Juno puts on the sun hat alone on {n} of 7 days." for n in (1, 2, 3, 4, 5))
GOOD = Goal(
    "Juno puts on her sun hat before she goes out, without help, on 3 of 7 days.",
    LEVELS,  # type: ignore[arg-type]
    baseline_level=-2,
    by=date(2027, 2, 1),
)


def codes(goal: Goal, child: str = "Juno") -> list[str]:
    return [note.code for note in notes_of(goal, child)]


def scale(*numbers: float) -> Goal:
    return replace(GOOD, levels=tuple(f"She pulls it on alone on {n} of 7 days." for n in numbers))


def test_a_complete_goal_raises_no_question() -> None:
    assert codes(GOOD) == []


@pytest.mark.parametrize(
    ("statement", "code"),
    [
        ("", "goal_not_written"),
        ("The child puts on her hat at the door, alone, on 3 of 7 days.", "who_missing"),
        ("Juno puts on her hat at the door on 3 of 7 days.", "help_missing"),
        ("Juno puts on her hat alone at the door.", "how_often_missing"),
        ("Juno puts on her hat alone, 3 of 7 times.", "routine_missing"),
        ("Juno will improve at her hat, alone, at the door, on 3 of 7 days.", "word_vague"),
        ("Juno alone at home on 3 of 7 days " + "and puts it on " * 10, "too_long"),
    ],
)
def test_each_thing_that_a_statement_lacks_is_asked_for(statement: str, code: str) -> None:
    assert codes(replace(GOOD, statement=statement)) == [code]


def test_a_day_by_which_is_asked_for() -> None:
    assert codes(replace(GOOD, by=None)) == ["by_missing"]


@pytest.mark.parametrize(
    ("numbers", "code", "level"),
    [
        ((1, 2, 3, 4, 7), "gap_uneven", 2),
        ((1, 2, 2, 3, 4), "levels_equal", 0),
        ((1, 2, 4, 3, 5), "direction_turns", 1),
        ((4, 5, 6, 7, 8), "more_than_all", 2),
    ],
)
def test_numbers_that_make_no_scale_are_named_with_their_level(
    numbers: tuple[int, ...], code: str, level: int
) -> None:
    assert [(note.code, note.level) for note in level_notes(scale(*numbers))] == [(code, level)]


def test_a_falling_scale_is_a_scale_too() -> None:
    levels = tuple(f"She needs {n} reminders." for n in (9, 7, 5, 3, 1))
    assert codes(replace(GOOD, levels=levels)) == []


def test_two_numbers_that_change_are_asked_about() -> None:
    levels = tuple(
        f"She pulls it on with {h} reminders on {n} of 7 days." for h, n in zip("54321", "12345", strict=True)
    )
    assert codes(replace(GOOD, levels=levels)) == ["several_numbers_change"]


def test_an_empty_level_and_a_negative_one_are_named() -> None:
    assert [(n.code, n.level) for n in level_notes(replace(GOOD, levels=(*LEVELS[:4], " ")))] == [
        ("level_empty", 2)
    ]
    levels = ("Juno does not put on the sun hat on 1 of 7 days.", *LEVELS[1:])
    assert [(n.code, n.level) for n in level_notes(replace(GOOD, levels=levels))] == [("level_negative", -2)]


def test_a_level_about_another_thing_is_asked_about() -> None:
    levels = (*LEVELS[:4], "Smiling always.")
    assert [(n.code, n.level) for n in level_notes(replace(GOOD, levels=levels))] == [("another_thing", 2)]


@pytest.mark.parametrize(
    ("level", "code"), [(None, "baseline_level_missing"), (0, "already_there"), (2, "already_there")]
)
def test_the_level_now_leaves_room(level: int | None, code: str) -> None:
    assert codes(replace(GOOD, baseline_level=level)) == [code]


def test_no_levels_raise_no_question_about_levels() -> None:
    assert level_notes(Goal("x")) == ()


@given(first=st.integers(0, 50), gap=st.integers(1, 9))
def test_equal_steps_are_never_called_uneven(first: int, gap: int) -> None:
    levels = tuple(f"She pulls it on {first + gap * n} times." for n in range(5))
    assert level_notes(replace(GOOD, levels=levels)) == ()


@given(st.text(max_size=60))
def test_any_text_gets_an_answer(text: str) -> None:
    levels = (text, text + "1", text, text + " 2 of 1", text)
    assert all(note.code for note in notes_of(Goal(text, levels), "Juno"))


def test_numbers_are_read_in_digits_and_words() -> None:
    assert numbers_of("three of 7 days, 1.5 m, A4") == (3.0, 7.0, 1.5)
    assert changing(["1 of 7", "2 of 7"]) == (0,)
    assert changing(["1 of 7", "alone"]) is None


def test_of_the_demo_one_statement_lacks_its_routine() -> None:
    """Teo's says whose cardigan, on whom, how often, and not when in the day."""
    goals = {name: record.skills[0].goal for name, record in demo_records().items()}
    found = {name: [n.code for n in statement_notes(kept.goal, name)] for name, kept in goals.items() if kept}
    assert {name: told for name, told in found.items() if told} == {"Teo": ["routine_missing"]}
