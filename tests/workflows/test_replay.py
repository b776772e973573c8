"""Steps split, put together or reworded on the way: what was learned goes on with the new ones."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from bylittle.core.practice.log import Entry, PracticeLog
from bylittle.core.practice.marks import Outcome
from bylittle.core.skill.steps import SkillVersion, Step
from bylittle.workflows.advise_log import AdviceSetting, AdvisedLog, advise_log
from bylittle.workflows.belief import belief_over_time
from bylittle.workflows.replay import StepChange

START, TOP = date(2026, 3, 2), 5


def version(*ids: str) -> SkillVersion:
    return SkillVersion(1, "Pull on a rain boot", tuple(Step(each, each.capitalize(), each) for each in ids))


def practised(step: str, alone: bool, first: int = 0, days: int = 12) -> list[Entry]:
    outcome = Outcome.MANAGED if alone else Outcome.NOT_MANAGED
    return [
        Entry(START + timedelta(days=first + day), turn, step, outcome, adult="M", offered=TOP)
        for day in range(days)
        for turn in (1, 2, 3)
    ]


def advised(entries: list[Entry], setting: AdviceSetting) -> AdvisedLog:
    return advise_log(PracticeLog.of(sorted(entries, key=lambda each: (each.day, each.turn))), setting, None)


def alone(found: AdvisedLog, step: str) -> float:
    return next(each.chances[TOP].mean for each in found.steps if each.step_id == step)


OLD = practised("open", True) + practised("pull", False)
BEFORE = ("open", "pull")


def after(*ids: str, **origins: tuple[str, ...]) -> AdviceSetting:
    return AdviceSetting(version(*ids), changes=(StepChange(BEFORE, origins),))


@pytest.fixture(scope="module")
def old() -> AdvisedLog:
    return advised(OLD, AdviceSetting(version(*BEFORE)))


def test_without_word_of_where_they_come_from_new_steps_start_fresh(old: AdvisedLog) -> None:
    found = advised(OLD, AdviceSetting(version("unzip", "hold open", "pull")))
    assert found.passed_over == len(practised("open", True))
    assert alone(found, "unzip") < alone(old, "open") - 0.3


def test_the_halves_of_a_split_step_know_what_it_knew_with_more_doubt(old: AdvisedLog) -> None:
    setting = after("unzip", "hold", "pull", unzip=("open",), hold=("open",))
    found = advised(OLD, setting)
    assert alone(found, "unzip") == pytest.approx(alone(found, "hold"))
    assert alone(found, "unzip") == pytest.approx(alone(old, "open"), abs=0.1)
    assert alone(found, "pull") == pytest.approx(alone(old, "pull"), abs=0.05)
    assert found.passed_over == 0
    whole, half = old.steps[0].chances[TOP], found.steps[0].chances[TOP]
    assert half.high - half.low > whole.high - whole.low


def test_a_step_that_keeps_its_name_may_give_off_a_half(old: AdvisedLog) -> None:
    found = advised(OLD, after("open", "hold", "pull", hold=("open",)))
    assert alone(found, "hold") == pytest.approx(alone(found, "open"), abs=0.1)
    assert alone(found, "hold") == pytest.approx(alone(old, "open"), abs=0.1)


def test_steps_put_together_are_as_hard_as_the_harder(old: AdvisedLog) -> None:
    found = advised(OLD, after("all", all=BEFORE))
    assert alone(found, "all") <= alone(old, "pull") + 0.03


def test_the_first_mark_of_a_new_step_brings_the_change_and_teaches_it() -> None:
    setting = after("all", all=BEFORE)
    quiet = advised(OLD, setting)
    found = advised(OLD + practised("all", True, first=13), setting)
    assert alone(found, "all") > alone(quiet, "all") + 0.2
    assert found.marks == len(OLD) + 36
    late = advised(
        OLD + practised("all", True, first=13) + practised("pull", False, first=26, days=2), setting
    )
    assert late.passed_over == 6


def test_what_is_asked_after_a_change_rests_on_marks_since_then() -> None:
    assert advised(OLD, after("all", all=BEFORE)).why[0].code == "few_marks"


def test_two_changes_follow_each_other() -> None:
    first = StepChange(BEFORE, {"unzip": ("open",), "hold": ("open",)})
    second = StepChange(("unzip", "hold", "pull"), {"all": ("unzip", "hold", "pull")})
    setting = AdviceSetting(version("all"), changes=(first, second))
    middle = practised("hold", True, first=13, days=3)
    found = advised(OLD + middle + practised("all", True, first=17, days=3), setting)
    assert (found.passed_over, len(found.steps)) == (0, 1)


def test_belief_over_time_begins_with_the_step() -> None:
    setting = after("unzip", "pull", unzip=("open",))
    log = PracticeLog.of(
        sorted(OLD + practised("unzip", True, first=13, days=3), key=lambda each: (each.day, each.turn))
    )
    told = belief_over_time(log, setting, ["unzip", "pull"], 40)
    assert [day for day, _ in told["unzip"]] == [START + timedelta(days=13 + day) for day in range(3)]
    assert len(told["pull"]) == 15


def test_a_changed_skill_is_not_advised_as_if_nothing_had_changed() -> None:
    setting = after("unzip", "pull", unzip=("open",))
    assert advised(OLD, replace(setting, changes=())).passed_over > 0
