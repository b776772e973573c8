"""Timed units by the customary rounding."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bylittle.core.evidence.timed_units import units_of
from bylittle.core.faults import BadValue


@pytest.mark.parametrize(
    ("first", "last", "units"),
    [(0, 7, 0), (8, 22, 1), (23, 37, 2), (38, 52, 3), (53, 67, 4), (68, 82, 5), (83, 97, 6)],
)
def test_the_table_of_the_claims_manual_at_both_ends_of_each_row(first: int, last: int, units: int) -> None:
    """Medicare claims processing manual, chapter 5, section 20.2 (as quoted in several summaries)."""
    assert (units_of(first), units_of(last)) == (units, units)


@pytest.mark.parametrize(("minutes", "units"), [(41, 3), (37, 2), (50, 3)])
def test_worked_examples(minutes: int, units: int) -> None:
    """Common practice: the usual worked examples of that table."""
    assert units_of(minutes) == units


@given(st.integers(0, 1425))
def test_fifteen_minutes_more_are_one_unit_more(minutes: int) -> None:
    assert units_of(minutes + 15) == units_of(minutes) + 1


@pytest.mark.parametrize("minutes", [-1, 1441])
def test_no_day_has_such_minutes(minutes: int) -> None:
    with pytest.raises(BadValue):
        units_of(minutes)
