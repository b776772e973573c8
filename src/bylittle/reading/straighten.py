"""The sheet laid flat: the photograph warped to page millimetres, and where each bubble really stands.

The plane of the corner markers is a first guess. Paper curls, so the rings of each day first vote on one
shift, then each ring is looked for around where its neighbours were found, and must agree with them.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from bylittle.core.sheet.geometry import Bubble
from bylittle.reading.corners import Plane
from bylittle.reading.pictures import Grey

FINE = 6.4  # pixels a millimetre of the straightened page
COARSE = 3.2  # and of the picture in which rings are looked for
VOTE_REACH = 8.0  # how far a day as a whole is looked for, millimetres
VOTE_STEP = 0.5
REACH = 2.6  # how far from its guess a ring is looked for, millimetres
SURE = 0.6  # correlation with a ring from which a find counts
AGREED = 0.8  # how far a find may lie from what its neighbours say, millimetres
LENIENT = 0.05  # and this much more for each millimetre that the nearest of them is away beyond `NEAR`
NEAR = 14.0  # how far a neighbour's word carries, millimetres

Field = NDArray[np.float64]
Map = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A straightened page: `fine` has `FINE` pixels a millimetre, row 0 at the page's top."""

    fine: Grey
    plane: Plane


@dataclass(frozen=True, slots=True)
class Rings:
    """Where the bubbles stand on the straightened page (millimetres); how well each ring is seen, -1..1."""

    centres: Field
    seen: Field


def straighten(grey: Grey, plane: Plane) -> Sheet:
    """Warp the photograph to the page."""
    to_page = np.diag([1 / FINE, 1 / FINE, 1.0])
    to_page[:2, 2] = 0.5 / FINE
    grey, halved = _halved(grey, plane.scale)
    matrix = halved @ plane.to_photo @ to_page
    size = (round(plane.paper.width_mm * FINE), round(plane.paper.height_mm * FINE))
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    fine = cv2.warpPerspective(grey, matrix, size, flags=flags, borderMode=cv2.BORDER_REPLICATE)
    return Sheet(np.asarray(fine, np.uint8), plane)


def _halved(grey: Grey, scale: float) -> tuple[Grey, Field]:
    """A photograph much finer than the page needs is averaged down first, which also calms its grain."""
    if scale < 1.6 * FINE:
        return grey, np.eye(3)
    small = cv2.resize(grey, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    return np.asarray(small, np.uint8), np.array([[0.5, 0, -0.25], [0, 0.5, -0.25], [0, 0, 1]])


def find_rings(sheet: Sheet, bubbles: tuple[Bubble, ...]) -> Rings:
    """Each bubble's place: tracked outwards from the markers, then held against its neighbours."""
    places = np.array([(b.x, b.y) for b in bubbles])
    boxes = [sheet.plane.place(code) for code in sheet.plane.found]
    anchors = np.array([(box.x + box.w / 2, box.y + box.h / 2) for box in boxes])
    likeness = _likeness(sheet.fine, bubbles[0].r)
    shifts, seen = np.zeros_like(places), np.zeros(len(places))
    for group in _groups(bubbles):
        shifts[group], seen[group] = _track(likeness, places[group], _vote(likeness, places[group]))
    return Rings(places + _agreed(places, shifts, seen, anchors), seen)


def _likeness(fine: Grey, radius: float) -> Map:
    """How much each point of the page looks like a ring's middle: a correlation that ignores the inside.

    Dark on the ring and light outside it is all that counts, so a filled bubble is found as well as a blank.
    """
    coarse = cv2.resize(fine, None, fx=COARSE / FINE, fy=COARSE / FINE, interpolation=cv2.INTER_AREA)
    picture = coarse.astype(np.float32) / 255 - 0.5
    wanted, weight = _ring(radius)
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


def _groups(bubbles: tuple[Bubble, ...]) -> list[NDArray[np.int_]]:
    """Bubbles that stand together: those of a day, and the row below the table."""
    days = np.array([bubble.day or 0 for bubble in bubbles])
    return [np.flatnonzero(days == day) for day in np.unique(days)]


def _vote(likeness: Map, places: Field) -> Field:
    """The one shift under which most rings of a group are seen; in doubt the smaller one.

    A neighbouring column or row never wins: shifted by one, the group sticks out over its own edge.
    """
    broad = cv2.dilate(likeness, np.ones((5, 5), np.uint8))
    steps = np.arange(-VOTE_REACH, VOTE_REACH + VOTE_STEP / 2, VOTE_STEP)
    shift_x, shift_y = (grid.ravel() for grid in np.meshgrid(steps, steps))
    height, width = likeness.shape
    columns = np.clip((places[:, :1] + shift_x) * COARSE - 0.5, 0, width - 1).round().astype(int)
    rows = np.clip((places[:, 1:] + shift_y) * COARSE - 0.5, 0, height - 1).round().astype(int)
    votes = np.clip(broad[rows, columns], 0, 1).mean(0) - 0.01 * np.hypot(shift_x, shift_y)
    best = int(np.argmax(votes))
    return np.array([shift_x[best], shift_y[best]])


def _track(likeness: Map, places: Field, start: Field) -> tuple[Field, Field]:
    """Shift and certainty of each bubble of a group, from its middle outwards; `start` is its vote."""
    shifts, seen = np.zeros_like(places), np.zeros(len(places))
    middle = places.mean(0)
    known, told = np.empty_like(places), np.empty_like(places)
    count = 0
    for number in np.argsort(np.hypot(*(places - middle).T), kind="stable"):
        at = places[number]
        far = np.hypot(known[:count, 0] - at[0], known[:count, 1] - at[1])
        guess = start
        if count and far.min() < 2 * NEAR:
            weight = np.exp((far.min() - far) / 8)
            guess = weight @ told[:count] / weight.sum()
        shift, seen[number] = _peak(likeness, at + guess)
        shifts[number] = guess + shift
        if seen[number] >= SURE:
            known[count], told[count] = at, shifts[number]
            count += 1
    return shifts, seen


def _peak(likeness: Map, at: Field) -> tuple[Field, float]:
    """Shift in millimetres from `at` to the likeliest ring within reach, and its likeness."""
    steps = int(REACH * COARSE)
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


def _agreed(places: Field, shifts: Field, seen: Field, anchors: Field) -> Field:
    """Each bubble's own find where it is sure and its neighbours agree; else what they say."""
    points = np.concatenate([places, anchors])
    told = np.concatenate([shifts, np.zeros_like(anchors)])
    trust = np.concatenate([np.where(seen >= SURE, seen, 0.0), np.full(len(anchors), 0.3)])
    around = _local(points, told, trust)[: len(places)]
    apart = np.hypot(*(shifts - around).T)
    away = np.hypot(*(places[None] - places[:, None]).transpose(2, 0, 1))
    np.fill_diagonal(away, np.inf)
    nearest = np.where(seen >= SURE, away, np.inf).min(1)
    allowed = AGREED + LENIENT * np.clip(nearest - NEAR, 0, 40)
    odd = (apart > allowed) | (seen < SURE)
    trust[: len(places)][odd] = 0.0
    around = _local(points, told, trust)[: len(places)]
    return np.where(odd[:, None], around, 0.8 * shifts + 0.2 * around)


def _local(points: Field, told: Field, trust: Field) -> Field:
    """What the others say at each point: a plane through their shifts, the near ones counting most."""
    gap = points[None] - points[:, None]
    far = np.hypot(gap[..., 0], gap[..., 1])
    np.fill_diagonal(far, np.inf)
    heard = np.where(trust > 0, far, np.inf)
    reach = np.maximum(NEAR, np.sort(heard, axis=1)[:, min(3, len(points) - 1)])[:, None]
    weight = trust[None] * np.exp(-far / np.where(np.isfinite(reach), reach, NEAR) * 1.5)
    design = np.concatenate([np.ones((*far.shape, 1)), gap / NEAR], axis=2)
    weighted = weight[..., None] * design
    normal = np.einsum("npi,npj->nij", weighted, design)
    normal += np.diag([1e-9, 0.05, 0.05]) * (1e-6 + weight.sum(1))[:, None, None]
    right = np.einsum("npi,pk->nik", weighted, told)
    return np.asarray(np.linalg.solve(normal, right)[:, 0])
