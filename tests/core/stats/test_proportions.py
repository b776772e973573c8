"""Wilson interval against statsmodels and scipy."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest
from statsmodels.stats.proportion import proportion_confint

from bylittle.core.faults import BadValue, NotEnoughData
from bylittle.core.stats.proportions import wilson

REFERENCE = json.loads(
    (Path(__file__).parents[2] / "reference" / "agreement" / "agreement.json").read_text("utf-8")
)

# No time limit for one example: the machine may be busy.
quick = settings(max_examples=40, deadline=None)
CHECK = next(check for check in REFERENCE["checks"] if check["name"].startswith("Wilson"))
counts = st.integers(1, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@pytest.mark.parametrize("example", CHECK["examples"])
def test_reference_example(example: dict) -> None:
    expected = (example["lower"], example["upper"])
    assert wilson(example["successes"], example["n"]) == pytest.approx(expected, abs=CHECK["tolerance"])


@quick
@given(counts, st.floats(0.5, 0.999))
def test_limits_are_those_of_statsmodels_and_scipy(count: tuple[int, int], level: float) -> None:
    k, n = count
    found = wilson(k, n, level)
    assert found == pytest.approx(proportion_confint(k, n, alpha=1 - level, method="wilson"), abs=1e-9)
    assert found == pytest.approx(tuple(binomtest(k, n).proportion_ci(level, method="wilson")), abs=1e-9)


@quick
@given(counts)
def test_limits_hold_the_share_and_mirror(count: tuple[int, int]) -> None:
    k, n = count
    low, high = wilson(k, n)
    assert 0.0 <= low <= k / n <= high <= 1.0
    other_low, other_high = wilson(n - k, n)
    assert (other_low, other_high) == pytest.approx((1 - high, 1 - low))
    wider = wilson(k, n, 0.99)
    assert wider[0] <= low
    assert wider[1] >= high


def test_outer_limits_are_exact() -> None:
    for n in range(1, 100):
        assert wilson(0, n)[0] == wilson(0, n, 0.9)[0] == 0.0
        assert wilson(n, n)[1] == wilson(n, n, 0.9)[1] == 1.0


def test_no_try_is_too_few() -> None:
    with pytest.raises(NotEnoughData) as caught:
        wilson(0, 0)
    assert (caught.value.n, caught.value.needed) == (0, 1)


@pytest.mark.parametrize(
    "arguments",
    [(5, 4), (-1, 4), (1.5, 4), (1, 4.5), (math.nan, 4), (1, math.inf), (1, math.nan), (1, -2), ("1", 4)],
)
def test_counts_are_whole_and_fit(arguments: tuple) -> None:
    with pytest.raises(BadValue):
        wilson(*arguments)


@pytest.mark.parametrize("level", [0.0, 1.0, 95, math.nan])
def test_level_lies_between_0_and_1(level: float) -> None:
    with pytest.raises(BadValue):
        wilson(1, 4, level)
