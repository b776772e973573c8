"""Belief over new versions and materials, forecasts of the end, and a service's own prior."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from bylittle.core.faults import BadValue, NotEnoughData, Undefined
from bylittle.core.learning.changes import harder_of, regraded, revised
from bylittle.core.learning.fitting import ChildLog, fit_prior
from bylittle.core.learning.forecast import chance, outlook
from bylittle.core.learning.horizon import when_done
from bylittle.core.learning.prior import SHIPPED
from bylittle.core.learning.tracker import Settings, State, Turn, enter, replay
from bylittle.core.practice.marks import Mark, Status

TOP = 5


def log(chances: tuple[float, ...], days: int, seed: int = 1, level: int = TOP) -> list[Turn]:
    rng = np.random.default_rng(seed)
    turns = []
    for turn in range(days * 4):
        good = rng.random(len(chances)) < chances
        marks = tuple(
            Mark(k, level, Status.DONE, level if yes else 0, TOP if yes else level - 1)
            for k, yes in enumerate(good)
        )
        turns.append(Turn(turn // 4, marks))
    return turns


@pytest.fixture(scope="module")
def known() -> State:
    """Three steps: mostly alone, half, hardly."""
    return replay(Settings(3), log((0.95, 0.5, 0.1), 14))


def alone(state: State, step: int) -> float:
    return chance(outlook(state), step, TOP).mean


def width(state: State, step: int) -> float:
    told = chance(outlook(state), step, TOP)
    return told.high - told.low


def test_reworded_steps_keep_their_belief_and_new_ones_start_fresh(known: State) -> None:
    after = revised(known, [(0,), (1,), (), (2,)])
    assert alone(after, 0) == pytest.approx(alone(known, 0), abs=0.03)
    assert alone(after, 3) == pytest.approx(alone(known, 2), abs=0.03)
    assert width(after, 2) > width(known, 1)


def test_a_merged_step_is_no_easier_than_its_harder_part(known: State) -> None:
    after = revised(known, [(0,), (1, 2)])
    assert alone(after, 1) <= alone(known, 2) + 0.03


def test_halves_of_a_split_step_are_less_sure(known: State) -> None:
    after = revised(known, [(0,), (1,), (1,), (2,)])
    assert alone(after, 1) == pytest.approx(alone(after, 2))
    assert width(after, 1) > width(known, 1)
    assert after.alone_days[1] == ()


def test_harder_of_two_equal_steps_is_harder() -> None:
    belief = np.full((2, 1, 1, 25), 1 / 25, dtype=np.float32)
    mean = harder_of(belief)[0, 0] @ np.arange(25)
    assert mean < 12 - 2


def test_a_harder_material_lowers_and_widens_and_an_easier_one_raises(known: State) -> None:
    harder, easier = regraded(known, 1.0), regraded(known, -1.0)
    for step in range(3):
        assert alone(harder, step) < alone(known, step) < alone(easier, step)
    assert harder.alone_days == ((), (), ())


def test_the_size_of_a_material_change_is_learned(known: State) -> None:
    state = regraded(known, 1.0, [0])
    unchanged = alone(state, 0)
    for turn in log((1.0, 0.5, 0.1), 6, seed=3):
        state, _ = enter(state, turn.day + 20, turn.marks)
    assert alone(state, 0) > unchanged


@pytest.mark.parametrize("origins", [[(3,)], [(-1,)], [(True,)]])
def test_steps_that_are_not_there_are_refused(known: State, origins: list[tuple[int, ...]]) -> None:
    with pytest.raises(BadValue):
        revised(known, origins)


def test_the_end_is_a_range_in_order() -> None:
    state = replay(Settings(2), log((0.75, 0.8), 16, level=4))
    horizon = when_done(state, 0.85, 3)
    assert state.day is not None
    assert state.day <= horizon.early <= horizon.middle
    assert horizon.late is None or horizon.middle <= horizon.late
    assert horizon.days_a_week == pytest.approx(7.0)


def test_less_practice_puts_the_end_later() -> None:
    state = replay(Settings(2), log((0.75, 0.8), 16, level=4))
    often, seldom = when_done(state, 0.85, 3, days_a_week=6), when_done(state, 0.85, 3, days_a_week=3)
    assert seldom.early >= often.early


def test_new_steps_that_wait_for_their_turn_put_the_end_later() -> None:
    state = replay(Settings(4), log((0.3,) * 4, 16, level=3))
    together, one_by_one = when_done(state, 0.85, 4), when_done(state, 0.85, 1)
    assert one_by_one.middle > together.middle


def test_what_was_once_reached_stays_reached_in_the_range() -> None:
    # Nearly all there is to learn is learned: the weeks to come can add to it and take nothing away.
    state = replay(Settings(4), log((0.8, 0.85, 0.85, 0.8), 16, level=5))
    often, seldom = when_done(state, 0.85, 3, days_a_week=5), when_done(state, 0.85, 3, days_a_week=0.25)
    assert often.late is not None
    assert seldom.late is not None
    assert seldom.late >= often.late


def test_silent_before_there_is_enough_and_where_the_end_is_out_of_sight() -> None:
    with pytest.raises(NotEnoughData) as caught:
        when_done(replay(Settings(2), log((0.5, 0.5), 3)), 0.85, 3)
    assert caught.value.needed == 8
    with pytest.raises(Undefined):
        when_done(replay(Settings(6), log((0.02,) * 6, 30)), 0.97, 1)


def logs(n: int, chance_alone: float) -> list[ChildLog]:
    return [ChildLog(2, 6, tuple(log((chance_alone,) * 2, 6, seed))) for seed in range(n)]


def test_a_small_service_keeps_the_shipped_prior() -> None:
    with pytest.raises(NotEnoughData) as caught:
        fit_prior(logs(5, 0.3))
    assert (caught.value.n, caught.value.needed) == (5, 20)


def test_a_prior_moves_towards_the_children_and_fits_them_better() -> None:
    fitted = fit_prior(logs(24, 0.75))
    assert fitted.prior.start_shares[1] > SHIPPED.start_shares[1]
    assert 0 < fitted.moved_starts < 1
    assert fitted.evidence_after > fitted.evidence_before
    assert sum(fitted.prior.shape_shares) == pytest.approx(1.0)


def test_the_fit_is_the_same_on_any_executor() -> None:
    few = logs(20, 0.4)
    with ThreadPoolExecutor(2) as pool:
        assert fit_prior(few, pool.map) == fit_prior(few)
