"""How each adult writes is learned from that adult's marks: steady slips, and the level after a miss."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bylittle.core.learning.forecast import chance, outlook
from bylittle.core.learning.prior import SHIPPED
from bylittle.core.learning.responses import read_row, record_row
from bylittle.core.learning.tracker import Settings, State, begin, enter
from bylittle.core.learning.writers import exactness, slips_of
from bylittle.core.practice.marks import Mark, Status

TOP = 5
STEPS, DAYS, TURNS = 4, 25, 4
HELP = np.array([9.0, 3.2, 2.0, 1.2, 0.5, 0.0])
CURVES = 1 / (1 + np.exp(-(HELP + np.array([-1.6, -0.8, -0.2, 0.4])[:, None])))  # P(N >= l), held still


def reaches(seed: int) -> list[list[int]]:
    """The reach of each step, turn by turn."""
    luck = np.random.default_rng(seed).random((DAYS * TURNS, STEPS, 1))
    return ((luck < CURVES).sum(axis=2) - 1).clip(0).tolist()


def offered(turn: int, step: int) -> int:
    """Help is faded and brought back over the weeks."""
    return 2 + (turn // 8 + step) % 4


def mark(turn: int, step: int, written: int, adult: str = "M") -> Mark:
    offer = offered(turn, step)
    if written >= offer:
        return Mark(step, offer, Status.DONE, offer, TOP, adult=adult)
    return Mark(step, offer, Status.DONE, written, offer - 1, adult=adult)


def after(turns: list[list[Mark]], settings: Settings) -> State:
    state = begin(settings)
    for turn, marks in enumerate(turns):
        state, _ = enter(state, turn // TURNS, marks)
    state, _ = enter(state, DAYS, [mark(0, 0, TOP)])
    return state


def written_by(way: str, seed: int) -> list[list[Mark]]:
    luck = np.random.default_rng(seed + 1)

    def told(turn: int, step: int, reach: int) -> int:
        if reach >= offered(turn, step) or way == "the reach":
            return reach
        return int(luck.integers(1, reach + 1)) if reach and way == "any help that was enough" else 0

    return [
        [mark(turn, step, told(turn, step, reach)) for step, reach in enumerate(seen)]
        for turn, seen in enumerate(reaches(seed))
    ]


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize(
    ("way", "low", "high"),
    [("the reach", 0.75, 1.0), ("any help that was enough", 0.0, 0.25), ("no level", 0.5, 0.7)],
)
def test_it_is_learned_what_a_level_after_a_miss_means(way: str, low: float, high: float, seed: int) -> None:
    state = after(written_by(way, seed), Settings(STEPS))
    assert low <= exactness(state.settings.bank, state.writers, "M") <= high


def test_a_careful_adult_s_misses_say_more() -> None:
    careful, plain = Settings(STEPS), Settings(STEPS, prior=replace(SHIPPED, exact_share=0.0))
    gaps: dict[Settings, list[float]] = {careful: [], plain: []}
    for seed in range(4):
        for settings, found in gaps.items():
            view = outlook(after(written_by("the reach", seed), settings))
            found += [
                abs(chance(view, step, level).mean - CURVES[step, level])
                for step in range(STEPS)
                for level in range(1, TOP + 1)
            ]
    assert np.mean(gaps[careful]) < np.mean(gaps[plain])


def test_an_adult_who_sees_too_much_is_read_so() -> None:
    luck = np.random.default_rng(5)
    turns = []
    for number, turn in enumerate(reaches(4)):
        eager = [min(TOP, reach + 1) if luck.random() < 0.45 else reach for reach in turn]
        adult, seen = (("M", turn), ("D", eager))[number % 2]
        turns.append([mark(number, step, reach, adult) for step, reach in enumerate(seen)])
    settings = Settings(STEPS)
    state = after(turns, settings)
    up = {adult: slips_of(settings.bank, state.writers, adult)[0] for adult in "MD"}
    assert up["D"] > 0.3
    assert up["M"] < 0.1


@pytest.mark.parametrize("seed", range(4))
def test_of_two_adults_who_differ_the_one_whose_marks_fit_is_believed(seed: int) -> None:
    # Most steps go alone; D writes nearly every second one a level too low. Belief would settle halfway.
    luck, state = np.random.default_rng(seed), begin(Settings(STEPS))
    curves = 1 / (1 + np.exp(-(HELP + np.array([2.0, 2.4, 2.8, 3.2])[:, None])))
    for turn in range(DAYS * TURNS):
        adult = "MD"[int(luck.integers(2))]
        reached = ((luck.random((STEPS, 1)) < curves).sum(axis=1) - 1).clip(0)
        low = (luck.random(STEPS) < 0.45) & (adult == "D")
        written = (reached - low).clip(0).tolist()
        marks = [
            Mark(step, TOP, Status.DONE, level, TOP if level == TOP else TOP - 1, adult=adult)
            for step, level in enumerate(written)
        ]
        state, _ = enter(state, turn // TURNS, marks)
    view = outlook(state)
    assert slips_of(state.settings.bank, state.writers, "D")[1] > 0.25
    assert all(abs(chance(view, step, TOP).mean - curves[step, TOP]) < 0.1 for step in range(STEPS))


@given(st.integers(3, 8), st.floats(0, 1), st.data())
def test_a_sure_reading_is_one_level_and_an_unsure_one_the_whole_interval(
    n_levels: int, exact: float, data: st.DataObject
) -> None:
    lo = data.draw(st.integers(1, n_levels - 2))
    hi = data.draw(st.integers(lo, n_levels - 2))
    whole = np.array(record_row(n_levels, 0.04, 0.04, lo, hi))
    one = np.array(record_row(n_levels, 0.04, 0.04, lo, lo))
    assert read_row(n_levels, 0.04, 0.04, 0.0, lo, hi) == tuple(whole)
    sure = np.array(read_row(n_levels, 0.04, 0.04, 1.0, lo, hi))
    assert np.allclose(sure, one if lo == hi else (lo + hi) / 2 * one)
    between = np.array(read_row(n_levels, 0.04, 0.04, exact, lo, hi))
    assert np.allclose(between, exact * sure + (1 - exact) * whole)
