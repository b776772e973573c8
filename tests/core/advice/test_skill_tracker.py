"""The tracker's door and the laws that hold whatever a family writes down."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.core.advice import Decision, SkillTracker
from bylittle.core.faults import BadValue, Contradiction, Fault, ManyFaults

TOP = 5
SILENT = ("adult", "refused", "missing")


@dataclass(frozen=True)
class Given:
    step: int
    offered: int
    status: str
    lo: int
    hi: int
    ladder: bool = False
    source: str = "family"


def managed(step: int, level: int, source: str = "family") -> Given:
    return Given(step, level, "done", level, TOP, source=source)


def missed(step: int, level: int, source: str = "family") -> Given:
    return Given(step, level, "done", 0, level - 1, source=source)


@st.composite
def done_marks(draw: st.DrawFn, n_steps: int = 3) -> tuple[Given, ...]:
    kinds = st.tuples(st.integers(1, TOP), st.booleans(), st.sampled_from(["family", "paper", "probe"]))
    made = []
    for step in range(n_steps):
        level, good, source = draw(kinds)
        made.append(managed(step, level, source) if good else missed(step, level, source))
    return tuple(made)


@st.composite
def logs(draw: st.DrawFn) -> list[tuple[int, tuple[Given, ...]]]:
    gaps = draw(st.lists(st.integers(0, 9), min_size=1, max_size=8))
    return [(int(day), draw(done_marks())) for day in np.cumsum(gaps)]


def tracked(log: list[tuple[int, tuple[Given, ...]]], **options: object) -> SkillTracker:
    tracker = SkillTracker(3, **options)
    for day, marks in log:
        tracker.record(day, marks)
    return tracker


def answers(tracker: SkillTracker, day: int | None = None) -> list[tuple[float, float, float]]:
    return [tuple(tracker.chance(step, level, day)) for step in range(3) for level in range(TOP + 1)]


@settings(max_examples=25, deadline=None)
@given(logs())
def test_more_help_never_lowers_the_chance_and_intervals_hold_their_mean(log) -> None:
    tracker = tracked(log)
    for step in range(3):
        chances = [tracker.chance(step, level) for level in range(TOP + 1)]
        assert chances[0].mean == pytest.approx(1.0)
        assert all(more.mean >= less.mean - 1e-12 for more, less in pairwise(chances))
        assert all(0 <= each.low <= each.mean <= each.high <= 1 + 1e-12 for each in chances)


@settings(max_examples=15, deadline=None)
@given(logs(), st.randoms(use_true_random=False))
def test_order_of_marks_in_a_turn_does_not_matter(log, chance) -> None:
    mixed = [(day, tuple(chance.sample(marks, len(marks)))) for day, marks in log]
    assert answers(tracked(log)) == answers(tracked(mixed))
    assert tracked(log).advise() == tracked(mixed).advise()


@settings(max_examples=15, deadline=None)
@given(logs())
def test_asking_changes_nothing_and_repeats_itself(log) -> None:
    quiet, asked = SkillTracker(3), SkillTracker(3)
    for day, marks in log:
        quiet.record(day, marks)
        asked.record(day, marks)
        first = asked.advise(day + 1)
        asked.chance(0, TOP, day + 40)
        asked.count_pmf(1, 2, 5)
        assert asked.advise(day + 1) == first
    assert answers(quiet) == answers(asked)


@settings(max_examples=15, deadline=None)
@given(logs(), st.sampled_from(["day", "week"]))
def test_saved_and_reloaded_answers_alike_and_goes_on_alike(log, every) -> None:
    tracker = tracked(log, advice_every=every)
    again = SkillTracker.from_text(tracker.to_text())
    assert answers(again) == answers(tracker)
    assert again.advise() == tracker.advise()
    day = log[-1][0] + 1
    for each in (tracker, again):
        each.record(day, [managed(0, TOP)])
    assert answers(again) == answers(tracker)
    assert again.advise(day + 1) == tracker.advise(day + 1)


@settings(max_examples=15, deadline=None)
@given(logs(), st.sampled_from(SILENT), st.integers(0, 2))
def test_silent_marks_never_lower_skill(log, status, step) -> None:
    day = log[-1][0]
    plain, silent = tracked(log), tracked(log)
    silent.record(day, [Given(step, -1, status, -1, TOP)])
    assert answers(silent) == answers(plain)


@settings(max_examples=15, deadline=None)
@given(logs())
def test_a_success_raises_and_a_miss_lowers(log) -> None:
    day = log[-1][0] + 1
    up, down = tracked(log), tracked(log)
    up.record(day, [managed(0, 4)])
    down.record(day, [missed(0, 4)])
    for level in range(1, TOP + 1):
        assert up.chance(0, level, day).mean > down.chance(0, level, day).mean


@settings(max_examples=15, deadline=None)
@given(logs(), st.integers(0, 12), st.integers(1, TOP))
def test_counts_are_a_distribution(log, n, level) -> None:
    pmf = tracked(log).count_pmf(1, level, n)
    assert len(pmf) == n + 1
    assert pmf.sum() == pytest.approx(1.0)
    assert (pmf >= 0).all()


def test_counts_agree_with_the_chance_when_marks_are_clean() -> None:
    tracker = tracked([(day, (managed(0, 3), missed(1, 4))) for day in range(5)])
    pmf = tracker.count_pmf(0, 4, 1)
    assert pmf[1] == pytest.approx(tracker.chance(0, 4).mean, abs=0.05)


def test_practice_alone_day_after_day_is_called_and_little_is_not() -> None:
    log = [(day, tuple(managed(step, TOP) for step in range(3))) for day in range(12) for _ in range(4)]
    assert tracked(log).mastered(12) == [True] * 3
    assert tracked(log[:4]).mastered(1) == [False] * 3
    assert tracked(log).advise(12).decision is Decision.DONE


def test_steady_misses_ask_for_a_step_back() -> None:
    log = [(day, (missed(0, 4), missed(1, 4), missed(2, 4))) for day in range(6) for _ in range(3)]
    advice = tracked(log).advise(6)
    assert advice.decision is Decision.STEP_BACK
    assert advice.why[0].values["managed"] == 0
    assert all(level is None or level < 4 for level in advice.levels)


def test_nothing_logged_asks_for_data_and_still_offers_a_start() -> None:
    advice = SkillTracker(4, goal="backward").advise(0)
    assert advice.decision is Decision.MORE_DATA
    assert advice.levels[:3] == (None, None, None)
    assert advice.levels[3] is not None


@pytest.mark.parametrize(("goal", "asked"), [("backward", 4), ("forward", 0)])
def test_chaining_starts_at_its_end(goal: str, asked: int) -> None:
    levels = SkillTracker(5, goal=goal).advise(0).levels
    assert [step for step, level in enumerate(levels) if level is not None] == [asked]


def test_whole_task_asks_at_most_three_new_steps() -> None:
    levels = SkillTracker(8).advise(0).levels
    assert sum(level is not None for level in levels) == 3


def test_a_whole_task_takes_up_another_step_once_one_was_seen_alone_now_and_then() -> None:
    tracker = SkillTracker(8)
    for day in range(4):
        tracker.record(day, [managed(0, TOP) if day % 2 else missed(0, TOP)])
    levels = tracker.advise(4).levels
    assert levels[0] is not None
    assert sum(level is not None for level in levels) == 4


def test_weekly_advice_stands_for_its_week() -> None:
    tracker = SkillTracker(2, advice_every="week")
    first = tracker.advise(0)
    for day in range(7):
        assert tracker.advise(day).levels == first.levels
        for _ in range(4):
            tracker.record(day, [managed(0, TOP), managed(1, TOP)])
    assert tracker.advise(6).levels == first.levels
    assert tracker.advise(7).levels != first.levels


def test_a_week_begins_with_practice_and_rests_on_the_baseline_before_it() -> None:
    tracker = SkillTracker(2, advice_every="week")
    unseen = tracker.advise(0).levels
    for day in range(3):
        tracker.record(day, [managed(0, TOP, "baseline"), managed(1, TOP, "baseline")])
    rested = tracker.advise(3).levels
    assert rested != unseen
    for day in range(3, 10):
        tracker.record(day, [missed(0, TOP), missed(1, TOP)])
        assert tracker.advise(day).levels == rested
    assert tracker.advise(10).levels != rested


def good() -> dict[str, object]:
    return {"step": 0, "offered": 3, "status": "done", "lo": 3, "hi": TOP, "ladder": False}


@pytest.mark.parametrize(
    "wrong",
    [
        {"step": 3},
        {"step": -1},
        {"step": "1"},
        {"offered": 6},
        {"lo": 4, "hi": 2},
        {"hi": 6},
        {"lo": 1.5},
        {"lo": float("nan")},
        {"status": "splendid"},
        {"source": "neighbour"},
    ],
)
def test_bad_marks_are_refused_and_leave_no_trace(wrong) -> None:
    tracker = tracked([(0, (managed(0, 3),))])
    before = answers(tracker)
    with pytest.raises(BadValue):
        tracker.record(1, [good() | wrong])
    assert answers(tracker) == before


def test_all_faults_of_a_turn_are_told_together() -> None:
    with pytest.raises(ManyFaults) as caught:
        SkillTracker(3).record(0, [good() | {"step": 7}, good() | {"lo": 9}])
    assert len(caught.value.faults) == 2


def test_two_marks_of_one_step_that_differ_are_a_contradiction() -> None:
    with pytest.raises(Contradiction):
        SkillTracker(3).record(0, [good(), good() | {"lo": 0, "hi": 2}])


def test_the_same_mark_twice_counts_once() -> None:
    once, twice = SkillTracker(3), SkillTracker(3)
    once.record(0, [good()])
    twice.record(0, [good(), good()])
    assert answers(once) == answers(twice)


@pytest.mark.parametrize("day", [-1, 2.5, "3", None, True])
def test_days_never_go_back_and_are_whole(day) -> None:
    tracker = tracked([(4, (managed(0, 3),))])
    with pytest.raises(Fault):
        tracker.record(day, [good()])
    with pytest.raises(BadValue):
        tracker.chance(0, 1, 3)


@pytest.mark.parametrize(
    "options",
    [
        {"n_steps": 0},
        {"n_steps": 21},
        {"n_levels": 1},
        {"n_levels": 9},
        {"goal": "sideways"},
        {"band": (0.9, 0.7)},
        {"max_new_steps": 0},
        {"advice_every": "hour"},
        {"mastery": (1.2, 0.9, 3)},
    ],
)
def test_impossible_frames_are_refused(options) -> None:
    with pytest.raises(BadValue):
        SkillTracker(**({"n_steps": 3} | options))


@pytest.mark.parametrize("n_levels", range(2, 9))
def test_any_ladder_of_two_to_eight_levels_works(n_levels: int) -> None:
    tracker = SkillTracker(20, n_levels=n_levels)
    top = n_levels - 1
    for day in range(3):
        tracker.record(day, [{**good(), "step": k, "offered": top, "lo": top, "hi": top} for k in range(20)])
    assert tracker.chance(19, top).mean > SkillTracker(20, n_levels=n_levels).chance(19, top).mean


def test_a_two_year_gap_widens_and_does_not_raise() -> None:
    tracker = tracked([(day, (managed(0, 4),)) for day in range(10)])
    soon, late = tracker.chance(0, 4, 10), tracker.chance(0, 4, 10 + 730)
    assert late.mean < soon.mean
    assert late.high - late.low > soon.high - soon.low


def test_ten_thousand_turns_stay_finite_and_sure() -> None:
    tracker = SkillTracker(1)
    for turn in range(10_000):
        tracker.record(turn // 500, [good() | {"offered": TOP, "lo": TOP}])
    chance = tracker.chance(0, TOP)
    assert 0.9 < chance.low <= chance.mean <= 1.0
