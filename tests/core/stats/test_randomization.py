"""Start-point randomization: by hand, by law, and over many draws."""

from __future__ import annotations

import numpy as np
import pytest

from bylittle.core.faults import BadValue, NotEnoughData
from bylittle.core.stats import randomization
from bylittle.core.stats.randomization import start_point


def test_one_case_by_hand() -> None:
    """1 1 1 | 5 5 5 with 2 points a phase: starts after 2, 3 and 4 give 3, 4 and 3."""
    found = start_point([([1, 1, 1], [5, 5, 5])], least_a=2, least_b=2)
    assert (found.observed, found.n, found.exact) == (4.0, 3, True)
    assert found.p == pytest.approx(1 / 3)
    assert (found.smallest, found.largest) == (3.0, 4.0)
    assert found.mean == pytest.approx(10 / 3)


def test_two_cases_use_every_combination() -> None:
    case = ([1, 1, 1], [5, 5, 5])
    found = start_point([case, case], least_a=2, least_b=2)
    assert (found.observed, found.n) == (4.0, 9)
    assert found.p == pytest.approx(1 / 9)


def test_all_equal_is_no_evidence() -> None:
    found = start_point([([0.1] * 6, [0.1] * 8)])
    assert found.p == 1.0
    assert (found.observed, found.sd) == pytest.approx((0.0, 0.0), abs=1e-15)


def test_direction_is_turned_round() -> None:
    a, b = [9.0, 8, 9, 7, 9], [5.0, 6, 4, 5, 3, 2, 4]
    fall = start_point([(a, b)], "decrease", least_a=3, least_b=3)
    rise = start_point([([-x for x in a], [-x for x in b])], least_a=3, least_b=3)
    assert fall == rise


def test_steps_of_one_hundredth_tie_as_they_should() -> None:
    """Every start gives the same difference of medians, which rounding must not split."""
    found = start_point([([0.1] * 5, [0.1 + 0.2] * 5), ([0.3] * 5, [0.5] * 6)], least_a=5, least_b=5)
    assert found.p == pytest.approx(1 / 2)


def test_p_is_uniform_where_nothing_happens() -> None:
    """With a start drawn by lot and no effect, p <= k / n happens k times in n."""
    chance = np.random.default_rng(11)
    hits = 0
    for _ in range(600):
        values, cut = chance.normal(size=19), int(chance.integers(5, 15))
        found = start_point([(values[:cut], values[cut:])])
        assert found.n == 10
        hits += found.p <= 0.2 + 1e-9
    assert abs(hits / 600 - 0.2) < 4 * np.sqrt(0.2 * 0.8 / 600)


def test_many_cases_are_drawn_and_repeatable(monkeypatch: pytest.MonkeyPatch) -> None:
    chance = np.random.default_rng(2)
    cases = [(chance.normal(0, 1, 8), chance.normal(0.5, 1, 8)) for _ in range(3)]
    whole = start_point(cases)
    monkeypatch.setattr(randomization, "MOST_ENUMERATED", 10)
    drawn = start_point(cases, chance=np.random.default_rng(3), draws=4000)
    assert (whole.exact, drawn.exact, drawn.n) == (True, False, 4000)
    assert drawn.p == pytest.approx(whole.p, abs=0.04)
    assert drawn == start_point(cases, chance=np.random.default_rng(3), draws=4000)
    with pytest.raises(BadValue) as caught:
        start_point(cases)
    assert caught.value.values["name"] == "chance"


def test_one_start_is_no_test() -> None:
    with pytest.raises(NotEnoughData) as caught:
        start_point([([1, 2, 3, 4, 5], [6, 7, 8, 9, 10])])
    assert (caught.value.n, caught.value.needed) == (1, 2)
    with pytest.raises(NotEnoughData):
        start_point([])


@pytest.mark.parametrize(
    "words", [{"statistic": "sum"}, {"across": "sum"}, {"least_a": 0}, {"least_b": 0}, {"draws": 0}]
)
def test_unknown_words_and_lengths(words: dict) -> None:
    with pytest.raises(BadValue):
        start_point([([1.0] * 6, [2.0] * 6)], **words)
