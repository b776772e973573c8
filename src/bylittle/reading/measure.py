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
from bylittle.reading.crease import without_creases
from bylittle.reading.rings import Rings
from bylittle.reading.straighten import FINE, Sheet

Values = NDArray[np.float64]
Patches = NDArray[np.float32]

HALF_MM = 5.2  # of the square looked at; the next ring begins at 5.4
INSIDE_MM = BUBBLE - 0.45
CORE_MM = 1.6
CREASE_FROM = 0.08  # darkness from which a bubble is looked at for creases
PALE_CREASE, PALE_SHARE = 0.2, 0.4  # a crease is paler than the mark it crosses; a pen's line is not
STROKE = 0.25  # darkness from which a point outside the ring counts as ink
SECTORS = 8
# Usual spread of an eighth from which grain hides how well it is seen, and three are taken together.
UNEVEN = 0.08
USUAL_FROM = 40  # bubbles at most that say what a blank one looks like
PALE = 0.6  # share of the well-seen bubbles, the palest inside, that say how dark a blank ring is
PALEST = 0.4  # share of the well-seen bubbles, the palest inside, among which they are
LIKE = (0.8, 1.25)  # how far, as a ratio, the ring of such a bubble is from the usual at most
AROUND, NEAREST = 12, 7  # bubbles around one, and the palest of them, that say what is usual there
LOCAL_MM = 40.0  # how near the furthest of them is at most
LOCAL_FROM = 0.05  # darkness inside from which that is asked
MOST_LOCAL = 0.1  # darkness that it may differ from the page's usual
# Sigma of the smoothing of a calm photograph; a grainy one gets more, as much as its grain asks.
CALM_MM = 0.15
MOST_GRAIN, MOST_CALM = 0.02, 2.5  # grain that is calm enough; times that smoothing at most
MOST_USUAL = 0.15  # darkness inside a blank ring at most; more is ink, and then nothing there is blank
BEARINGS = 72  # directions in which ink outside the ring is looked for

_SIDE = int(2 * HALF_MM * FINE)
_AXIS = (np.arange(_SIDE) + 0.5 - _SIDE / 2) / FINE
_X, _Y = np.meshgrid(_AXIS, _AXIS)
_FAR = np.hypot(_X, _Y)
_INSIDE = _FAR < INSIDE_MM
_CORE = _FAR < CORE_MM
_AROUND = (_FAR > 1.25 * BUBBLE) & (_FAR < 2.0 * BUBBLE) & (np.indices(_FAR.shape) % 2 == 0).all(0)
_ANGLES = 2 * np.pi * np.arange(BEARINGS) / BEARINGS
_SECTOR = np.floor((np.arctan2(_Y, _X) + np.pi) / (2 * np.pi) * SECTORS).astype(int) % SECTORS
_OUTLINES = np.stack([(np.abs(_FAR - BUBBLE) < 0.45) & (sector == _SECTOR) for sector in range(SECTORS)])


@dataclass(frozen=True, slots=True)
class Measured:
    """One value for each bubble unless said; darkness 0..1.

    `mean` and `strong` (the darkest twentieth) inside the ring, after the blank bubble and creases are
    taken off; `core` is `strong` of the middle alone, where no ring reaches; `raw` is `strong` with creases
    and `crease` the width of what was taken off, millimetres; `covered` the share of the inside that is
    clearly inked, `dotted` the share at least half as dark as `strong`; `outline` how much of the ring's
    weakest eighth is seen, 1 as on most bubbles; `ringed` the ink that a circle drawn around the bubble
    leaves in nearly every direction; `arms` the directions with ink outside the ring at four distances
    (bubbles, distances, bearings); `seen`, `own` and `lost` as in `Rings`.
    `ring` is the page's usual ring contrast, `contrast` that of its markers.
    """

    mean: Values
    strong: Values
    raw: Values
    crease: Values
    core: Values
    covered: Values
    dotted: Values
    outline: Values
    ringed: Values
    arms: NDArray[np.bool_]
    seen: Values
    own: NDArray[np.bool_]
    lost: NDArray[np.bool_]
    ring: float
    contrast: float


ARM_DARK = (0.1, 0.2)  # least darkness of ink outside a pale and a dark mark
ARM_DISTANCES = (1.2, 1.38, 1.55, 1.75)  # in radii
CIRCLE = np.arange(0.85, 2.0, 0.07)  # in radii: where a circle drawn around a bubble runs
CIRCLE_SHARE = 0.15  # share of the directions that a circle may leave open


def measure(sheet: Sheet, rings: Rings, bubbles: tuple[Bubble, ...]) -> Measured:
    """Measure every bubble of a straightened page."""
    contrast = marker_contrast(sheet)
    patches = _patches(sheet.fine, rings.centres)
    darkness = _darkness(patches, contrast)
    usual = _usual(darkness, rings.seen)
    ink = _calmed(darkness - usual, CALM_MM)
    grain = _grain(ink)
    if grain > MOST_GRAIN:
        calm = CALM_MM * min(MOST_CALM, grain / MOST_GRAIN)
        ink, usual = _calmed(darkness - usual, calm), _calmed(usual[None], calm)[0]
    ink -= _local(ink, rings.centres)
    raw = _strong(ink[:, _INSIDE])
    inked = raw > CREASE_FROM
    clean = ink.copy()
    widths, depths = np.zeros(len(ink)), np.zeros(len(ink))
    if inked.any():
        clean[inked], widths[inked], depths[inked] = without_creases(ink[inked], _SIDE, FINE)
    inside = clean[:, _INSIDE]
    strong = _strong(inside)
    pale = (widths > 0) & (depths < np.minimum(PALE_CREASE, PALE_SHARE * strong))
    return Measured(
        mean=inside.mean(1),
        raw=raw,
        crease=widths,
        strong=strong,
        core=_strong(clean[:, _CORE]),
        covered=(inside > STROKE).mean(1),
        dotted=(inside > 0.5 * strong[:, None]).mean(1),
        outline=_outline(darkness, usual),
        ringed=_ringed(clean),
        arms=_arms(np.where(pale[:, None, None], clean, ink), bubbles, np.clip(0.3 * raw, *ARM_DARK)),
        seen=rings.seen,
        own=rings.own,
        lost=rings.lost,
        ring=_ring_contrast(usual),
        contrast=contrast,
    )


def _usual(darkness: Patches, seen: Values) -> Patches:
    """What a blank bubble looks like on this photograph, point by point.

    The palest of the well-seen ones whose rings are as dark as is usual among them: where a veil of glare
    lies over a part of the page, its bubbles are the palest of all, and no measure for the others.
    """
    well = np.flatnonzero(seen >= 0.85 * np.median(seen))
    pale = well[np.argsort(_strong(darkness[well][:, _INSIDE]))]
    pale = pale[: max(5, int(PALE * len(pale)))]
    rings = darkness[pale][:, _OUTLINES.any(0)].mean(1)
    middle = float(np.median(rings))
    few = pale[(rings > LIKE[0] * middle) & (rings < LIKE[1] * middle)]
    few = few[: max(5, int(PALEST * len(well)))]
    usual = np.median(darkness[few[:: max(1, len(few) // USUAL_FROM)]], axis=0)
    if usual[_INSIDE].mean() > MOST_USUAL:
        usual = np.where(_INSIDE, 0.0, usual)
    return np.asarray(usual, np.float32)


def _local(ink: Patches, centres: Values) -> Patches:
    """What the blank bubbles around each one that shows ink have in common, beyond the page's usual blank.

    Bent or smeared in another way there, their rings reach further in. The bubble itself has no say, and the
    palest of those around it alone are asked, so that a mark of a row never passes for its usual.
    """
    common = np.zeros_like(ink)
    strong = _strong(ink[:, _INSIDE])
    for number in np.flatnonzero(strong > LOCAL_FROM):
        far = np.hypot(*(centres - centres[number]).T)
        around = np.argsort(far)[1 : AROUND + 1]
        pale = around[np.argsort(strong[around])[:NEAREST]]
        if len(pale) == NEAREST and far[around[-1]] < LOCAL_MM:
            common[number] = np.clip(np.median(ink[pale], axis=0), -MOST_LOCAL, MOST_LOCAL)
    return common


def _calmed(patches: Patches, sigma_mm: float) -> Patches:
    return np.stack([cv2.GaussianBlur(patch, (0, 0), sigma_mm * FINE) for patch in patches])


def _grain(ink: Patches) -> float:
    """The grain of the photograph: the usual spread of the points inside one bubble."""
    inside = ink[:, _INSIDE]
    middle = np.median(inside, axis=1, keepdims=True)
    return float(np.median(np.median(np.abs(inside - middle), axis=1)) / 0.6745)


def _strong(inside: Patches) -> Values:
    """Darkness that one twentieth of the inside exceeds."""
    at = int(0.95 * inside.shape[1])
    return np.asarray(np.partition(inside, at, axis=1)[:, at], np.float64)


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
        move = np.array([[1, 0, x * FINE - _SIDE / 2], [0, 1, y * FINE - _SIDE / 2]], np.float32)
        cut = cv2.warpAffine(fine, move, (_SIDE, _SIDE), flags=flags, borderMode=cv2.BORDER_REPLICATE)
        patches[number] = cut
    return patches


def _darkness(patches: Patches, contrast: float) -> Patches:
    dark = 1 - patches / np.maximum(_paper(patches), 1.0)
    return np.asarray(dark / max(contrast, 0.15), np.float32)


def _paper(patches: Patches) -> Patches:
    """The light of the paper under each bubble: a plane through the light points around the ring.

    Weighted least squares; points darker than the plane lose their weight in three rounds.
    """
    x, y = _X[_AROUND].astype(np.float32), _Y[_AROUND].astype(np.float32)
    places = np.stack([np.ones_like(x), x, y])
    pairs = np.stack([places[i] * places[j] for i in range(3) for j in range(3)], 1)
    light = patches[:, _AROUND]
    start = np.partition(light, int(0.7 * light.shape[1]), axis=1)[:, int(0.7 * light.shape[1]), None]
    weight = (np.abs(light / np.maximum(start, 1) - 1) < 0.15) + np.float32(1e-3)
    for _ in range(3):
        normal = (weight @ pairs).reshape(-1, 3, 3)
        plane = np.linalg.solve(normal, ((weight * light) @ places.T)[..., None])[..., 0]
        off = light / np.maximum(plane @ places, 1) - 1
        weight = np.where(off > 0, 1 / (1 + (off / 0.08) ** 2), 1 / (1 + (off / 0.03) ** 4)) + 1e-4
        weight = weight.astype(np.float32)
    everywhere = np.stack([np.ones(_SIDE**2), _X.ravel(), _Y.ravel()]).astype(np.float32)
    return np.asarray((plane.astype(np.float32) @ everywhere).reshape(-1, _SIDE, _SIDE))


def _outline(darkness: Patches, usual: Patches) -> Values:
    """How well the weakest eighth of the ring is seen: a bright or hidden part leaves it unseen."""
    masks = (_OUTLINES / _OUTLINES.sum((1, 2), keepdims=True)).reshape(SECTORS, -1).astype(np.float32)
    seen = darkness.reshape(len(darkness), -1) @ masks.T
    expected = np.maximum(masks @ usual.ravel(), 1e-3)
    share = seen / expected
    middle = np.median(share, axis=0)
    if np.median(np.abs(share - middle)) > UNEVEN:
        seen, expected = _with_beside(seen), _with_beside(expected[None])[0]
    return np.asarray((seen / expected).min(1), np.float64)


def _with_beside(parts: Values) -> Values:
    return np.asarray(parts + np.roll(parts, 1, axis=1) + np.roll(parts, -1, axis=1))


def _ring_contrast(usual: Patches) -> float:
    return float(np.median([np.percentile(usual[outline], 90) for outline in _OUTLINES]))


def _arms(ink: Patches, bubbles: tuple[Bubble, ...], dark: Values) -> NDArray[np.bool_]:
    """Directions, 0 to the right and clockwise, with ink at each of the distances outside the ring.

    `dark` is what counts as ink beside each bubble: less than inside it, for a thin stroke pales sooner.
    """
    clear = {use: _unprinted(use, _ANGLES) for use in ("help", "who", "way")}
    inked = _along(ink, np.array(ARM_DISTANCES)) > dark[:, None, None]
    return np.asarray(inked & np.stack([clear[b.use] for b in bubbles])[:, None])


def _ringed(ink: Patches) -> Values:
    """What the darkest point of all but a few directions reaches, about the ring and outside it."""
    darkest = _along(ink, CIRCLE).max(axis=1)
    return np.asarray(np.quantile(darkest, CIRCLE_SHARE, axis=1), np.float64)


def _along(ink: Patches, radii: Values) -> Patches:
    """Ink at some distances, in radii of the ring, in every direction (bubbles, distances, bearings)."""
    far = radii[:, None] * BUBBLE * FINE
    columns = np.round(far * np.cos(_ANGLES) + _SIDE / 2 - 0.5).astype(int)
    rows = np.round(far * np.sin(_ANGLES) + _SIDE / 2 - 0.5).astype(int)
    return np.asarray(ink[:, rows.clip(0, _SIDE - 1), columns.clip(0, _SIDE - 1)])


def _unprinted(use: str, angles: Values) -> NDArray[np.bool_]:
    """Directions in which nothing is printed beside the bubble: names and words stand beside some."""
    if use == "who":
        return np.asarray((np.cos(angles) > -0.8) & (np.sin(angles) > -0.8))
    if use == "way":
        return np.asarray((np.cos(angles) < 0.8) & (np.sin(angles) > -0.9))
    return np.ones(len(angles), bool)
