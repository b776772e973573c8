"""One mark, one interval: the golden table and the laws around it."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bylittle.core.faults import BadValue
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.practice.marks import Outcome, Source, Status, reach_of
from bylittle.core.skill.ladder import DEFAULT_LADDER

GOLDEN = Path(__file__).parents[2] / "reference" / "marks" / "marks.csv"
TOP = DEFAULT_LADDER.top


def rows() -> list[dict[str, str]]:
    with GOLDEN.open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def reach_of_row(row: dict[str, str]):
    word = row["result"]
    needed = None
    if word.startswith("needed "):
        word, needed = "needed", DEFAULT_LADDER.index(row["result"].removeprefix("needed "))
    offered = DEFAULT_LADDER.index(row["offered"]) if row["offered"] else None
    order = OrderOfHelp(row["order_of_help"] or "fixed offer")
    outcome = Outcome(word)
    return reach_of(
        outcome, top=TOP, offered=offered, needed=needed, order=order, source=Source(row["source"])
    )


@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row['source']}-{row['offered']}-{row['result']}")
def test_golden_table(row: dict[str, str]) -> None:
    if row["status"] == "fault":
        with pytest.raises(BadValue):
            reach_of_row(row)
        return
    reach = reach_of_row(row)
    assert reach.status == row["status"]
    assert (reach.lo, reach.hi) == (int(row["lo"]), int(row["hi"]))
    if row["exact"]:
        assert reach.exact == (row["exact"] == "yes")


def test_golden_table_is_all_there() -> None:
    assert len(rows()) == 22


@given(st.integers(2, 8), st.data())
def test_a_done_mark_never_leaves_the_ladder(levels: int, data: st.DataObject) -> None:
    top = levels - 1
    offered = data.draw(st.integers(0, top))
    needed = data.draw(st.integers(0, top))
    reach = reach_of(Outcome.NEEDED, top=top, offered=offered, needed=needed)
    assert reach.status is Status.DONE
    assert 0 <= reach.lo <= reach.hi <= top


@given(st.integers(1, 7))
def test_managed_and_not_managed_share_the_ladder_without_gap(offered: int) -> None:
    managed = reach_of(Outcome.MANAGED, top=7, offered=offered)
    missed = reach_of(Outcome.NOT_MANAGED, top=7, offered=offered)
    assert missed.hi + 1 == managed.lo


@pytest.mark.parametrize("outcome", [Outcome.MANAGED, Outcome.NOT_MANAGED])
def test_an_outcome_without_its_offer_is_refused(outcome: Outcome) -> None:
    with pytest.raises(BadValue) as caught:
        reach_of(outcome, top=TOP)
    assert caught.value.code == "offer_missing"


def test_a_level_off_the_ladder_is_refused() -> None:
    with pytest.raises(BadValue) as caught:
        reach_of(Outcome.MANAGED, top=3, offered=4)
    assert caught.value.values["allowed"] == (0, 3)
