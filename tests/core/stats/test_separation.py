"""PAND: fewest removals against trying every removal, and sorting."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.core.faults import NotEnoughData, Undefined
from bylittle.core.stats import overlap, separation

# No time limit for one example: the machine may be busy.
quick = settings(max_examples=40, deadline=None)

small = st.lists(st.integers(0, 4).map(float), min_size=1, max_size=5)


def most_by_trying(a: list[float], b: list[float]) -> int:
    """The largest subsets of both phases that do not overlap."""
    subsets_a = [part for i in range(len(a) + 1) for part in itertools.combinations(a, i)]
    subsets_b = [part for i in range(len(b) + 1) for part in itertools.combinations(b, i)]
    return max(len(x) + len(y) for x in subsets_a for y in subsets_b if not x or not y or max(x) < min(y))


@quick
@given(small, small)
def test_fewest_removals_are_fewest(a: list[float], b: list[float]) -> None:
    assert separation.most_kept(np.array(a), np.array(b)) == most_by_trying(a, b)


@quick
@given(small, small)
def test_one_case_is_a_study_of_one(a: list[float], b: list[float]) -> None:
    assert separation.pand_of_study([(a, b)]) == overlap.pand(a, b).estimate


def test_forms_differ_when_values_tie() -> None:
    """Two baseline values above treatment: sorting swaps pairs, removals take one side only."""
    a, b = [1.0, 5.0, 5.0], [3.0, 4.0, 6.0, 7.0]
    assert separation.pand_by_sorting([(a, b)]).pand == pytest.approx(3 / 7)
    assert separation.pand_of_study([(a, b)]) == pytest.approx(5 / 7)


def test_ties_at_the_cut_stay_where_they_came_from() -> None:
    assert separation.pand_by_sorting([([5.0] * 20, [5.0] * 30)]).counts == ((20, 0), (0, 30))
    # 120 places for A: 40 + 40 ones, and 40 of the 120 twos, which are A's own.
    mixed = ([1.0, 2.0, 3.0] * 40, [2.0, 2.0, 3.0, 1.0] * 40)
    assert separation.pand_by_sorting([mixed]).counts == ((80, 40), (40, 120))


def test_direction_is_turned_round() -> None:
    a, b = [9.0, 8.0, 7.0], [3.0, 2.0, 8.0]
    assert separation.pand_by_sorting([(a, b)], "decrease") == separation.pand_by_sorting(
        [([-x for x in a], [-x for x in b])]
    )


def test_complete_separation_keeps_every_place() -> None:
    found = separation.pand_by_sorting([([1, 2], [3, 4, 5])])
    assert (found.pand, found.phi, found.counts) == (1.0, 1.0, ((2, 0), (0, 3)))


def test_no_case_is_refused() -> None:
    for measure in (separation.pand_of_study, separation.pand_by_sorting):
        with pytest.raises(NotEnoughData):
            measure([])


def test_counts_with_an_empty_margin_have_no_phi() -> None:
    with pytest.raises(Undefined):
        separation._phi(((0, 2), (0, 3)))
