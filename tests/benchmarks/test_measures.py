"""The measures, against cases small enough to work out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from benchmarks.children.bars import Bar
from benchmarks.children.command import kinds_of
from benchmarks.children.course import Call, Course, Go
from benchmarks.children.family import Family, even
from benchmarks.children.forecasters import Forecast, LastDay, RunningMean
from benchmarks.children.measures import (
    OUTCOMES,
    Foresight,
    bootstrap_se,
    calibration,
    coverage,
    foresee,
    longest_run,
    outcome,
    regret,
)
from benchmarks.children.report import Figure, mean_over
from benchmarks.children.study import Order, carry_out_all, wandering_log
from benchmarks.open_trials import METHODS, Tally, compare, learners, losses
from bylittle.core.practice.marks import Mark, Status


def go(managed: bool, chance: float, alone: float = 0.5) -> Go:
    return Go(1, 0, 0, 3, managed, chance, alone, None)


def course_of(goes: list[Go], calls: list[Call], independent: list[int | None]) -> Course:
    return Course("average", 0, goes, calls, independent, None, turns=100, horizon=200)


def test_the_truth_has_no_regret_and_a_worse_forecast_has() -> None:
    sums = Foresight()
    sums.add(0.7, 0.7, 7, 10)
    assert regret([sums]) == pytest.approx(0)
    sums = Foresight()
    sums.add(0.5, 0.7, 7, 10)
    expected = 0.7 * np.log(0.7 / 0.5) + 0.3 * np.log(0.3 / 0.5)
    assert regret([sums]) == pytest.approx(expected)


def test_calibration_error_is_the_gap_within_bins() -> None:
    sums = Foresight()
    sums.add(0.25, 0.5, 5, 10)
    sums.add(0.85, 0.85, 17, 20)
    assert calibration([sums]) == pytest.approx(10 * 0.25 / 30)


def test_forecasts_are_made_before_the_day_is_shown() -> None:
    class Watching:
        def __init__(self) -> None:
            self.seen: list[int] = []

        def record(self, day: int, marks: list[Mark]) -> None:
            self.seen.append(day)

        def forecast(self, step: int, level: int, day: int) -> Forecast:
            assert all(past < day for past in self.seen)
            return Forecast(0.5, 0.5, 0.4, 0.8 if day == 1 else 0.6)

    course = course_of([], [], [])
    course.log = [(d, [Mark(0, 3, Status.DONE, 3, 5)]) for d in (1, 1, 2)]
    course.truth = {1: [[1, 1, 0.9, 0.7, 0.6, 0.5]], 2: [[1, 1, 0.9, 0.7, 0.6, 0.5]]}
    sums = foresee(course, Family((even("M", 1.0, slip=0.0),)), {"watching": Watching})["watching"]
    assert (sums.marks, sums.days) == (3, 2)
    assert coverage([sums]) == 0.5
    assert sums.regret == pytest.approx(3 * np.log(0.7 / 0.5))


def test_success_and_load_count_only_steps_not_yet_independent() -> None:
    goes = [go(True, 0.95), go(False, 0.6), go(True, 0.8), go(True, 0.97, alone=0.9)]
    found = outcome(course_of(goes, [], [None]))
    told = {name: measure([found]) for name, measure in OUTCOMES.items() if name not in ("lag", "foretold")}
    assert told["success"] == pytest.approx(2 / 3)
    assert told["too hard"] == pytest.approx(1 / 3)
    assert told["too easy"] == pytest.approx(1 / 3)
    assert told["turns"] == 200
    assert told["failure run"] == 1


def test_false_calls_and_lag() -> None:
    calls = [Call(0, 90, 0.95), Call(1, 40, 0.69), Call(1, 95, 0.9)]
    found = outcome(course_of([], calls, [70, 60, 100, None, 180]))
    assert OUTCOMES["false calls"]([found]) == pytest.approx(1 / 3)
    # step 0 after 20 turns, 1 before it was due (no lag), 2 never: waits to the end; 4 is too late
    assert found.lags == [20, 0, 100]
    assert found.uncalled == 1


@pytest.mark.parametrize(
    ("misses", "longest"), [([], 0), ([True], 1), ([True, True, False, True], 2), ([False] * 3, 0)]
)
def test_longest_run(misses: list[bool], longest: int) -> None:
    assert longest_run(misses) == longest


def test_bootstrap_error_of_a_mean_is_the_textbook_one() -> None:
    rng = np.random.default_rng(4)
    values = rng.normal(0, 2, 400).tolist()
    se = bootstrap_se(lambda chosen: float(np.mean(chosen)), values, rng, times=400)
    assert se == pytest.approx(2 / 20, rel=0.15)


def test_means_over_kinds_weigh_kinds_alike() -> None:
    kinds = {"average": Figure(1.0, 0.3), "slow": Figure(3.0, 0.4), "moods": Figure(9.0, 1.0)}
    found = mean_over(kinds, "A")
    assert found == Figure(2.0, pytest.approx(0.25))
    assert mean_over({"average": Figure(1.0, 0.3)}, "B") is None


@pytest.mark.parametrize(
    ("value", "se", "clear", "met"),
    [(0.015, 0.001, True, True), (0.019, 0.001, False, True), (0.021, 0.001, False, False)],
)
def test_a_bar_is_met_within_two_standard_errors(value: float, se: float, clear: bool, met: bool) -> None:
    bar = Bar("regret", Figure(value, se), -np.inf, 0.018)
    assert (bar.clear, bar.met) == (clear, met)


def test_naive_forecasts_say_what_they_should() -> None:
    last, mean = LastDay(), RunningMean()
    for day, managed in ((1, [True, True]), (2, [True, False, False, False])):
        for ok in managed:
            mark = Mark(0, 3, Status.DONE, 3 if ok else 0, 5 if ok else 2)
            last.record(day, [mark])
            mean.record(day, [mark])
    assert last.forecast(0, 3, 3).marked == pytest.approx(0.25)
    assert mean.forecast(0, 3, 3).marked == pytest.approx(4 / 8)
    assert last.forecast(1, 3, 3).marked == 0.5


def test_logistic_regression_on_others_beats_a_coin_and_processes_do_not_matter() -> None:
    """A small study run on one process and on two gives the same sums."""
    fitted = learn_from_others_few()
    orders = [
        Order(kind, 0, 5, ("whole task, 80 % on 3 days",), True, fitted) for kind in ("average", "moods")
    ]
    alone, together = carry_out_all(orders, 1), carry_out_all(orders, 2)
    pooled = alone.foresight["pooled logistic"]["average"][0]
    assert pooled.loss < pooled.marks * np.log(2) * 0.9
    assert pooled.loss == together.foresight["pooled logistic"]["average"][0].loss
    ours = alone.foresight["our tracker"]["moods"][0]
    assert ours.loss == together.foresight["our tracker"]["moods"][0].loss


def learn_from_others_few():  # type: ignore[no-untyped-def]
    from benchmarks.children.fitting import fit
    from benchmarks.children.kinds import KINDS

    return fit([wandering_log(kind, 77, 0) for kind in KINDS[:3]])


def test_kinds_by_family_and_by_part_of_a_name() -> None:
    assert kinds_of(["B"], False)[0] == "two states"
    assert kinds_of(["over", "moods"], False) == ["over-reporting", "moods"]
    assert len(kinds_of([], False)) > 15


def test_open_data_are_four_learners_of_250_trials() -> None:
    data = learners()
    assert [len(trials) for trials in data.values()] == [250] * 4
    assert all(set(trials) == {0, 1} for trials in data.values())


def test_a_coin_loses_log_two_a_trial_and_the_running_mean_less_on_real_practice() -> None:
    data = learners()
    assert losses(data["s1"], Tally(1.0, 1e9, 1e9)) == pytest.approx([np.log(2)] * 25, abs=1e-6)
    found = {name: np.mean(days) for name, days in compare(data).items()}
    assert set(found) == set(METHODS)
    assert found["running mean"] < found["one half"]
    assert found["our tracker"] < found["one half"]
