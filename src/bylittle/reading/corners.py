"""Find the corner markers of a sheet in a photograph and the plane they span."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from bylittle.core.sheet import geometry
from bylittle.core.sheet.shape import PAPERS, Paper
from bylittle.reading.pictures import Grey
from bylittle.reading.refusal import Refused

Points = NDArray[np.float32]

_SEARCH_SIDES = (1400, 2400)  # long side in pixels of the pictures that are searched, in turn
_CORRECTED_BITS = 1
LEAST_SCALE = 2.0  # pixels of the photograph for a millimetre of the page
MOST_BEND_MM = 9.0
LEAST_SPREAD = 30.0  # grey values between the dark and the light of a picture
EMPTY_ABOVE = 225.0  # a picture lighter than this throughout is an empty page
MOST_SOFT = 9.0  # pixels of the searched picture over which its sharpest edges run
_CODES = tuple(code for paper in PAPERS.values() for code in geometry.MARKERS[paper.name])


@dataclass(frozen=True, slots=True)
class Plane:
    """The paper, the way from page millimetres to photograph pixels, and what was found of the markers."""

    paper: Paper
    to_photo: NDArray[np.float64]
    found: dict[int, Points]
    scale: float

    def place(self, code: int) -> geometry.Box:
        return _places(self.paper)[code]


def find_plane(grey: Grey) -> Plane:
    """The plane of the one sheet in `grey`, mirrored as some phones' front cameras save it or not.

    Raises `Refused` where fewer than three corners are seen. A marker that is mirrored is none of ours, so
    that the two cannot be mistaken for each other.
    """
    try:
        return _unmirrored(grey)
    except Refused as refusal:
        if refusal.code not in ("corners_missing", "no_sheet"):
            raise
        try:
            return _turned_over(_unmirrored(np.ascontiguousarray(grey[:, ::-1])), grey.shape[1])
        except Refused:
            raise refusal from None


def _turned_over(plane: Plane, width: int) -> Plane:
    """The plane in the photograph as it is, found in one turned over from left to right."""
    over = np.array([[-1.0, 0, width - 1], [0, 1, 0], [0, 0, 1]])
    found = {
        code: np.stack([width - 1 - points[:, 0], points[:, 1]], 1) for code, points in plane.found.items()
    }
    return Plane(plane.paper, over @ plane.to_photo, found, plane.scale)


def _unmirrored(grey: Grey) -> Plane:
    found: dict[int, Points] = {}
    for side in _SEARCH_SIDES:
        found = _merge(found, _detect(grey, side))
        if any(all(code in found for code in codes) for codes in geometry.MARKERS.values()):
            break
        if side > max(grey.shape):
            break
    paper = _paper(found)
    corners = {code: found[code] for code in geometry.MARKERS[paper.name] if code in found}
    if len(corners) < 3:
        raise Refused(_why_not_found(grey, len(corners)), missing=4 - len(corners))
    return _plane(paper, {code: _refine(grey, points) for code, points in corners.items()})


def _why_not_found(grey: Grey, seen: int) -> str:
    """Too dark or pale, too blurred, or cut off: what a person should do differs."""
    ratio = min(1.0, _SEARCH_SIDES[0] / max(grey.shape))
    small = cv2.resize(grey, None, fx=ratio, fy=ratio, interpolation=cv2.INTER_AREA).astype(np.float32)
    dark, light = np.percentile(small, (1, 99))
    spread = float(light - dark)
    if spread < LEAST_SPREAD:
        return "no_sheet" if dark > EMPTY_ABOVE else "too_dark"
    soft = cv2.GaussianBlur(small, (0, 0), 1.2)
    slope = np.hypot(cv2.Sobel(soft, -1, 1, 0, scale=1 / 8), cv2.Sobel(soft, -1, 0, 1, scale=1 / 8))
    if spread > MOST_SOFT * float(np.percentile(slope, 99.9)):
        return "too_blurred"
    return "corners_missing" if seen else "no_sheet"


def _detector() -> cv2.aruco.ArucoDetector:
    whole = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    ours = cv2.aruco.Dictionary(whole.bytesList[list(_CODES)], 4, _CORRECTED_BITS)
    setting = cv2.aruco.DetectorParameters()
    setting.errorCorrectionRate = 1.0
    setting.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    setting.minMarkerPerimeterRate = 0.02
    setting.adaptiveThreshWinSizeMin = 5
    setting.adaptiveThreshWinSizeMax = 45
    setting.adaptiveThreshWinSizeStep = 20
    return cv2.aruco.ArucoDetector(ours, setting)


def _detect(grey: Grey, side: int) -> dict[int, Points]:
    ratio = min(1.0, side / max(grey.shape))
    small = cv2.resize(grey, None, fx=ratio, fy=ratio, interpolation=cv2.INTER_AREA) if ratio < 1 else grey
    corners, numbers, _ = _detector().detectMarkers(small)
    if numbers is None:
        return {}
    seen = [int(number) for number in numbers.ravel()]
    twice = [number for number, count in Counter(seen).items() if count > 1]
    found: dict[int, Points] = {}
    for number, points in zip(seen, corners, strict=True):
        square = ((points.reshape(4, 2) + 0.5) / ratio - 0.5).astype(np.float32)
        if number not in twice or _size(square) > _size(
            found.get(_CODES[number], np.zeros((4, 2), np.float32))
        ):
            found[_CODES[number]] = square
    if len(twice) >= 2 and _two_sheets(seen, corners, twice):
        raise Refused("several_sheets")
    return found


def _two_sheets(seen: list[int], corners: Sequence[NDArray[Any]], twice: list[int]) -> bool:
    """Whether doubled markers are both of a sheet's size; a reflection or a blot would be odd."""
    real = 0
    for number in twice:
        sizes = sorted(_size(c.reshape(4, 2)) for n, c in zip(seen, corners, strict=True) if n == number)
        real += sizes[-2] > 0.4 * sizes[-1]
    return real >= 2


def _size(square: Points) -> float:
    return float(np.sqrt(abs(cv2.contourArea(square.astype(np.float32)))))


def _merge(old: dict[int, Points], new: dict[int, Points]) -> dict[int, Points]:
    return {**new, **old}


def _paper(found: dict[int, Points]) -> Paper:
    counts = {name: sum(code in found for code in codes) for name, codes in geometry.MARKERS.items()}
    if min(counts.values()) >= 3:
        raise Refused("several_sheets")
    return PAPERS[max(counts, key=lambda name: counts[name])]


def _refine(grey: Grey, square: Points) -> Points:
    """The corners again on the full picture."""
    reach = int(max(2, min(12, _size(square) * 0.05)))
    criteria = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 20, 0.02)
    points = square.reshape(-1, 1, 2).copy()
    refined = cv2.cornerSubPix(grey, points, (reach, reach), (-1, -1), criteria).reshape(4, 2)
    moved = np.linalg.norm(refined - square, axis=1)
    return np.where((moved <= reach)[:, None], refined, square).astype(np.float32)


def _places(paper: Paper) -> dict[int, geometry.Box]:
    far_x = paper.width_mm - geometry.MARGIN - geometry.MARKER
    far_y = paper.height_mm - geometry.MARGIN - geometry.MARKER
    near, size = geometry.MARGIN, geometry.MARKER
    spots = ((near, near), (far_x, near), (far_x, far_y), (near, far_y))
    codes = geometry.MARKERS[paper.name]
    return {code: geometry.Box(x, y, size, size) for code, (x, y) in zip(codes, spots, strict=True)}


def _plane(paper: Paper, corners: dict[int, Points]) -> Plane:
    places = _places(paper)
    page = np.concatenate([np.array(places[code].corners, np.float64) for code in corners])
    photo = np.concatenate([corners[code] for code in corners]).astype(np.float64)
    matrix, _ = cv2.findHomography(page, photo, 0)
    to_photo = np.asarray(matrix if matrix is not None else np.nan, np.float64)
    if not np.isfinite(to_photo).all():
        raise Refused("not_flat")
    outline = _project(to_photo, np.array(geometry.Box(0, 0, paper.width_mm, paper.height_mm).corners))
    area = cv2.contourArea(outline.astype(np.float32), oriented=True)
    scale = float(np.sqrt(abs(area) / (paper.width_mm * paper.height_mm)))
    if area <= 0 or not cv2.isContourConvex(outline.astype(np.float32)):
        raise Refused("not_flat")
    if scale < LEAST_SCALE:
        raise Refused("too_small")
    bend = np.linalg.norm(_project(to_photo, page) - photo, axis=1).max() / scale
    if bend > MOST_BEND_MM:
        raise Refused("not_flat")
    return Plane(paper, to_photo, corners, scale)


def _project(matrix: NDArray[np.float64], points: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(
        cv2.perspectiveTransform(points.reshape(-1, 1, 2).astype(np.float64), matrix).reshape(-1, 2)
    )
