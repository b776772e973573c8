"""Standardised differences, log ratios and percent of goal: laws and refusals."""

from __future__ import annotations

import math
from dataclasses import astuple

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bylittle.core.faults import BadValue, NotEnoughData, Undefined
from bylittle.core.stats import ratios

# No time limit for one example: the machine may be busy.
quick = settings(max_examples=40, deadline=None)

phase = st.lists(st.integers(0, 20).map(float), min_size=3, max_size=8)
share = st.lists(st.integers(1, 9).map(lambda tenth: tenth / 10), min_size=2, max_size=8)
A, B = [3.0, 4.0, 2.0, 5.0], [6.0, 5.0, 7.0, 8.0]


def varied(values: list[float]) -> bool:
    return len(set(values)) > 1


@quick
@given(phase, phase, st.sampled_from(["baseline", "pooled"]))
def test_smd_ignores_units_and_turns_with_direction(a: list[float], b: list[float], sd: str) -> None:
    assume(varied(a))
    found = ratios.smd(a, b, sd=sd)
    moved = ratios.smd([3 * x - 7 for x in a], [3 * x - 7 for x in b], sd=sd)
    assert astuple(moved) == pytest.approx(astuple(found))
    fall = ratios.smd(a, b, "decrease", sd=sd)
    assert (fall.estimate, fall.se) == pytest.approx((-found.estimate, found.se))
    assert found.low <= found.estimate <= found.high


def test_smd_without_the_correction_is_the_textbook_d() -> None:
    """Cohen's d by hand: means 3.5 and 6.5, both variances 5/3; J = 1 - 3/(4*8 - 9)."""
    assert ratios.smd(A, B, sd="pooled").estimate == pytest.approx((1 - 3 / 23) * 3 / math.sqrt(5 / 3))
    assert ratios.smd(A, B).estimate == pytest.approx((1 - 3 / 11) * 3 / math.sqrt(5 / 3))


def test_smd_refuses_a_yardstick_of_nothing() -> None:
    for flat in ([2.0, 2.0, 2.0], [0.1, 0.1, 0.1], [0.0, 0.0, 0.0]):
        with pytest.raises(Undefined):
            ratios.smd(flat, B)
        with pytest.raises(Undefined):
            ratios.smd(flat, flat, sd="pooled")
    with pytest.raises(NotEnoughData) as caught:
        ratios.smd([1.0, 2.0], B)
    assert (caught.value.n, caught.value.needed) == (2, 3)
    with pytest.raises(BadValue):
        ratios.smd(A, B, sd="teaching")


@quick
@given(phase, phase)
def test_count_ratios_mirror(a: list[float], b: list[float]) -> None:
    rise = ratios.lrr(a, b)
    assert ratios.lrr(a, b, "decrease").estimate == pytest.approx(-rise.estimate)
    assert ratios.lrr(a, b, "increase", "decreasing").estimate == pytest.approx(-rise.estimate)
    assert ratios.lrr(a, b, "decrease", "decreasing").estimate == pytest.approx(rise.estimate)
    assert ratios.lrr(b, a).estimate == pytest.approx(-rise.estimate)
    assert rise.low <= rise.estimate <= rise.high


@quick
@given(share, share)
def test_percent_and_proportion_are_one_measure(a: list[float], b: list[float]) -> None:
    for better in ("increase", "decrease"):
        for kind in ("increasing", "decreasing"):
            small = ratios.lrr(a, b, better, kind, "proportion")
            large = ratios.lrr([100 * x for x in a], [100 * x for x in b], better, kind, "percentage")
            assert astuple(large) == pytest.approx(astuple(small))


@quick
@given(share, share)
def test_a_fall_of_problems_is_a_rise_of_the_rest(a: list[float], b: list[float]) -> None:
    fall = ratios.lrr(a, b, "decrease", "increasing", "proportion")
    rest = ratios.lrr([1 - x for x in a], [1 - x for x in b], "increase", "increasing", "proportion")
    assert fall.estimate == pytest.approx(rest.estimate)


def test_lrr_is_the_log_of_the_ratio_where_nothing_varies() -> None:
    found = ratios.lrr([10.0, 10.0], [20.0, 20.0], scale="percentage")
    assert found.estimate == pytest.approx(math.log(2))
    assert found.se == 0.0


def test_zero_is_lifted_by_the_floor_and_refused_without() -> None:
    """All zero counts: mean 1/(2m) and variance 1/m^3 stand in."""
    none, some = [0.0] * 4, [4.0, 6.0]
    expected = math.log(5) + 2 / (4 * 25) - math.log(1 / 8) - (1 / 64) / (2 * 4 * (1 / 8) ** 2)
    assert ratios.lrr(none, some).estimate == pytest.approx(expected)
    assert ratios.lrr(none, none).estimate == pytest.approx(0.0)
    with pytest.raises(Undefined) as caught:
        ratios.lrr(none, some, scale="percentage")
    assert caught.value.values["phase"] == "a"
    assert math.isfinite(ratios.lrr(none, some, scale="percentage", floor=0.2).estimate)
    with pytest.raises(Undefined):
        ratios.lrr([100.0, 100.0], [50.0, 60.0], "decrease", scale="percentage")


@pytest.mark.parametrize(
    ("a", "b", "words"),
    [
        ([-1.0, 2.0], B, {}),
        (A, [50.0, 101.0], {"scale": "percentage"}),
        ([0.5, 0.6], [0.5, 1.5], {"scale": "proportion"}),
        (A, B, {"scale": "rate"}),
        (A, B, {"kind": "rising"}),
        (A, B, {"floor": 0.0}),
        (A, B, {"floor": math.nan}),
    ],
)
def test_lrr_refuses_what_its_scale_cannot_hold(a: list[float], b: list[float], words: dict) -> None:
    with pytest.raises(BadValue):
        ratios.lrr(a, b, **words)


@quick
@given(phase, phase, st.integers(21, 40))
def test_percent_of_goal_is_0_at_baseline_and_100_at_goal(a: list[float], b: list[float], goal: int) -> None:
    centre = float(np.mean(a))
    assert ratios.percent_of_goal(a, [centre] * 3, goal).estimate == pytest.approx(0.0, abs=1e-9)
    assert ratios.percent_of_goal(a, [float(goal)] * 3, goal).estimate == pytest.approx(100.0)
    found = ratios.percent_of_goal(a, b, goal)
    mirrored = ratios.percent_of_goal([-x for x in a], [-x for x in b], -goal)
    assert astuple(mirrored) == pytest.approx(astuple(found))
    assert found.low <= found.estimate <= found.high


def test_percent_of_goal_by_hand() -> None:
    """Means 1 and 5, goal 10: 4 of 9. Both variances of a mean are 1."""
    found = ratios.percent_of_goal([0, 2], [4, 6], 10)
    assert found.estimate == pytest.approx(400 / 9)
    assert found.se == pytest.approx(100 / 9 * math.sqrt(1 + 1 + (4 / 9) ** 2))


def test_percent_of_goal_refuses_a_goal_already_there() -> None:
    with pytest.raises(Undefined):
        ratios.percent_of_goal([0.1, 0.1, 0.1], B, 0.1)
    with pytest.raises(BadValue):
        ratios.percent_of_goal(A, B, math.nan)


def test_intervals_cover_as_they_claim() -> None:
    """Normal data, 12 and 15 points: about 95 of 100 intervals of the ratio and the goal hold the truth."""
    chance = np.random.default_rng(5)
    held = np.zeros(2)
    for _ in range(400):
        a, b = chance.normal(20, 4, 12), chance.normal(30, 5, 15)
        ratio, goal = ratios.lrr(a, b, scale="count"), ratios.percent_of_goal(a, b, 40)
        held += (ratio.low <= math.log(1.5) <= ratio.high, goal.low <= 50.0 <= goal.high)
    assert np.all(held / 400 > 0.90)
    assert np.all(held / 400 < 0.985)
