"""The sheet laid flat: the photograph warped to page millimetres, and where each bubble really stands.

The plane of the corner markers is a first guess. Paper curls, so each bubble's printed ring is looked for
around where its neighbours, nearer to a marker, were found; a smooth field through all finds is kept.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from bylittle.core.sheet import geometry
from bylittle.core.sheet.geometry import Bubble
from bylittle.reading.corners import Plane
from bylittle.reading.pictures import Grey

FINE = 8.0  # pixels a millimetre of the straightened page
COARSE = 4.0
FIRST_REACH, FINE_REACH = 2.6, 0.9  # how far a ring is looked for, millimetres
SURE = 0.5  # correlation with a ring from which a find counts

Field = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A straightened page: `fine` has `FINE` pixels a millimetre, row 0 at the page's top."""

    fine: Grey
    plane: Plane


@dataclass(frozen=True, slots=True)
class Rings:
    """Where the bubbles stand on the straightened page (millimetres) and how well each ring is seen, -1..1."""

    centres: Field
    seen: Field


def straighten(grey: Grey, plane: Plane) -> Sheet:
    """Warp the photograph to the page."""
    to_page = np.diag([1 / FINE, 1 / FINE, 1.0])
    to_page[:2, 2] = 0.5 / FINE
    matrix = plane.to_photo @ to_page
    size = (round(plane.paper.width_mm * FINE), round(plane.paper.height_mm * FINE))
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    fine = cv2.warpPerspective(grey, matrix, size, flags=flags, borderMode=cv2.BORDER_REPLICATE)
    return Sheet(np.asarray(fine, np.uint8), plane)


def find_rings(sheet: Sheet, bubbles: tuple[Bubble, ...]) -> Rings:
    """Each bubble's place: tracked outwards from the markers, then made smooth, then refined."""
    places = np.array([(b.x, b.y) for b in bubbles])
    coarse = cv2.resize(sheet.fine, None, fx=COARSE / FINE, fy=COARSE / FINE, interpolation=cv2.INTER_AREA)
    ring = _template(bubbles[0].r, COARSE)
    anchors = _anchors(sheet.plane)
    shifts, seen = _track(coarse, ring, places, anchors)
    smooth = _smooth(places, shifts, seen, anchors)
    fine_ring = _template(bubbles[0].r, FINE)
    for number, place in enumerate(places):
        shift, seen[number] = _find(sheet.fine, fine_ring, place + smooth[number], FINE_REACH, FINE)
        shifts[number] = smooth[number] + shift
    return Rings(places + _settle(places, smooth, shifts, seen), seen)


def _anchors(plane: Plane) -> Field:
    boxes = [plane.place(code) for code in plane.found]
    return np.array([(box.x + box.w / 2, box.y + box.h / 2) for box in boxes])


def _track(grey: Grey, ring: Field, places: Field, anchors: Field) -> tuple[Field, Field]:
    """Shift and certainty of each bubble, those nearest to a marker first."""
    shifts, seen = np.zeros_like(places), np.zeros(len(places))
    away = np.linalg.norm(places[:, None] - anchors[None], axis=2).min(1)
    done: list[int] = []
    for number in np.argsort(away, kind="stable"):
        guess = _from_neighbours(places, shifts, seen, done, anchors, places[number])
        shift, seen[number] = _find(grey, ring, places[number] + guess, FIRST_REACH, COARSE)
        shifts[number] = guess + shift if seen[number] >= SURE else guess
        done.append(int(number))
    return shifts, seen


def _from_neighbours(
    places: Field, shifts: Field, seen: Field, done: list[int], anchors: Field, at: Field
) -> Field:
    """What the bubbles found so far near `at` say of the shift there; a corner marker says none."""
    known = np.array(done, int)
    sure = known[seen[known] >= SURE]
    places, shifts = np.concatenate([anchors, places[sure]]), np.concatenate([anchors * 0, shifts[sure]])
    far = np.linalg.norm(places - at, axis=1)
    weight = np.exp(-(far - far.min()) / 8)
    return np.asarray(weight @ shifts / weight.sum())


def _template(radius: float, scale: float) -> Field:
    """A printed ring as a template: dark on the ring, light on both sides of it."""
    half = int(np.ceil((radius + 1.0) * scale))
    y, x = np.mgrid[-half : half + 1, -half : half + 1] / scale
    off = np.hypot(x, y) - radius
    return np.asarray(255 * (1 - np.exp(-0.5 * (off / 0.25) ** 2)), np.float32)


def _find(grey: Grey, ring: Field, at: Field, reach: float, scale: float) -> tuple[Field, float]:
    """Shift in millimetres from `at` to the best ring within `reach`, and its correlation."""
    half, steps = ring.shape[0] // 2, int(np.ceil(reach * scale))
    middle = np.round(at * scale - 0.5).astype(int)
    left, top = middle - half - steps
    right, foot = middle + half + steps + 1
    if left < 0 or top < 0 or right > grey.shape[1] or foot > grey.shape[0]:
        return np.zeros(2), 0.0
    window = grey[top:foot, left:right]
    match = cv2.matchTemplate(window.astype(np.float32), ring, cv2.TM_CCOEFF_NORMED)
    match = np.nan_to_num(match, nan=0.0, posinf=0.0, neginf=0.0)
    _, best, _, (x, y) = cv2.minMaxLoc(match)
    peak = np.array([x, y], float) + _subpixel(match, x, y)
    return (middle + peak - steps + 0.5) / scale - at, float(best)


def _subpixel(match: Field, x: int, y: int) -> Field:
    shift = np.zeros(2)
    if 0 < x < match.shape[1] - 1:
        shift[0] = _vertex(match[y, x - 1], match[y, x], match[y, x + 1])
    if 0 < y < match.shape[0] - 1:
        shift[1] = _vertex(match[y - 1, x], match[y, x], match[y + 1, x])
    return shift


def _vertex(before: float, at: float, after: float) -> float:
    bend = before - 2 * at + after
    return float(np.clip(0.5 * (before - after) / bend, -0.5, 0.5)) if bend < 0 else 0.0


def _smooth(places: Field, shifts: Field, seen: Field, anchors: Field) -> Field:
    """A cubic field through the finds and the markers, far finds made light (Tukey's biweight)."""
    points = np.concatenate([places, anchors])
    pulled = np.concatenate([shifts, np.zeros_like(anchors)])
    sure = np.concatenate([np.where(seen >= SURE, seen, 1e-3), np.ones(len(anchors))])
    design = _terms(points)[:, : max(1, min(10, len(points) // 4))]
    weight = sure
    field = np.zeros_like(pulled)
    for _ in range(6):
        normal = design.T @ (design * weight[:, None]) + 1e-3 * np.eye(design.shape[1])
        field = design @ np.linalg.solve(normal, design.T @ (pulled * weight[:, None]))
        off = np.linalg.norm(pulled - field, axis=1)
        wide = max(0.6, 3 * float(np.median(off)))
        weight = sure * np.clip(1 - (off / wide) ** 2, 0, 1) ** 2 + 1e-6
    return np.asarray(field[: len(places)])


def _terms(points: Field) -> Field:
    """1, y, x, y2 ... of the cubic in both directions, lowest first, over the span of the points."""
    middle, span = points.mean(0), np.maximum(np.ptp(points, axis=0), 1.0)
    x, y = ((points - middle) / span * 2).T
    powers = sorted(((i, j) for i in range(4) for j in range(4 - i)), key=sum)
    return np.stack([x**i * y**j for i, j in powers], 1)


def _settle(places: Field, smooth: Field, shifts: Field, seen: Field) -> Field:
    """Own find where it is sure and agrees with its neighbours; else what they say."""
    apart = shifts - smooth
    far = np.linalg.norm(places[:, None] - places[None], axis=2)
    weight = np.exp(-0.5 * (far / 12) ** 2) * np.where(seen >= SURE, seen, 0)[None]
    np.fill_diagonal(weight, 0)
    total = weight.sum(1, keepdims=True)
    around = np.where(total > 0.3, weight @ apart / np.maximum(total, 1e-9), 0)
    off = np.linalg.norm(apart - around, axis=1)
    sure = seen >= max(SURE, 0.8 * float(np.median(seen)))
    own = sure & (off < 0.45)
    return smooth + np.where(own[:, None], 0.7 * apart + 0.3 * around, around)
