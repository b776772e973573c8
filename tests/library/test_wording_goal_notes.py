"""The goal in words: the sentence from its parts raises no question, and every question has words."""

from __future__ import annotations

import inspect
import re
from datetime import date

import pytest

from bylittle.core.faults import ManyFaults
from bylittle.core.plan import goal_checks
from bylittle.core.plan.goal import Goal
from bylittle.core.plan.goal_checks import GoalNote, statement_notes
from bylittle.library.wording.goal_notes import GoalParts, codes, question, questions, statement

PARTS = GoalParts("Juno", "puts on her own sun hat", "before she goes out", "alone", "on 4 of 5 days")


def test_the_parts_make_a_sentence_that_raises_no_question() -> None:
    told = statement(PARTS)
    assert told == "Juno puts on her own sun hat before she goes out, without help, on 4 of 5 days."
    assert statement_notes(Goal(told, by=date(2027, 1, 1)), "Juno") == ()


def test_help_is_named_where_the_child_is_not_to_be_alone() -> None:
    parts = GoalParts("Teo", "pushes the button through", "when he dresses", "words", "on 3 of 5 days")
    assert statement(parts) == "Teo pushes the button through when he dresses, with words, on 3 of 5 days."


def test_empty_parts_are_told_together() -> None:
    with pytest.raises(ManyFaults) as told:
        statement(GoalParts("Juno", " ", "before she goes out", "", "on 4 of 5 days"))
    assert [fault.values["name"] for fault in told.value.faults] == ["does", "help"]


def test_every_note_of_the_core_has_words_and_no_words_stand_idle() -> None:
    raised = set(re.findall(r'GoalNote\(\s*"(\w+)"', inspect.getsource(goal_checks)))
    raised |= {"help_missing", "how_often_missing", "routine_missing"}
    assert raised == set(codes())


def test_a_level_is_named_with_its_sign() -> None:
    assert "level +2" in question(GoalNote("level_empty", 2)).casefold()
    assert "level 0 " in question(GoalNote("level_empty", 0)).casefold()
    assert questions([]) == []
