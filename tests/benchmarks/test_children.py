"""The virtual children: their curves are curves, what is called true is what happens, runs repeat."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import numpy as np
import pytest

from benchmarks.children import patterns
from benchmarks.children.child import STEPS, TOP, logistic
from benchmarks.children.course import Setting, live
from benchmarks.children.family import Adult, Family, blurred, home_mark, probe_mark
from benchmarks.children.kinds import KINDS, Kind, make
from benchmarks.children.otherwise import MOOD_MOVES, resting_share
from benchmarks.children.rules import Counting, Oracle
from benchmarks.children.showing import SHOWS
from bylittle.core.advice import PatternKind
from bylittle.core.advice.patterns import PROPOSALS
from bylittle.core.practice.marks import Source, Status

named = pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)


@named
def test_more_help_never_lowers_the_true_chance(kind: Kind) -> None:
    child, _ = make(kind, 3, 0)
    for day in range(20):
        child.wake(day)
        for step in range(STEPS):
            child.practise(step, 3, 5)
            curve = child.typical(step)
            assert curve[0] == 1.0
            assert all(a >= b - 1e-12 for a, b in pairwise(curve))
            assert 0 <= curve[-1] <= curve[1] <= 1


@named
def test_the_true_chance_is_the_average_over_days_and_turns(kind: Kind) -> None:
    """Many unpractised days: the chance of each very turn against the typical chance."""
    typical, each_turn = [], []
    for number in range(100):
        child, _ = make(kind, 11, number)
        for day in range(12):
            child.wake(day)
            typical.append(child.typical_at(0, 3))
            each_turn.append([child.today_at(0, 3, turn) for turn in range(4)])
    assert np.mean(each_turn) == pytest.approx(np.mean(typical), abs=0.018)


@named
def test_attempts_come_out_as_often_as_today_says(kind: Kind) -> None:
    luck = np.random.default_rng(5)
    child, _ = make(kind, 11, 1)
    child.wake(0)
    reached = np.array([child.attempt(1, 2, 1, float(luck.random())) for _ in range(4000)])
    for level in range(TOP + 1):
        assert np.mean(reached >= level) == pytest.approx(child.today_at(1, level, 1), abs=0.03)


@named
def test_practice_at_a_just_right_level_brings_every_kind_on(kind: Kind) -> None:
    before, after = [], []
    for number in range(8):
        child, _ = make(kind, 4, number)
        child.wake(0)
        before.append(child.alone(0))
        for _ in range(150):
            curve = child.typical(0)
            child.practise(0, min(range(1, 6), key=lambda lv: abs(curve[lv] - 0.8)), 5)
        after.append(child.alone(0))
    assert np.mean(after) > np.mean(before) + 0.3


def test_the_same_seed_gives_the_same_course_and_another_seed_another() -> None:
    kind = KINDS[0]
    first, again, other = (live(kind, seed, 2, Counting, Setting(weeks=4)) for seed in (8, 8, 9))
    assert first.goes == again.goes
    assert first.log == again.log
    assert first.goes != other.goes


def test_an_eager_adult_writes_more_than_there_was_and_the_recorded_chance_says_so() -> None:
    eager = Adult("D", 0.45, 0.02, 1.0)
    family = Family((eager,))
    curve = [1.0, 0.9, 0.8, 0.6, 0.4, 0.1]
    rng = np.random.default_rng(2)
    written = []
    for _ in range(20_000):
        luck = rng.random()
        reach = max(level for level in range(6) if luck < curve[level])
        written.append(home_mark(family, eager, 0, 5, reach, TOP, float(rng.random())).lo == 5)
    assert family.recorded(curve, 5) == pytest.approx(0.53 * 0.1 + 0.45 * 0.4)
    assert np.mean(written) == pytest.approx(family.recorded(curve, 5), abs=0.01)


def test_a_slip_moves_the_recorded_chance_towards_its_neighbours() -> None:
    curve = [1.0, 0.9, 0.5]
    assert blurred(curve, 0, 0.04, 0.04) == 1.0
    assert blurred(curve, 1, 0.04, 0.04) == pytest.approx(0.92 * 0.9 + 0.04 * 1.0 + 0.04 * 0.5)
    assert blurred(curve, 2, 0.04, 0.04) == pytest.approx(0.92 * 0.5 + 0.04 * 0.9)


def test_marks_follow_the_rules_of_a_fixed_offer() -> None:
    sure = Adult("M", 0.0, 0.0, 1.0)
    with_level, without = Family((sure,), True), Family((sure,), False)
    managed = home_mark(with_level, sure, 1, 3, 4, TOP, 0.9)
    missed, plain = (home_mark(f, sure, 1, 3, 2, TOP, 0.9) for f in (with_level, without))
    assert (managed.lo, managed.hi) == (3, TOP)
    assert (missed.lo, missed.hi) == (2, 2)
    assert (plain.lo, plain.hi) == (0, 2)


def test_a_probe_is_one_go_alone() -> None:
    rng = np.random.default_rng(1)
    marks = [probe_mark(0, 2, TOP, rng, Source.PROBE) for _ in range(500)]
    assert {(m.offered, m.source, m.status) for m in marks} == {(TOP, Source.PROBE, Status.DONE)}
    assert Counter((m.lo, m.hi) for m in marks) == {(0, TOP - 1): 500}


def test_moods_rest_where_the_chain_leaves_them() -> None:
    shares = np.array(resting_share(MOOD_MOVES))
    assert shares.sum() == pytest.approx(1)
    assert shares @ MOOD_MOVES == pytest.approx(shares)


def test_sparse_writing_keeps_only_the_first_turn_of_a_day() -> None:
    course = live(KINDS[0], 1, 0, Counting, Setting(weeks=3, written="first"))
    home = [day for day, marks in course.log if marks[0].source is Source.HOME]
    assert len(home) == len(set(home))
    assert course.turns > 3 * len(home)


def test_a_child_asked_nothing_does_not_learn_and_logs_no_goes() -> None:
    class Nothing(Oracle):
        def plan(self, day: int):  # type: ignore[no-untyped-def]
            return type(super().plan(day))(lambda turn: [None] * STEPS)

    course = live(KINDS[0], 1, 0, Nothing, Setting(weeks=3))
    assert course.goes == []
    assert course.turns > 0


def test_counting_fades_after_three_and_helps_after_two_misses() -> None:
    child, family = make(KINDS[0], 1, 0)
    rule = Counting(child)
    sure = Adult("M", 0.0, 0.0, 1.0)

    def turn(reach: int) -> int:
        level = rule.plan(0).turn(0)[0]
        assert level is not None
        rule.record(0, [home_mark(family, sure, 0, level, reach, TOP, 0.9)])
        now = rule.plan(0).turn(0)[0]
        assert now is not None
        return now

    assert [turn(5) for _ in range(6)] == [1, 1, 2, 2, 2, 3]
    assert [turn(0) for _ in range(4)] == [3, 2, 2, 1]


def test_counting_calls_after_three_good_days_alone_running() -> None:
    child, family = make(KINDS[0], 1, 0)
    rule = Counting(child, days=3)
    rule.level[0] = TOP
    sure = Adult("M", 0.0, 0.0, 1.0)
    called = []
    for day, reaches in enumerate([(5, 5, 5, 5, 0), (5, 0), (5, 5), (5, 5, 5), (5, 5)]):
        rule.level[0] = TOP
        for reach in reaches:
            rule.record(day, [home_mark(family, sure, 0, TOP, reach, TOP, 0.9)])
        called.append(rule.called(day)[0])
    assert called == [False, False, False, False, True]


def test_every_pattern_of_the_advice_has_children_built_to_show_it() -> None:
    assert set(SHOWS) == {str(kind) for kind in PatternKind if kind not in PROPOSALS}


def test_patterns_can_be_asked_for_by_name(capsys: pytest.CaptureFixture[str]) -> None:
    assert patterns.main(["belong", "--children", "1", "--processes", "1"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line[:30].strip() for line in lines[3:]] == ["steps belong together"]


def test_showing_less_than_pointing_is_what_a_level_out_of_place_means() -> None:
    kind = SHOWS["help level out of place"]
    child, _ = make(kind, 2, 0)
    luck = np.random.default_rng(3)
    shares = [
        np.mean([child.attempt(0, lv, 0, float(luck.random())) >= lv for _ in range(4000)]) for lv in (2, 3)
    ]
    child_says = [child.today_at(0, level, 0) for level in (2, 3)]
    assert shares == pytest.approx(child_says, abs=0.03)
    assert shares[1] > shares[0]


def test_logistic_is_safe_at_both_ends() -> None:
    assert logistic(-1000) == 0.0
    assert logistic(1000) == 1.0
    assert logistic(float("inf")) == 1.0
    assert logistic(0) == 0.5
