"""The sheet laid flat: the photograph warped to page millimetres by the plane of its corner markers."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from bylittle.reading.corners import Plane
from bylittle.reading.pictures import Grey

FINE = 6.4  # pixels a millimetre of the straightened page

Field = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A straightened page: `fine` has `FINE` pixels a millimetre, row 0 at the page's top."""

    fine: Grey
    plane: Plane


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
