"""Between-case difference: laws of the designs, recovery of a known effect, refusals."""

from __future__ import annotations

from dataclasses import astuple, replace

import numpy as np
import pytest

from bylittle.core.faults import BadValue, Fault, NotEnoughData, Undefined
from bylittle.core.stats.between_case import BetweenCase, multiple_baseline, reversal

Long = dict[str, list]


def baselines(chance: np.random.Generator, cases: int, effect: float, n: int = 16) -> Long:
    """Cases whose levels have SD 3 and points SD 4 (together 5); teaching adds `effect` * 5."""
    long: Long = {"case": [], "session": [], "treated": [], "outcome": []}
    for case in range(cases):
        level, start = chance.normal(20, 3), 5 + case % 4
        for session in range(1, n + 1):
            on = session > start
            long["case"].append(f"case {case}")
            long["session"].append(session)
            long["treated"].append(on)
            long["outcome"].append(level + 5 * effect * on + chance.normal(0, 4))
    return long


def reversals(chance: np.random.Generator, cases: int, effect: float) -> Long:
    long: Long = {"case": [], "session": [], "treated": [], "pair": [], "outcome": []}
    for case in range(cases):
        level = chance.normal(20, 3)
        for session in range(1, 21):
            on = (session - 1) // 5 % 2 == 1
            long["case"].append(case)
            long["session"].append(session)
            long["treated"].append(on)
            long["pair"].append((session - 1) // 10)
            long["outcome"].append(level + 5 * effect * on + chance.normal(0, 4))
    return long


DESIGNS = [(multiple_baseline, baselines), (reversal, reversals)]
both = pytest.mark.parametrize(("measure", "make"), DESIGNS, ids=["multiple baseline", "reversal"])


@both
def test_mean_over_studies_finds_the_effect(measure, make) -> None:
    chance = np.random.default_rng(4)
    found = [measure(**make(chance, 6, 1.2)) for _ in range(120)]
    estimates = np.array([one.estimate for one in found])
    assert estimates.mean() == pytest.approx(1.2, abs=4 * estimates.std() / np.sqrt(120))
    typical = np.sqrt(np.mean([one.se**2 for one in found]))
    assert typical == pytest.approx(estimates.std(), rel=0.3)
    between = np.mean([one.correlation for one in found])
    assert between == pytest.approx(9 / 25, abs=0.12)
    held = np.mean([one.low <= 1.2 <= one.high for one in found])
    assert held > 0.88


@both
def test_units_and_order_of_rows_do_not_matter(measure, make) -> None:
    long = make(np.random.default_rng(1), 4, 0.8)
    found = measure(**long)
    moved = measure(**long | {"outcome": [3 * y - 7 for y in long["outcome"]]})
    for field in ("estimate", "se", "low", "high", "autocorrelation", "correlation", "df"):
        assert getattr(moved, field) == pytest.approx(getattr(found, field))
    order = np.random.default_rng(2).permutation(len(long["case"]))
    shuffled = measure(**{name: [column[i] for i in order] for name, column in long.items()})
    assert astuple(shuffled) == pytest.approx(astuple(found))
    assert found.low <= found.estimate <= found.high


@both
def test_a_fall_is_a_mirrored_rise(measure, make) -> None:
    long = make(np.random.default_rng(1), 4, -0.8)
    fall, rise = measure(**long, better="decrease"), measure(**long)
    assert fall.estimate == pytest.approx(-rise.estimate)
    assert replace(fall, estimate=0.0, low=0.0, high=0.0, unadjusted=0.0, difference=0.0) == replace(
        rise, estimate=0.0, low=0.0, high=0.0, unadjusted=0.0, difference=0.0
    )


@both
def test_too_few_cases(measure, make) -> None:
    with pytest.raises(NotEnoughData) as caught:
        measure(**make(np.random.default_rng(1), 2, 1.0))
    assert (caught.value.n, caught.value.needed) == (2, 3)


@both
@pytest.mark.parametrize("flat", [0.0, 0.1, 1e6])
def test_nothing_varies(measure, make, flat: float) -> None:
    long = make(np.random.default_rng(1), 4, 1.0)
    with pytest.raises(Undefined):
        measure(**long | {"outcome": [flat] * len(long["outcome"])})
    with pytest.raises(Undefined):
        measure(**long | {"outcome": [flat + 5 * on for on in long["treated"]]})
    with pytest.raises(Undefined):
        measure(**long | {"outcome": [flat + session % 5 for session in long["session"]]})


@both
def test_nothing_varies_within_cases(measure, make) -> None:
    long = make(np.random.default_rng(1), 4, 1.0)
    level = {case: 10 * index for index, case in enumerate(dict.fromkeys(long["case"]))}
    steady = [level[case] + 5 * on for case, on in zip(long["case"], long["treated"], strict=True)]
    with pytest.raises(Undefined):
        measure(**long | {"outcome": steady})


@both
def test_a_case_without_teaching_is_refused(measure, make) -> None:
    long = make(np.random.default_rng(1), 4, 1.0)
    first = long["case"][0]
    long["treated"] = [on and case != first for on, case in zip(long["treated"], long["case"], strict=True)]
    with pytest.raises(NotEnoughData):
        measure(**long)


@both
def test_rows_that_do_not_fit(measure, make) -> None:
    long = make(np.random.default_rng(1), 4, 1.0)
    for spoilt in (
        {"outcome": [*long["outcome"][:-1], float("nan")]},
        {"session": [1] * len(long["session"])},
        {"treated": long["treated"][:-1]},
        {"better": "up"},
    ):
        with pytest.raises(BadValue):
            measure(**long | spoilt)


def test_cases_that_never_meet_have_no_spread_between_them() -> None:
    long = baselines(np.random.default_rng(1), 3, 1.0, n=8)
    shift = {"case 0": 0, "case 1": 100, "case 2": 200}
    long["session"] = [s + shift[c] for s, c in zip(long["session"], long["case"], strict=True)]
    with pytest.raises(NotEnoughData):
        multiple_baseline(**long)


@both
def test_very_short_studies_give_finite_numbers_or_a_refusal(measure, make) -> None:
    chance = np.random.default_rng(6)
    for _ in range(30):
        long = make(chance, 3, 1.0)
        keep = [i for i in range(len(long["case"])) if chance.random() < 0.35]
        try:
            found = measure(**{name: [column[i] for i in keep] for name, column in long.items()})
        except Fault:
            continue
        assert isinstance(found, BetweenCase)
        assert np.isfinite(astuple(found)).all()
