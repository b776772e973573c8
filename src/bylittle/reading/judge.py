"""From measured ink to marked, blank or doubtful. What is not clearly one or the other is asked about."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bylittle.core.sheet.geometry import Bubble
from bylittle.core.sheet.ink import BubbleInk, Ink
from bylittle.reading.measure import BEARINGS, Measured
from bylittle.reading.refusal import Refused

# Darkness of the darkest twentieth of the inside, on a sharp photograph without grain; tuned on simulated
# photographs (benchmarks/photos). What the palest third of the bubbles show is grain and is added.
BLANK_BELOW = 0.08
MARKED_ABOVE = 0.22
SOFT_RING = 0.55  # below this ring contrast the photograph is soft, and thin strokes pale with it
SOFTEST = 0.7
SOFTEST_BLANK = 0.7
SOFT_BLANK = 0.35  # the same for the limit of blank
MOST_GRAIN = 0.08
# Share of the limit of marked that the middle of the bubble shows: a bent ring never gets there.
IN_CORE = 0.7
SMUDGE_BELOW = 0.42  # an even grey needs more than a stroke does: a rubber leaves it pale
SMUDGE_LEAST = 0.28  # and at least this on a page whose other marks are of a pale pencil themselves
SMUDGE_SHARE = 0.8  # of the darkness of the page's usual mark
FEWEST_MARKS = 4  # from which there is a usual mark
LEFT_OF_LINE = 0.7  # share of the darkness that must stay once a dark line right across is taken off
STRAYED = 0.18  # share of the inside under which ink that comes from far outside is another mark's tail
# Share of the darkest twentieth that the mean reaches: in pale ink and in dark.
SMUDGE_EVEN, DARK_EVEN = 0.55, 0.67
DARK = 1.5  # times the limit of marked: from there on blur may have evened out a cross that no rubber touched
HIDDEN_BELOW = 0.3  # ring visibility under which glare or a thumb may hide ink
LOST_BELOW = 0.8  # the same for a bubble whose own ring was not found: beside it, the ring would pass for ink
FADED_BELOW = 0.8  # ring visibility under which ink inside has paled as well, so that less of it is no blank
CROSSED_APART = 75  # degrees between two long arms from which they cross a mark out
OPPOSITE = 130  # degrees between two arms from which they are one line through any mark
ALONG = 28  # degrees around the direction away from printed words
FAR_AND_WIDE = 0.15  # share of the directions far out in which darkness is a shadow or a stain and no stroke
SPREAD = 0.4  # share of the directions beside the ring from which ink there is a fill that spilled over
CREASE_ABOVE = 0.42  # darkness from which a line right across is no crease but a stroke, and asked about
SHADOW_MM = 1.7  # width from which what crosses a bubble is the edge of a shadow and no line
RINGED = 0.1  # ink all around a blank bubble from which somebody drew a circle around it: a mark, perhaps
FEWEST = 0.105  # share of the inside that a mark covers at least; less is a dot
FULL = 0.95  # covered share of a bubble in which a line through it cannot be seen
MOST_STUBS, STUB_WIDE = 4, 6  # ends of such lines: how many, and how wide each, in bearings
SOLID = 0.7  # covered share from which thin arms outside mean crossing out

LEAST_RING = 0.12
LEAST_CONTRAST = 0.22
LEAST_SEEN = 0.45
MOST_DOUBTFUL = 0.25  # share of the bubbles
MOST_TO_SETTLE = 40  # and number of them: a minute of tapping is more trouble than another photograph


@dataclass(frozen=True, slots=True)
class Thresholds:
    blank: float
    marked: float
    smudge: float


def check_page(measured: Measured) -> None:
    """Refuse a photograph on which even the printed rings are hardly seen."""
    if measured.contrast < LEAST_CONTRAST:
        raise Refused("too_dark")
    if measured.ring < LEAST_RING:
        raise Refused("too_blurred")
    if float(np.median(measured.seen)) < LEAST_SEEN:
        raise Refused("not_flat")


def judge(measured: Measured, bubbles: tuple[Bubble, ...]) -> tuple[BubbleInk, ...]:
    """The state of every bubble. Raises `Refused` where too many would have to be asked about."""
    limits = thresholds(measured)
    states = [_state(measured, number, limits, bubble.use) for number, bubble in enumerate(bubbles)]
    doubtful = sum(state is Ink.DOUBTFUL for state in states)
    if doubtful > min(MOST_TO_SETTLE, MOST_DOUBTFUL * len(states)):
        raise Refused("too_doubtful", share=round(100 * doubtful / len(states)))
    inks = np.clip(measured.mean, 0, 1)
    return tuple(
        BubbleInk(bubble, state, round(float(ink), 3))
        for bubble, state, ink in zip(bubbles, states, inks, strict=True)
    )


def thresholds(measured: Measured) -> Thresholds:
    """Limits of this photograph: where the printed rings are soft, thin strokes are as soft."""
    soft = float(np.clip(measured.ring / SOFT_RING, SOFTEST, 1))
    soft_blank = float(np.clip(measured.ring / SOFT_BLANK, SOFTEST_BLANK, 1))
    grain = float(np.clip(np.percentile(measured.strong, 33), 0, MOST_GRAIN))
    marked = MARKED_ABOVE * soft + grain
    inked = measured.strong[measured.strong > marked]
    usual = float(np.percentile(inked, 60)) if len(inked) >= FEWEST_MARKS else 1.0
    smudge = float(np.clip(SMUDGE_SHARE * usual, SMUDGE_LEAST, SMUDGE_BELOW))
    return Thresholds(BLANK_BELOW * soft_blank + grain, marked, smudge)


def _state(measured: Measured, number: int, limits: Thresholds, use: str) -> Ink:
    strong, mean = float(measured.strong[number]), float(measured.mean[number])
    least = HIDDEN_BELOW if measured.own[number] else LOST_BELOW
    if measured.lost[number] or measured.outline[number] < least:
        return Ink.DOUBTFUL
    if strong < limits.blank * min(1.0, measured.outline[number] / FADED_BELOW):
        crease = measured.raw[number] >= CREASE_ABOVE and measured.crease[number] < SHADOW_MM
        return Ink.DOUBTFUL if crease or measured.ringed[number] > RINGED else Ink.BLANK
    if measured.core[number] < IN_CORE * limits.marked:
        return Ink.DOUBTFUL
    if strong < limits.marked or _smudged(strong, mean, limits) or measured.dotted[number] < FEWEST:
        return Ink.DOUBTFUL
    if _line_across(measured, number) or _strayed(measured.arms[number], float(measured.dotted[number])):
        return Ink.DOUBTFUL
    if _crossed_out(measured.arms[number], float(measured.covered[number]), use):
        return Ink.DOUBTFUL
    return Ink.MARKED


def _smudged(strong: float, mean: float, limits: Thresholds) -> bool:
    """Pale and even, as a rubber leaves it."""
    even = DARK_EVEN if strong > DARK * limits.marked else SMUDGE_EVEN
    return strong < limits.smudge and mean > even * strong


def _line_across(measured: Measured, number: int) -> bool:
    """A dark line right across, a copier's streak for one, of which something is left over."""
    raw, strong = float(measured.raw[number]), float(measured.strong[number])
    return 0 < measured.crease[number] < SHADOW_MM and raw >= CREASE_ABOVE and strong < LEFT_OF_LINE * raw


def _strayed(arms: NDArray[np.bool_], dotted: float) -> bool:
    """Little ink inside, and a stroke that comes from far outside: the tail of a neighbour's mark."""
    _, near, middle, far = arms
    return dotted < STRAYED and bool((near & _widened(middle & _widened(far))).any())


def _crossed_out(arms: NDArray[np.bool_], covered: float, use: str) -> bool:
    """Strokes that leave the ring on several sides: a line or cross through the mark, a crease, a shadow.

    Where words stand beside a bubble half a line is hidden, so that one arm away from them will do.
    """
    beside, near, middle, far = arms
    if far.mean() > FAR_AND_WIDE:
        return True
    line = near & _widened(middle)
    if _apart(middle & _widened(far), CROSSED_APART) or _apart(line, OPPOSITE):
        return True
    if (line & _beside_words(use)).any():
        return True
    if covered <= SOLID:
        return False
    thin = _narrow(beside) & _widened(_narrow(near))
    if beside.mean() <= SPREAD and (thin.any() if use != "help" else _apart(thin, OPPOSITE)):
        return True
    return covered > FULL and _stubs(beside)


def _stubs(beside: NDArray[np.bool_]) -> bool:
    """A few thin ends on opposite sides of a full bubble: the line through it is hidden, its ends are not."""
    runs = _runs(beside) if beside.any() else []
    few = 2 <= len(runs) <= MOST_STUBS and all(length <= STUB_WIDE for _, length in runs)
    return few and _apart(beside, OPPOSITE)


def _beside_words(use: str) -> NDArray[np.bool_]:
    """Directions straight away from the words printed beside a bubble, none where there are none."""
    bearings = np.arange(BEARINGS) * 360 / BEARINGS
    away = {"who": 0.0, "way": 180.0}.get(use)
    if away is None:
        return np.zeros(BEARINGS, bool)
    return np.asarray(np.abs((bearings - away + 180) % 360 - 180) <= ALONG)


def _widened(arms: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """With three bearings more on each side: a stroke need not run straight outwards."""
    return np.asarray(np.logical_or.reduce([np.roll(arms, step) for step in range(-3, 4)]), bool)


def _narrow(arms: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Arms no wider than a stroke; the edge of a fill that spilled over is wide."""
    kept = np.zeros_like(arms)
    for start, length in _runs(arms):
        if length <= BEARINGS // 9:
            kept[np.arange(start, start + length) % BEARINGS] = True
    return kept


def _runs(arms: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Start and length of each run of True around the circle."""
    if arms.all():
        return [(0, len(arms))]
    starts = np.flatnonzero(arms & ~np.roll(arms, 1))
    return [(int(start), int(np.argmin(np.roll(arms, -start)))) for start in starts]


def _apart(arms: NDArray[np.bool_], degrees: int) -> bool:
    """Whether two separate arms lie at least that far apart, middle to middle.

    Ink that runs on around the bubble is one arm, however wide: a fill that spilled far over, and no stroke.
    """
    if arms.sum() < 2:
        return False
    middles = np.array([start + (length - 1) / 2 for start, length in _runs(arms)])
    apart = np.abs(middles[:, None] - middles[None]) % BEARINGS
    return bool(np.minimum(apart, BEARINGS - apart).max() >= BEARINGS * degrees / 360)
