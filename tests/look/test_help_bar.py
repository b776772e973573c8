"""Help drawn as share: full is alone, empty is the fullest help, the word always there."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bylittle.core.faults import BadValue
from bylittle.core.plan.home_plan import PlannedStep
from bylittle.core.skill.ladder import DEFAULT_LADDER, Ladder
from bylittle.look import chain_line, help_bar, type_scale

SVG = "{http://www.w3.org/2000/svg}"


def test_the_ends_of_the_ladder() -> None:
    assert help_bar.cells(0, DEFAULT_LADDER) == (False,) * 5
    assert help_bar.cells(5, DEFAULT_LADDER) == (True,) * 5


@given(st.integers(2, 8), st.data())
def test_as_many_filled_as_rungs_climbed(length: int, data: st.DataObject) -> None:
    ladder = Ladder(tuple(f"level {n}" for n in range(length)))
    level = data.draw(st.integers(0, ladder.top))
    cells = help_bar.cells(level, ladder)
    assert len(cells) == ladder.top
    assert sum(cells) == level
    assert help_bar.cells(level, ladder, right_to_left=True) == cells[::-1]
    assert list(cells) == sorted(cells, reverse=True)


def test_a_level_off_the_ladder_is_refused() -> None:
    for level in (-1, 6):
        with pytest.raises(BadValue):
            help_bar.cells(level, DEFAULT_LADDER)


def test_the_bar_on_screen_carries_its_word_safely() -> None:
    drawn = ElementTree.fromstring(help_bar.svg(1, DEFAULT_LADDER, 'light "touch" <b>'))
    assert drawn.attrib["aria-label"] == 'light "touch" <b>'
    fills = [rect.attrib["fill"] for rect in drawn.iter(f"{SVG}rect")]
    assert fills == ["currentColor", "none", "none", "none", "none"]


def test_the_chain_on_screen_is_solid_where_the_child_is_asked() -> None:
    steps = (PlannedStep("a", "A"), PlannedStep("b", "B", asked=True, help_level=1))
    nodes = chain_line.nodes(steps)
    assert [(node.number, node.solid) for node in nodes] == [(1, False), (2, True)]
    drawn = ElementTree.fromstring(chain_line.svg(nodes, "You do 1. Wren does 2."))
    xs = [float(circle.attrib["cx"]) for circle in drawn.iter(f"{SVG}circle")]
    fills = [circle.attrib["fill"] for circle in drawn.iter(f"{SVG}circle")]
    assert xs[0] < xs[1]
    assert fills[1] == "currentColor" != fills[0]
    mirrored = ElementTree.fromstring(chain_line.svg(nodes, "", right_to_left=True))
    assert [float(circle.attrib["cx"]) for circle in mirrored.iter(f"{SVG}circle")] == xs[::-1]


@given(st.integers(1, 20), st.integers(1, 6))
def test_lines_of_a_chain_hold_every_step_evenly(count: int, widest: int) -> None:
    rows = chain_line.rows(count, widest)
    assert sum(rows) == count
    assert max(rows) <= widest
    assert max(rows) - min(rows) <= 1


def test_type_grows_as_one_thing() -> None:
    scale = type_scale.for_print(14)
    assert scale.cue > scale.title > scale.heading > scale.body > scale.small
    assert type_scale.for_print(28).title == pytest.approx(2 * scale.title)
    assert type_scale.check_family_size(18) == 18
    for size in (13.9, 18.1):
        with pytest.raises(BadValue):
            type_scale.check_family_size(size)
