"""From a log to chances, decision and next challenge: the workflow's own rules, not the engine's."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from bylittle.core.advice import SkillTracker
from bylittle.core.faults import BadValue
from bylittle.core.plan.home_plan import Chaining
from bylittle.core.practice.log import Change, ChangeKind, Entry, PracticeLog
from bylittle.core.practice.marks import Outcome, ProbeKind, Source
from bylittle.core.skill.ladder import DEFAULT_LADDER, Ladder
from bylittle.core.skill.steps import SkillVersion, Step
from bylittle.workflows.advise_log import (
    BASELINE_COUNTS_DAYS,
    AdviceSetting,
    advise_log,
    baseline_points,
    facts_of,
)

START = date(2026, 3, 2)
BOOT = SkillVersion(
    1,
    "Pull on a rain boot",
    (
        Step("open", "Open the boot", ""),
        Step("cut", "Cut off the label", "", adult_only=True),
        Step("pull", "Pull up", ""),
    ),
)
SETTING = AdviceSetting(BOOT, chaining=Chaining.BACKWARD)


def entry(day: int = 0, turn: int = 1, step: str = "pull", **changes: object) -> Entry:
    plain = Entry(START + timedelta(days=day), turn, step, Outcome.MANAGED, adult="M", offered=4)
    return replace(plain, **changes)  # type: ignore[arg-type]


def practice(days: int, **changes: object) -> list[Entry]:
    return [entry(day, turn, **changes) for day in range(days) for turn in (1, 2, 3)]


def baseline(*points: tuple[bool, bool], kind: ProbeKind = ProbeKind.MULTIPLE) -> list[Entry]:
    def outcome(alone: bool) -> Outcome:
        return Outcome.MANAGED if alone else Outcome.NOT_MANAGED

    return [
        entry(day - 10, 1, step, outcome=outcome(alone), source=Source.BASELINE, offered=5, probe=kind)
        for day, point in enumerate(points)
        for step, alone in zip(("open", "pull"), point, strict=True)
    ]


def test_the_answer_is_that_of_the_tracker_fed_turn_by_turn() -> None:
    entries = [*practice(5), entry(5, outcome=Outcome.NOT_MANAGED), entry(5, step="open", offered=3)]
    tracker = SkillTracker(2, 6, goal="backward")
    places = {"open": 0, "pull": 1}
    log = PracticeLog.of(entries)
    for day, rows in log.turns():
        tracker.record(day.toordinal(), [row.mark(places[row.step_id], 5) for row in rows])
    advised = advise_log(log, SETTING, None)
    on = (START + timedelta(days=6)).toordinal()
    assert advised.on.toordinal() == on
    assert advised.steps[2].chances == tuple(tracker.chance(1, level, on) for level in range(6))
    assert [step.mastered for step in advised.steps] == [
        tracker.mastered(on)[0],
        False,
        tracker.mastered(on)[1],
    ]


def test_a_step_that_an_adult_always_does_is_never_asked_and_has_no_chance() -> None:
    advised = advise_log(PracticeLog.of(practice(4)), SETTING, None)
    assert advised.steps[1].by_adult
    assert [step.by_adult for step in advised.steps] == [False, True, False]
    assert 2 not in {step.number for step in advised.proposed}


def test_steps_in_the_reason_are_counted_in_the_whole_chain() -> None:
    advised = advise_log(PracticeLog.of(practice(6)), SETTING, None)
    assert advised.why[0].values["step"] == 2
    assert advised.proposed[-1].number == 3


def test_a_skill_that_an_adult_does_alone_is_refused() -> None:
    nothing = SkillVersion(1, "x", (Step("cut", "Cut", "", adult_only=True),))
    with pytest.raises(BadValue) as caught:
        advise_log(PracticeLog(), AdviceSetting(nothing), START)
    assert caught.value.code == "no_step_to_learn"


def test_the_same_log_gives_the_same_answer_twice() -> None:
    log = PracticeLog.of(practice(4))
    assert advise_log(log, SETTING, None) == advise_log(log, SETTING, None)


def test_a_corrected_entry_counts_as_corrected() -> None:
    wrong = entry(3, outcome=Outcome.NOT_MANAGED)
    change = Change(wrong.identity, ChangeKind.CORRECTED, "ines", "read wrongly", entry(3))
    corrected = PracticeLog.of([*practice(3), wrong, change])
    right = PracticeLog.of([*practice(3), entry(3)])
    assert advise_log(corrected, SETTING, None) == advise_log(right, SETTING, None)


def test_entries_of_steps_that_are_gone_are_passed_over_and_counted() -> None:
    log = PracticeLog.of([*practice(3), entry(1, step="wiggle")])
    advised = advise_log(log, SETTING, None)
    assert advised.passed_over == 1
    assert advised.marks == 9
    plain = advise_log(PracticeLog.of(practice(3)), SETTING, None)
    assert advised.steps == plain.steps


def test_a_day_before_the_last_entry_is_refused() -> None:
    with pytest.raises(BadValue) as caught:
        advise_log(PracticeLog.of(practice(3)), SETTING, START)
    assert caught.value.code == "day_before_last_entry"


def test_an_empty_log_needs_a_day_and_then_asks_for_more_data() -> None:
    with pytest.raises(BadValue) as caught:
        advise_log(PracticeLog(), SETTING, None)
    assert caught.value.code == "day_missing"
    assert advise_log(PracticeLog(), SETTING, START).decision == "more data"


def test_nothing_is_asked_after_a_red_flag() -> None:
    setting = replace(SETTING, red_flags=("pain",))
    advised = advise_log(PracticeLog.of(practice(6)), setting, None)
    assert advised.decision == "refer"
    assert advised.asked == ()
    assert advised.proposed


def test_a_multiple_opportunity_probe_is_the_share_of_steps_done_alone() -> None:
    log = baseline((False, True), (True, True), (False, False))
    assert baseline_points(log, DEFAULT_LADDER) == (0.5, 1.0, 0.0)


def test_in_a_single_opportunity_probe_steps_not_reached_count_as_not_done() -> None:
    first, second = baseline((True, False), kind=ProbeKind.SINGLE)
    ended = [first, replace(second, outcome=Outcome.MISSING)]
    assert baseline_points(ended, DEFAULT_LADDER) == (0.5,)
    open_ended = [replace(row, probe=ProbeKind.MULTIPLE) for row in ended]
    assert baseline_points(open_ended, DEFAULT_LADDER) == (1.0,)


def test_a_stopped_probe_is_no_baseline_point() -> None:
    rows = [replace(row, outcome=Outcome.STOPPED) for row in baseline((True, True))]
    assert baseline_points(rows, DEFAULT_LADDER) == ()


def test_a_short_ladder_has_its_own_alone() -> None:
    ladder = Ladder(("light touch", "words", "alone"))
    row = entry(outcome=Outcome.MANAGED, source=Source.BASELINE, offered=2)
    assert baseline_points([row], ladder) == (1.0,)


@pytest.mark.parametrize(("wanted", "told"), [(False, None), (True, ())])
def test_without_baseline_rows_a_baseline_is_short_only_where_one_is_wanted(
    wanted: bool, told: tuple[float, ...] | None
) -> None:
    setting = replace(SETTING, baseline_wanted=wanted)
    assert facts_of(PracticeLog.of(practice(2)), setting, START + timedelta(days=2)).baseline == told


def test_the_baseline_is_judged_until_the_first_review() -> None:
    log = PracticeLog.of([*baseline((False, True)), *practice(2)])
    last = START + timedelta(days=BASELINE_COUNTS_DAYS)
    assert facts_of(log, SETTING, last).baseline == (0.5,)
    assert facts_of(log, SETTING, last + timedelta(days=1)).baseline is None


def test_a_later_plan_does_not_ask_about_the_baseline_again() -> None:
    log = PracticeLog.of([*baseline((False, True)), *practice(30)])
    later = replace(SETTING, plan_since=START + timedelta(days=25))
    assert facts_of(log, later, START + timedelta(days=30)).baseline is None


def test_the_plan_begins_with_the_first_practice_where_nobody_says_when() -> None:
    log = PracticeLog.of([*baseline((False, True)), *practice(2)])
    assert facts_of(log, SETTING, START).plan_since == START.toordinal()
    told = replace(SETTING, plan_since=date(2026, 3, 3))
    assert facts_of(log, told, START).plan_since == date(2026, 3, 3).toordinal()
