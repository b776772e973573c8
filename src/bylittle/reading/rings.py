"""Where each bubble really stands on a straightened page, for paper curls.

From the corner markers on, day by day, the rings are looked for where the bend of what is known already leads
one to expect them. A day taken for its neighbouring row or column would be read wrong without a word: where
the bend does not rule that out, the day must be seen better where it is than moved on by one, or is given up.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from bylittle.core.sheet.geometry import Bubble
from bylittle.reading.bend import MOST_AT_ONCE, NOISE, Bend
from bylittle.reading.pictures import Grey
from bylittle.reading.straighten import FINE, Sheet

COARSE = 3.2  # pixels a millimetre of the picture in which rings are looked for
VOTE_REACH = 9.0  # how far a day as a whole is looked for at most, millimetres
VOTE_STEP = 0.5
REACH = 1.9  # how far from its guess a ring is looked for, millimetres
SURE = 0.6  # correlation with a ring from which a find counts
# Usual correlation under which the ring is looked for as this photograph shows it, not as printed.
SHARP = 0.75
BEST = 0.25  # share of the rings, the best-seen, that teach how it does
PLACED = 0.35  # standard deviation, millimetres, under which the others say where a bubble is
SEEN_IN_PLACE = 0.35  # correlation that is enough for a ring just there
AGREED = 0.6  # how far a find may lie from what the others say, millimetres, and twice how unsure they are
RULED_OUT = 1.3  # standard deviation, millimetres, under which the bend leaves no room for a whole row
LEAD = 0.8  # rings by which a day must fit better than moved on by one row or column
LOST = 1.0  # standard deviation, millimetres, from which a bubble without a ring of its own is given up
LEFT_OVER = 0.7  # correlation of a ring that no bubble of the page accounts for
FEWEST_KNOWN = 16  # known points around a day that are asked with its own
FEW_LEFT = 3  # such rings beside a day from which the day is given up

Field = NDArray[np.float64]
Flags = NDArray[np.bool_]
Map = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Rings:
    """Where the bubbles stand on the straightened page (millimetres); how well each ring is seen, -1..1.

    `own` is False where a bubble's place is only what the others say; `lost` True where that is too little.
    """

    centres: Field
    seen: Field
    own: Flags
    lost: Flags


@dataclass(frozen=True, slots=True)
class _Found:
    """The bubbles of a day: their shifts and certainty, and whether it could as well be the next row."""

    shifts: Field
    seen: Field
    unsure: bool


def find_rings(sheet: Sheet, bubbles: tuple[Bubble, ...]) -> Rings:
    """Each bubble's place: its day's vote, its own find, and what all the others say to that."""
    picture = _coarse(sheet.fine)
    wanted, weight = _ring(bubbles[0].r)
    rings = _found(sheet, bubbles, _likeness(picture, wanted, weight))
    if np.median(rings.seen) >= SHARP:
        return rings
    learnt = _learnt_ring(picture, rings, weight)
    return _found(sheet, bubbles, _likeness(picture, learnt, weight))


def _found(sheet: Sheet, bubbles: tuple[Bubble, ...], likeness: Map) -> Rings:
    places = np.array([(b.x, b.y) for b in bubbles])
    broad = np.asarray(cv2.dilate(likeness, np.ones((5, 5), np.uint8)), np.float32)
    bend = _corners(sheet)
    shifts, seen, lost = np.zeros_like(places), np.zeros(len(places)), np.zeros(len(places), bool)
    left = _groups(bubbles)
    while left:
        _, unsure = bend.thinned().at(np.array([places[members].mean(0) for members in left]))
        members = left.pop(int(np.argmin(unsure)))
        found = _find_group(likeness, broad, places[members], bend)
        shifts[members], seen[members], lost[members] = found.shifts, found.seen, found.unsure
        if not found.unsure:
            bend = _learnt(bend, places[members], found.shifts, found.seen)
    return _agreed(likeness, bubbles, places, shifts, np.where(lost, 0.0, seen), _corners(sheet))


def _corners(sheet: Sheet) -> Bend:
    """What the corners of the markers tell of the bend."""
    flat = np.concatenate([np.array(sheet.plane.place(code).corners) for code in sheet.plane.found])
    photo = np.concatenate(list(sheet.plane.found.values())).astype(np.float64)
    back = np.linalg.inv(sheet.plane.to_photo)
    there = cv2.perspectiveTransform(photo.reshape(-1, 1, 2), back).reshape(-1, 2)
    return Bend(flat, there - flat, np.full(len(flat), NOISE))


def _groups(bubbles: tuple[Bubble, ...]) -> list[NDArray[np.int_]]:
    """Bubbles that stand together: those of a day, and the row below the table."""
    days = np.array([bubble.day or 0 for bubble in bubbles])
    return [np.flatnonzero(days == day) for day in np.unique(days)]


def _find_group(likeness: Map, broad: Map, places: Field, bend: Bend) -> _Found:
    """A day where it is seen best; unsure where it is seen as well a row or column further on."""
    bend = bend.near(places, MOST_AT_ONCE - min(len(places), MOST_AT_ONCE // 2))
    guess, spread = bend.at(places)
    unsure = float(np.median(spread))
    vote = _vote(broad, places + guess, unsure)
    shifts, seen = _track(likeness, places, guess + vote, bend)
    if unsure < RULED_OUT:
        return _Found(shifts, seen, False)
    moves = _moves(places)
    for _ in range(3):
        fits = [_fit(broad, places + shifts + move) for move in moves]
        lead = _fit(broad, places + shifts) - max(fits, default=-np.inf)
        if lead >= 0:
            break
        shifts, seen = _track(likeness, places, shifts + moves[int(np.argmax(fits))], bend)
    return _Found(shifts, seen, lead < LEAD)


def _vote(broad: Map, places: Field, unsure: float) -> Field:
    """The one shift under which most rings of a group are seen; in doubt the nearer to the expected one."""
    reach = min(VOTE_REACH, 1.0 + 3 * unsure)
    steps = np.arange(-reach, reach + VOTE_STEP / 2, VOTE_STEP)
    across, down = (grid.ravel() for grid in np.meshgrid(steps, steps))
    moved = places[:, None] + np.stack([across, down], 1)
    far = 0.5 * (across**2 + down**2) / (0.5 + unsure) ** 2
    votes = np.clip(_at(broad, moved), 0, 1).mean(0) - 0.04 * far
    best = int(np.argmax(votes))
    return np.array([across[best], down[best]])


def _track(likeness: Map, places: Field, start: Field, bend: Bend) -> tuple[Field, Field]:
    """Shift and certainty of each bubble of a group, from its middle outwards in two rounds."""
    far = np.hypot(*(places - places.mean(0)).T)
    order = np.argsort(far, kind="stable")
    guess = start
    for share in (0.4, 1.0):
        inner = order[: max(3, round(share * len(order)))]
        shifts, seen = _peaks(likeness, places[inner], guess[inner])
        sure = seen >= SURE
        if share < 1.0 and sure.any():
            known = _learnt(bend, places[inner][sure], shifts[sure], seen[sure])
            guess = known.at(places)[0]
    full, certain = np.zeros_like(places), np.zeros(len(places))
    full[inner], certain[inner] = shifts, seen
    return full, certain


def _learnt(bend: Bend, places: Field, shifts: Field, seen: Field) -> Bend:
    """The bend with the rings that were clearly seen, a stray one of them left out."""
    sure = seen >= SURE
    if not sure.any():
        return bend
    known = bend.near(places[sure], max(FEWEST_KNOWN, MOST_AT_ONCE - int(sure.sum())))
    more = known.joined(places[sure], shifts[sure], NOISE / seen[sure])
    good = _agreeing(more)[len(known.points) :]
    new = np.flatnonzero(sure)[good]
    return bend.joined(places[new], shifts[new], NOISE / seen[new])


def _agreeing(bend: Bend) -> Flags:
    """Which of the known points lie where all the others would have them."""
    said, spread = bend.others()
    return np.asarray(np.hypot(*(bend.shifts - said).T) <= AGREED + 2 * spread)


def _moves(places: Field) -> list[Field]:
    """One row up or down, one column left or right, where a group has several."""
    moves = []
    for axis in (0, 1):
        steps = np.diff(np.unique(places[:, axis].round(2)))
        steps = steps[steps > 7]
        if len(steps):
            step = np.zeros(2)
            step[axis] = float(np.median(steps))
            moves += [step, -step]
    return moves


def _fit(broad: Map, at: Field) -> float:
    """How many rings are seen at these places."""
    return float(np.clip(_at(broad, at), 0, 1).sum())


def _at(picture: Map, at: Field) -> Map:
    height, width = picture.shape
    columns = np.clip(at[..., 0] * COARSE - 0.5, 0, width - 1).round().astype(int)
    rows = np.clip(at[..., 1] * COARSE - 0.5, 0, height - 1).round().astype(int)
    return np.asarray(picture[rows, columns], np.float32)


def _coarse(fine: Grey) -> Map:
    small = cv2.resize(fine, None, fx=COARSE / FINE, fy=COARSE / FINE, interpolation=cv2.INTER_AREA)
    return np.asarray(small.astype(np.float32) / 255 - 0.5, np.float32)


def _learnt_ring(picture: Map, rings: Rings, weight: Map) -> Map:
    """What a ring looks like on this photograph, blurred and smeared as it is: a kernel as `_ring` gives it.

    The middle of the best-seen rings, each brought to the same light and contrast.
    """
    best = np.argsort(-rings.seen)[: max(10, int(BEST * len(rings.seen)))]
    side = weight.shape[0]
    middles = [(float(x), float(y)) for x, y in rings.centres[best] * COARSE - 0.5]
    cuts = np.stack([cv2.getRectSubPix(picture, (side, side), middle) for middle in middles])
    level = np.asarray(cuts - (cuts * weight).sum((1, 2), keepdims=True), np.float32)
    spread = np.sqrt(np.maximum((weight * level**2).sum((1, 2), keepdims=True), 1e-9))
    usual = np.median(level / spread, axis=0)
    usual -= (weight * usual).sum()
    return np.asarray(weight * usual / np.sqrt((weight * usual * usual).sum()), np.float32)


def _likeness(picture: Map, wanted: Map, weight: Map) -> Map:
    """How much each point of the page looks like a ring's middle: a correlation that ignores the inside.

    Dark on the ring and light outside it is all that counts, so a filled bubble is found as well as a blank.
    """
    border = cv2.BORDER_REPLICATE
    with_ring = cv2.filter2D(picture, -1, wanted, borderType=border)
    mean = cv2.filter2D(picture, -1, weight, borderType=border)
    square = cv2.filter2D(picture * picture, -1, weight, borderType=border)
    spread = np.sqrt(np.maximum(square - mean * mean, 1e-6))
    return np.asarray(with_ring / spread, np.float32)


def _ring(radius: float) -> tuple[Map, Map]:
    """Kernel of the ring, scaled so that a perfect ring correlates to 1, and the weights it looks with."""
    half = int(np.ceil((radius + 1.0) * COARSE))
    y, x = np.mgrid[-half : half + 1, -half : half + 1] / COARSE
    off = np.hypot(x, y) - radius
    weight = 1 / (1 + np.exp(-(off + 0.45) / 0.08)) / (1 + np.exp((off - 0.95) / 0.08))
    weight /= weight.sum()
    light = 1 - np.exp(-0.5 * (off / 0.25) ** 2)
    light = np.where(off < 0, 0.5 * light, light)
    light -= (weight * light).sum()
    wanted = weight * light / np.sqrt((weight * light * light).sum())
    return wanted.astype(np.float32), weight.astype(np.float32)


def _peaks(likeness: Map, places: Field, guess: Field) -> tuple[Field, Field]:
    """Shift in millimetres of each place to the likeliest ring around its guess, and its likeness."""
    found = [_peak(likeness, at) for at in places + guess]
    return guess + np.array([shift for shift, _ in found]), np.array([seen for _, seen in found])


def _peak(likeness: Map, at: Field, reach: float = REACH) -> tuple[Field, float]:
    """Shift in millimetres from `at` to the likeliest ring within reach, and its likeness."""
    steps = int(reach * COARSE)
    x, y = np.round(at * COARSE - 0.5).astype(int)
    height, width = likeness.shape
    if not (steps < x < width - steps - 1 and steps < y < height - steps - 1):
        return np.zeros(2), 0.0
    window = likeness[y - steps : y + steps + 1, x - steps : x + steps + 1]
    row, column = divmod(int(np.argmax(window)), window.shape[1])
    peak = np.array([x + column - steps, y + row - steps], float)
    peak += _subpixel(window, row, column)
    return (peak + 0.5) / COARSE - at, float(window[row, column])


def _subpixel(window: Map, row: int, column: int) -> Field:
    last = window.shape[0] - 1
    if not (0 < row < last and 0 < column < last):
        return np.zeros(2)
    middle = window[row, column]
    across = _vertex(window[row, column - 1], middle, window[row, column + 1])
    down = _vertex(window[row - 1, column], middle, window[row + 1, column])
    return np.array([across, down])


def _vertex(before: float, at: float, after: float) -> float:
    """Where the parabola through three heights has its top, in steps from the middle one."""
    bend = float(before) - 2 * float(at) + float(after)
    return max(-0.5, min(0.5, 0.5 * (float(before) - float(after)) / bend)) if bend < 0 else 0.0


def _agreed(
    likeness: Map, bubbles: tuple[Bubble, ...], places: Field, shifts: Field, seen: Field, corners: Bend
) -> Rings:
    """Each bubble's own find where it is sure and the others agree; else what they say, or lost.

    Where the others leave little room, a ring that is only just seen in its place is enough.
    """
    own = seen >= SURE
    groups = _groups(bubbles)
    for members in groups:
        mine = members[own[members]]
        around = np.setdiff1d(np.flatnonzero(seen >= SURE), mine)
        others = corners.joined(places[around], shifts[around], NOISE / seen[around])
        others = others.near(places[members], max(FEWEST_KNOWN, MOST_AT_ONCE - len(mine)))
        every = others.joined(places[mine], shifts[mine], NOISE / seen[mine])
        own[mine] = _agreeing(every)[len(others.points) :]
    kept = corners.joined(places[own], shifts[own], NOISE / seen[own])
    told, unsure = np.zeros_like(places), np.zeros_like(seen)
    for members in groups:
        told[members], unsure[members] = kept.near(places[members]).at(places[members])
    weak = np.flatnonzero(~own & (unsure < PLACED))
    for number in weak:
        shift, seen[number] = _peak(likeness, places[number] + told[number], AGREED)
        own[number] = seen[number] >= SEEN_IN_PLACE
        told[number] += np.where(own[number], 0.5, 0.0) * shift
    centres = places + np.where((seen >= SURE)[:, None] & own[:, None], 0.8 * shifts + 0.2 * told, told)
    lost = ~own & (unsure > LOST)
    return Rings(centres, seen, own, lost | _beside_left_over(likeness, centres, bubbles))


def _beside_left_over(likeness: Map, centres: Field, bubbles: tuple[Bubble, ...]) -> Flags:
    """Bubbles of a day beside which rings stand that no bubble accounts for: the day may be off by one."""
    tops = (likeness >= LEFT_OVER) & (likeness >= cv2.dilate(likeness, np.ones((9, 9), np.uint8)))
    rows, columns = np.nonzero(tops)
    rings = (np.stack([columns, rows], 1) + 0.5) / COARSE
    days = np.array([bubble.day or 0 for bubble in bubbles])
    far = np.hypot(*(rings[:, None] - centres[None]).transpose(2, 0, 1))
    beside = (far.min(1) > 2.2) & (far.min(1) < 11.5)
    near = days[far.argmin(1)[beside]]
    odd = [day for day in np.unique(days) if (near == day).sum() >= FEW_LEFT]
    return np.isin(days, odd)
