"""What a family may do by itself between two looks: one rule a step, never beyond the ladder."""

from __future__ import annotations

import pytest

from bylittle.core.advice import IfThen, SkillTracker
from bylittle.core.advice.challenge import Challenge
from bylittle.core.advice.if_then import rules_for
from bylittle.core.practice.marks import Mark, Status
from bylittle.library.readability import counts, flesch_kincaid_grade
from bylittle.library.wording.advice import Names, if_then

TOP = 5


def test_a_rule_stays_on_the_ladder_and_leaves_out_what_is_not_taught() -> None:
    rules = rules_for(Challenge((0, 3, TOP, TOP, None), (1.0, 0.8, 0.8, 0.97, None), (0, 1, 2)), TOP)
    assert [(rule.step, rule.less, rule.more) for rule in rules] == [(0, 1, None), (1, 4, 2), (2, None, 4)]


def test_advice_brings_a_rule_for_each_step_it_teaches() -> None:
    tracker = SkillTracker(3)
    for day in range(5):
        tracker.record(day, [Mark(step, 3, Status.DONE, 3, TOP) for step in range(3)])
    advice = tracker.advise()
    assert {rule.step: rule.level for rule in advice.rules} == {
        step: level for step, level in enumerate(advice.levels) if level is not None
    }
    assert SkillTracker.from_text(tracker.to_text()).advise().rules == advice.rules


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("rule", [IfThen(0, 3, 4, 2), IfThen(0, 0, 1, None), IfThen(0, 5, None, 4)])
def test_the_family_reads_it_in_plain_words(rule: IfThen, language: str) -> None:
    told = if_then(rule, language, Names(("Pull up",)))
    assert "Pull up" in told
    assert str(rule.worked if rule.less else rule.missed) in told
    if language == "en":
        assert flesch_kincaid_grade(counts(told)) <= 5
