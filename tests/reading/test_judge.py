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
from bylittle.reading.refusal import Refused

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
        core=shown.copy(),
        crease=nothing,
        covered=nothing,
        dotted=np.full(COUNT, 0.35),
        outline=outlines,
        ringed=np.full(COUNT, 0.03),
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


def test_a_softer_photograph_lowers_both_limits_down_to_a_least_and_keeps_them_apart() -> None:
    sharp, soft, softer, softest = (thresholds(measured(ring, 0.03)) for ring in (0.6, 0.4, 0.32, 0.1))
    assert sharp.marked > soft.marked > softer.marked == softest.marked
    assert sharp.blank == soft.blank > softer.blank > softest.blank > 0.05
    for limits in (sharp, soft, softer, softest):
        assert limits.marked - limits.blank > 0.065


def test_ink_that_is_too_pale_for_a_stroke_is_no_blank_on_a_sharp_copy() -> None:
    """A pencil tick of which a copier left a few dots, once read as blank: its measures."""
    states = [ink.state for ink in judge(measured(0.59, 0.112, 0.97, (0.006, 0.012)), BUBBLES)]
    assert states[0] is Ink.DOUBTFUL
    assert set(states[1:]) == {Ink.BLANK}


@pytest.mark.parametrize(("doubtful", "settled"), [(9, True), (41, False)])
def test_a_page_is_refused_rather_than_handed_over_with_a_minute_of_questions(
    doubtful: int, settled: bool
) -> None:
    page_seen = measured(0.6, 0.01)
    page_seen.lost[:doubtful] = True
    if settled:
        assert sum(ink.state is Ink.DOUBTFUL for ink in judge(page_seen, BUBBLES)) == doubtful
        return
    with pytest.raises(Refused) as refused:
        judge(page_seen, BUBBLES)
    assert refused.value.code == "too_doubtful"


def test_a_cross_that_blur_has_evened_out_is_marked_and_a_pale_rubbed_one_is_asked_about() -> None:
    """The measures of a cross and of a rubbed-out fill on two blurred simulated photographs."""
    cross, rubbed = measured(0.14, 0.31), measured(0.2, 0.17)
    cross.mean[0], rubbed.mean[0] = 0.61 * 0.31, 0.76 * 0.17
    assert judge(cross, BUBBLES)[0].state is Ink.MARKED
    assert judge(rubbed, BUBBLES)[0].state is Ink.DOUBTFUL


def test_a_sharp_photograph_keeps_its_limits() -> None:
    sharp = measured(0.6, 0.03)
    assert thresholds(sharp) == thresholds(replace(sharp, ring=0.9))


def test_ink_that_hugs_the_ring_and_never_reaches_the_middle_is_asked_about() -> None:
    """What a ring that is bent or smeared otherwise than the page's usual leaves inside."""
    bent = measured(0.27, 0.24)
    bent.core[0] = 0.02
    assert judge(bent, BUBBLES)[0].state is Ink.DOUBTFUL
    assert judge(measured(0.27, 0.24), BUBBLES)[0].state is Ink.MARKED


def test_a_circle_drawn_around_a_blank_bubble_is_asked_about() -> None:
    seen = measured(0.5, 0.02)
    assert judge(seen, BUBBLES)[0].state is Ink.BLANK
    circled = np.full(COUNT, 0.03)
    circled[0] = 0.3
    states = [each.state for each in judge(replace(seen, ringed=circled), BUBBLES)]
    assert states == [Ink.DOUBTFUL, *[Ink.BLANK] * (COUNT - 1)]
