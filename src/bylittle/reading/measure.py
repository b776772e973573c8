"""How much ink lies in and around each bubble, against the paper around it and the blank bubbles of the page.

Darkness is 0 for the paper beside the bubble and 1 for the black of the page's own corner markers, so light,
shade, haze and a copier's grey drop out. What most bubbles show (the printed ring, blurred as this photograph
blurs it) is taken off; the rest is ink.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from bylittle.core.sheet.geometry import BUBBLE, Bubble
from bylittle.reading.straighten import FINE, Rings, Sheet

Values = NDArray[np.float64]
Patches = NDArray[np.float32]

HALF_MM = 5.2  # of the square looked at; the next ring begins at 5.4
INSIDE_MM = BUBBLE - 0.45
STROKE = 0.25  # darkness from which a point outside the ring counts as ink
SECTORS = 8
BEARINGS = 72  # directions in which ink outside the ring is looked for

_SIDE = int(2 * HALF_MM * FINE)
_AXIS = (np.arange(_SIDE) + 0.5) / FINE - HALF_MM
_X, _Y = np.meshgrid(_AXIS, _AXIS)
_FAR = np.hypot(_X, _Y)
_INSIDE = _FAR < INSIDE_MM
_AROUND = (_FAR > 1.25 * BUBBLE) & (_FAR < 2.0 * BUBBLE) & (np.indices(_FAR.shape).sum(0) % 2 == 0)
_OUTLINE = np.abs(_FAR - BUBBLE) < 0.45
_SECTOR = np.floor((np.arctan2(_Y, _X) + np.pi) / (2 * np.pi) * SECTORS).astype(int) % SECTORS


@dataclass(frozen=True, slots=True)
class Measured:
    """One value for each bubble unless said; darkness 0..1.

    `mean` and `strong` (the darkest twentieth) inside the ring, after the blank bubble is taken off;
    `covered` the share of the inside that is clearly inked; `outline` how much of the ring's weakest eighth is
    seen, 1 as on most bubbles; `arms` the directions with ink outside the ring at three distances (bubbles,
    distances, bearings). `ring` is the page's usual ring contrast, `contrast` that of its markers.
    """

    mean: Values
    strong: Values
    covered: Values
    outline: Values
    arms: NDArray[np.bool_]
    seen: Values
    ring: float
    contrast: float


ARM_DISTANCES = (1.32, 1.55, 1.78)  # in radii


def measure(sheet: Sheet, rings: Rings, bubbles: tuple[Bubble, ...]) -> Measured:
    """Measure every bubble of a straightened page."""
    contrast = marker_contrast(sheet)
    patches = _patches(sheet.fine, rings.centres)
    darkness = _darkness(patches, contrast)
    usual = np.median(darkness, axis=0)
    ink = np.stack([cv2.GaussianBlur(patch, (0, 0), 0.15 * FINE) for patch in darkness - usual])
    inside = ink[:, _INSIDE]
    return Measured(
        mean=(darkness - usual)[:, _INSIDE].mean(1),
        strong=np.percentile(inside, 95, axis=1),
        covered=(inside > STROKE).mean(1),
        outline=_outline(darkness, usual),
        arms=np.stack([_arms(patch, bubble) for patch, bubble in zip(ink, bubbles, strict=True)]),
        seen=rings.seen,
        ring=_ring_contrast(usual),
        contrast=contrast,
    )


def marker_contrast(sheet: Sheet) -> float:
    """Darkness of the black of the corner markers against the paper around them, 0..1."""
    told = []
    for code in sheet.plane.found:
        box = sheet.plane.place(code)
        border = _cut(sheet, box.x + 0.7, box.y + 0.7, box.w - 1.4, 1.0)
        paper = _cut(sheet, box.x - 2.5, box.y - 2.5, box.w + 5.0, 1.5)
        told.append(1 - float(np.median(border)) / max(1.0, float(np.percentile(paper, 75))))
    return float(np.median(told))


def _cut(sheet: Sheet, x: float, y: float, w: float, h: float) -> NDArray[np.uint8]:
    left, top = max(0, round(x * FINE)), max(0, round(y * FINE))
    return sheet.fine[top : round((y + h) * FINE), left : round((x + w) * FINE)]


def _patches(fine: NDArray[np.uint8], centres: Values) -> Patches:
    patches = np.empty((len(centres), _SIDE, _SIDE), np.float32)
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    for number, (x, y) in enumerate(centres):
        move = np.array([[1, 0, (x - HALF_MM) * FINE], [0, 1, (y - HALF_MM) * FINE]], np.float32)
        cut = cv2.warpAffine(fine, move, (_SIDE, _SIDE), flags=flags, borderMode=cv2.BORDER_REPLICATE)
        patches[number] = cut
    return patches


def _darkness(patches: Patches, contrast: float) -> Patches:
    dark = 1 - patches / np.maximum(_paper(patches), 1.0)
    return np.asarray(dark / max(contrast, 0.15), np.float32)


def _paper(patches: Patches) -> Patches:
    """The light of the paper under each bubble: a plane through the light points around the ring."""
    places = np.stack([np.ones(_AROUND.sum()), _X[_AROUND], _Y[_AROUND]], 1).astype(np.float32)
    light = patches[:, _AROUND]
    start = np.percentile(light, 70, axis=1, keepdims=True)
    weight = (np.abs(light / np.maximum(start, 1) - 1) < 0.15) + 1e-3
    for _ in range(3):
        weighted = weight[..., None] * places
        normal = np.einsum("npi,pj->nij", weighted, places)
        plane = np.linalg.solve(normal, np.einsum("npi,np->ni", weighted, light)[..., None])[..., 0]
        off = light / np.maximum(plane @ places.T, 1) - 1
        weight = np.where(off > 0, 1 / (1 + (off / 0.08) ** 2), 1 / (1 + (off / 0.03) ** 4)) + 1e-4
    everywhere = np.stack([np.ones(_SIDE**2), _X.ravel(), _Y.ravel()], 1)
    return np.asarray((plane @ everywhere.T).reshape(-1, _SIDE, _SIDE), np.float32)


def _outline(darkness: Patches, usual: Values) -> Values:
    """How well the weakest eighth of the ring is seen: a bright or hidden part leaves it unseen."""
    weakest = np.full(len(darkness), np.inf)
    for sector in range(SECTORS):
        part = _OUTLINE & (_SECTOR == sector)
        expected = max(float(np.percentile(usual[part], 75)), 1e-3)
        weakest = np.minimum(weakest, np.percentile(darkness[:, part], 75, axis=1) / expected)
    return np.asarray(weakest)


def _ring_contrast(usual: Values) -> float:
    return float(np.median([np.percentile(usual[_OUTLINE & (_SECTOR == s)], 90) for s in range(SECTORS)]))


def _arms(ink: Patches, bubble: Bubble) -> NDArray[np.bool_]:
    """Directions, 0 to the right and clockwise, with ink at each of the distances outside the ring."""
    angles = 2 * np.pi * np.arange(BEARINGS) / BEARINGS
    clear = _unprinted(bubble, angles)
    rows = []
    for distance in ARM_DISTANCES:
        x = (distance * BUBBLE * np.cos(angles) + HALF_MM) * FINE - 0.5
        y = (distance * BUBBLE * np.sin(angles) + HALF_MM) * FINE - 0.5
        seen = cv2.remap(ink, x.astype(np.float32)[None], y.astype(np.float32)[None], cv2.INTER_LINEAR)[0]
        rows.append((seen > STROKE) & clear)
    return np.stack(rows)


def _unprinted(bubble: Bubble, angles: Values) -> NDArray[np.bool_]:
    """Directions in which nothing is printed beside the bubble: names and words stand beside some."""
    if bubble.use == "who":
        return np.asarray((np.cos(angles) > -0.2) & (np.sin(angles) > -0.6))
    if bubble.use == "way":
        return np.asarray(np.cos(angles) < 0.5)
    return np.ones(len(angles), bool)
