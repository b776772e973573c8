"""Laws of the tracker, exactness on its own model, and agreement with a general sampler."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import kstest

from bylittle.core.faults import BadValue
from bylittle.core.learning import saved
from bylittle.core.learning.forecast import chance, outlook
from bylittle.core.learning.history import MOST_TURNS, unpacked
from bylittle.core.learning.passing import time_kernel
from bylittle.core.learning.prior import SHIPPED, Prior, Shape, bank, scattered_shapes
from bylittle.core.learning.responses import falling, record_row
from bylittle.core.learning.tracker import Settings, State, Turn, at_day, begin, enter, replay, updated
from bylittle.core.practice.marks import Mark, Source, Status
from bylittle.core.stats.ordinal import blur, category_chances, interval_chances
from bylittle.core.stats.ordinal_grid import collapsed

TOP = 5
SLACK = 0.05  # logits: quantiles are read between grid points half a logit apart
# Logits of width. Where belief has two humps a long break wears the upper one down, which alone narrows it;
# and belief that drifts down is cut off where the grid ends. Neither may cost more than this.
CUT_OFF = 0.25
SAMPLED = Path(__file__).parents[2] / "reference" / "ordinal" / "day_effect_posterior.json"


def exact(**changes: object) -> Prior:
    """A prior with all forgetting and approximation switched off."""
    return replace(SHIPPED, weight_memory=1.0, offset_trust=0.0, **changes)


def done(step: int, lo: int, hi: int, source: Source = Source.HOME) -> Mark:
    return Mark(step, -1, Status.DONE, lo, hi, source=source)


def marks_of(step: int) -> st.SearchStrategy[Mark]:
    ends = st.tuples(st.integers(0, TOP), st.integers(0, TOP)).map(sorted)
    return ends.map(lambda lohi: done(step, *lohi))


def logs() -> st.SearchStrategy[list[Turn]]:
    turn = st.tuples(st.integers(0, 6), st.tuples(marks_of(0), marks_of(1)))
    return st.lists(turn, min_size=1, max_size=7).map(
        lambda turns: [Turn(sum(gap for gap, _ in turns[: i + 1]), m) for i, (_, m) in enumerate(turns)]
    )


def skill(state: State, step: int) -> tuple[float, float]:
    """Median and 90 % width of a step's skill, logits."""
    evening = updated(state)
    mass = collapsed(evening.belief, np.exp(evening.log_weights), 1)[step].sum(axis=(0, 1))
    grid = state.settings.bank.grid
    low, middle, high = np.interp((0.05, 0.5, 0.95), np.cumsum(mass) - mass / 2, grid)
    return float(middle), float(high - low)


@settings(max_examples=20, deadline=None)
@given(logs())
def test_replay_equals_step_by_step(log: list[Turn]) -> None:
    whole = replay(Settings(2), log)
    state = begin(Settings(2))
    for turn in log:
        state, reason = enter(state, turn.day, turn.marks)
        assert reason.telling == 2
    assert saved.to_text(state) == saved.to_text(whole)
    assert saved.to_text(saved.from_text(saved.to_text(whole))) == saved.to_text(whole)


@settings(max_examples=20, deadline=None)
@given(logs(), st.integers(1, 60), st.integers(1, 200))
def test_time_alone_never_raises_skill_nor_makes_it_surer(log: list[Turn], soon: int, later: int) -> None:
    """From a rest day on: days without practice only."""
    rested = at_day(replay(Settings(2), log), log[-1].day + 1)
    near, far = at_day(rested, rested.day + soon), at_day(rested, rested.day + soon + later)
    for step in range(2):
        (m0, w0), (m1, w1), (m2, w2) = skill(rested, step), skill(near, step), skill(far, step)
        assert m0 + SLACK >= m1 >= m2 - SLACK
        assert w0 - CUT_OFF <= w1 <= w2 + CUT_OFF


@settings(max_examples=20, deadline=None)
@given(logs())
def test_belief_stays_a_belief(log: list[Turn]) -> None:
    evening = updated(replay(Settings(2), log))
    assert evening.belief.sum(axis=-1) == pytest.approx(1.0, abs=1e-4)
    assert np.exp(evening.log_weights).sum() == pytest.approx(1.0)
    assert (np.diff(evening.offsets, axis=1) <= 1e-9).all()
    assert (evening.offsets >= 0).all()


def drawn_log(settings_: Settings, rng: np.random.Generator) -> tuple[list[Turn], float]:
    """A child of the tracker's own model: its log, and the skill of step 0 on the last day."""
    arrays, prior = settings_.bank, settings_.prior
    shape = rng.choice(len(prior.shapes), p=prior.shape_shares)
    gain = rng.choice(len(prior.gains), p=prior.gain_shares)
    start = rng.choice(len(prior.starts), p=prior.start_shares)
    h = gain * len(prior.starts) + start
    at = [rng.choice(len(arrays.grid), p=arrays.start_belief[h]) for _ in range(2)]
    turns, days = [], 4
    for day in range(days):
        node = rng.choice(5, p=arrays.node_weights)
        marks = []
        for step in range(2):
            x = arrays.places[shape, node, at[step]] + np.append(arrays.offsets[shape], 0.0)
            tails = np.append(1.0, 1 / (1 + np.exp(-x)))
            chances = category_chances(tails) @ blur(6, prior.probe_noise / 2, prior.probe_noise / 2)
            chances = (1 - prior.slip) * chances + prior.slip / 6
            level = int(rng.choice(6, p=chances / chances.sum()))
            marks.append(done(step, level, level, Source.PROBE))
        turns.append(Turn(day, tuple(marks)))
        if day < days - 1:  # practice of no effort: the kernels of time alone, as the tracker uses them
            kernel = time_kernel(arrays, 0.0, 1)[0].astype(float)
            at = [rng.choice(len(arrays.grid), p=kernel[i] / kernel[i].sum()) for i in at]
    return turns, float(at[0])


def test_calibration_by_simulation() -> None:
    """Ranks of the truth in its posterior are uniform (Talts and others 2018), nothing forgotten."""
    frame = Settings(2, prior=exact(effort_least=0.0))
    rng = np.random.default_rng(20)
    ranks = []
    for _ in range(300):
        log, truth = drawn_log(frame, rng)
        state = begin(frame)
        for turn in log:
            state, _ = enter(state, turn.day, turn.marks)
            state = replace(state, effort={})
        evening = updated(state)
        mass = collapsed(evening.belief, np.exp(evening.log_weights), 1)[0].sum(axis=(0, 1))
        ranks.append(mass[: int(truth)].sum() + rng.random() * mass[int(truth)])
    assert kstest(ranks, "uniform").pvalue > 0.01


def test_agrees_with_a_general_sampler() -> None:
    """Posterior of two skills with shared day effects; numbers and program in tests/reference/ordinal.

    Within a day the filter is exact. From day to day it keeps each step's own belief and drops what the
    shared day made steps have in common: a twelfth of a standard deviation here.
    """
    told = json.loads(SAMPLED.read_text())
    shape = Shape(boost=1.0, bend=1.0, gap=0.0, spread=told["day_sd"], bias=0.0)
    grid_prior = exact(
        shapes=(shape,), shape_shares=(1.0,), gains=(0.0,), gain_shares=(1.0,),
        starts=(told["prior_mean"],), start_shares=(1.0,), start_sd=told["prior_sd"],
        jump_share_still=0.0, practice_sd=1e-9, idle_sd=0.0, idle_loss=0.0, break_share=0.0,
        probe_noise=0.0, slip=0.0, grid_points=97,
    )  # fmt: skip
    state = begin(Settings(2, prior=grid_prior))
    grid = state.settings.bank.grid
    normal = np.exp(-0.5 * ((grid - told["prior_mean"]) / told["prior_sd"]) ** 2)
    belief = np.broadcast_to(normal / normal.sum(), state.belief.shape).astype(np.float32)
    state = replace(state, belief=belief, offsets=np.array([told["offsets"][:-1]]))
    for day, step, lo, hi in told["marks"]:
        state, _ = enter(state, day, [done(step, lo, hi, Source.PROBE)])
    evening = updated(state)
    mass = evening.belief[:, 0, 0, :].astype(float)
    mean = mass @ grid
    sd = np.sqrt(mass @ grid**2 - mean**2)
    assert mean == pytest.approx(told["mean"], abs=0.06)
    assert sd == pytest.approx(told["sd"], abs=0.03)


def test_offsets_are_learned_where_help_does_more_than_expected() -> None:
    """With words it always works, alone never: the gap to alone grows, alone stays low."""
    state = begin(Settings(1))
    before = updated(state).offsets[:, -1]
    for day in range(20):
        for _ in range(3):
            state, _ = enter(state, day, [Mark(0, 4, Status.DONE, 4, TOP)])
            state, _ = enter(state, day, [Mark(0, TOP, Status.DONE, 0, 4)])
    after = updated(state).offsets[:, -1]
    assert (after > before).all()
    assert after.mean() > before.mean() + 0.5
    view = outlook(state)
    assert chance(view, 0, 4).mean > 0.75
    assert chance(view, 0, TOP).mean < 0.35


def test_probes_say_more_than_family_marks() -> None:
    home, probe = begin(Settings(1)), begin(Settings(1))
    for day in range(5):
        home, _ = enter(home, day, [done(0, TOP, TOP)])
        probe, _ = enter(probe, day, [done(0, TOP, TOP, Source.PROBE)])
    assert chance(outlook(probe), 0, TOP).mean > chance(outlook(home), 0, TOP).mean


@given(st.integers(2, 8), st.floats(0, 0.5), st.floats(0, 0.5), st.data())
def test_a_record_row_is_the_chance_of_the_interval(
    n_levels: int, up: float, down: float, data: st.DataObject
) -> None:
    lo = data.draw(st.integers(0, n_levels - 1))
    hi = data.draw(st.integers(lo, n_levels - 1))
    tails = np.sort(np.append(1.0, np.random.default_rng(n_levels).random(n_levels - 1)))[::-1]
    direct = interval_chances(category_chances(tails), lo, hi, blur(n_levels, up, down))
    assert np.dot(record_row(n_levels, up, down, lo, hi), tails) == pytest.approx(float(direct))


def test_offsets_are_made_to_fall() -> None:
    assert falling(np.array([[1.0, 2.0, -1.0]])).tolist() == [[2.0, 2.0, 0.0]]


def test_the_look_back_is_bounded_and_whole() -> None:
    state = begin(Settings(1))
    for turn in range(MOST_TURNS + 40):
        state, _ = enter(state, turn // 4, [Mark(0, 3, Status.DONE, 3, TOP, adult="M", place="hall")])
    rows = unpacked(state.recent)
    assert len(rows) == MOST_TURNS
    assert rows.offered.tolist() == [3] * MOST_TURNS
    assert rows.turn_of_day.max() == 3
    assert state.names[0] == ("M",)


def test_effort_is_more_where_the_child_does_more() -> None:
    kernels = bank(SHIPPED, 6)
    grid = kernels.grid
    little, much = (time_kernel(kernels, effort, 0)[2][10] @ grid for effort in (1.0, 4.0))
    assert much > little > grid[10]


def test_scattered_shapes_fill_their_prior() -> None:
    shapes = scattered_shapes(64)
    assert np.median([shape.boost for shape in shapes]) == pytest.approx(3.2, rel=0.1)
    assert np.mean([shape.bias for shape in shapes]) == pytest.approx(0.0, abs=0.05)
    assert len(set(shapes)) == 64


def test_a_broken_prior_or_text_is_refused() -> None:
    with pytest.raises(BadValue):
        Settings(2, prior=replace(SHIPPED, gains=(0.1,)))
    with pytest.raises(BadValue):
        saved.from_text("{}")
