"""What counts as blank and as marked on a photograph as soft as this one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bylittle.core.sheet.geometry import page
from bylittle.core.sheet.ink import Ink
from bylittle.core.sheet.shape import A4, Shape
from bylittle.reading.judge import judge, thresholds
from bylittle.reading.measure import ARM_DISTANCES, BEARINGS, Measured

BUBBLES = page(Shape(A4, 4, 3, 1, 4, 1), 1).bubbles
COUNT = len(BUBBLES)


def measured(
    ring: float, strong: float, outline: float = 1.0, grain: tuple[float, float] = (0.01, 0.07)
) -> Measured:
    """A page of blank bubbles that show `grain`, and one bubble that shows `strong`."""
    shown = np.linspace(*grain, COUNT)
    shown[0] = strong
    outlines = np.ones(COUNT)
    outlines[0] = outline
    sure = np.ones(COUNT, bool)
    nothing = np.zeros(COUNT)
    return Measured(
        mean=0.4 * shown,
        strong=shown,
        raw=shown,
        crease=nothing,
        covered=nothing,
        dotted=np.full(COUNT, 0.35),
        outline=outlines,
        arms=np.zeros((COUNT, len(ARM_DISTANCES), BEARINGS), bool),
        seen=np.ones(COUNT),
        own=sure,
        lost=~sure,
        ring=ring,
        contrast=0.83,
    )


@pytest.mark.parametrize(
    "page_seen",
    [measured(0.155, 0.105, 0.99), measured(0.226, 0.107, 0.57, (0.04, 0.085))],
    ids=["slash", "tick"],
)
def test_a_thin_stroke_that_blur_has_paled_is_asked_about(page_seen: Measured) -> None:
    """The measures of a slash and a tick on two blurred simulated photographs, once read as blank."""
    states = [ink.state for ink in judge(page_seen, BUBBLES)]
    assert states[0] is Ink.DOUBTFUL
    assert set(states[1:]) == {Ink.BLANK}


def test_a_softer_photograph_leaves_less_room_for_blank_and_none_gives_more_room_for_marked() -> None:
    sharp, soft, softest = (thresholds(measured(ring, 0.03)) for ring in (0.6, 0.3, 0.15))
    assert sharp.blank > soft.blank > softest.blank
    assert softest.marked == soft.marked
    assert softest.marked - softest.blank > sharp.marked - sharp.blank


def test_a_sharp_photograph_keeps_its_limits() -> None:
    sharp = measured(0.6, 0.03)
    assert thresholds(sharp) == thresholds(replace(sharp, ring=0.9))
