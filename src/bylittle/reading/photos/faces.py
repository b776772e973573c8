"""Faces on a picture as boxes for a person to check. Never a promise that all are found.

The net is CenterFace (Xu and others, arXiv 1911.03599; MIT), run by OpenCV. It was made from photos of
crowds; children's faces, turned or half hidden ones may be missed, so the boxes are offered, not trusted.
"""

from __future__ import annotations

import threading
from functools import cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from bylittle.reading.photos.boxes import Box, strongest, with_new
from bylittle.reading.photos.opening import smaller

MODEL = Path(__file__).parent / "models" / "centerface.onnx"
OUTPUTS = ("537", "538", "539", "540")  # how likely, size, offset, points of the face
STRENGTH = 0.4  # from which a place counts as a face: low, for a box too many is easily taken off
AROUND = 1.3  # hair, ears and chin belong to a face
LOOKS = (480, 1280)  # pixels of the long side at each look: near faces in the first, far ones in the second
MOST_PLACES = 400  # of the net's answer that are looked at; a crowd has fewer
CELL = 4  # pixels of the picture for each place of the net's answer

Answer = NDArray[np.float32]
_one_at_a_time = threading.Lock()


@cache
def _net() -> Any:
    return cv2.dnn.readNetFromONNX(str(MODEL))


def faces(picture: Image.Image) -> list[Box]:
    """Boxes around what looks like a face, near ones first; empty where nothing does.

    Looked at in two sizes: in a large picture a near face is more than the net can take in at once.
    """
    seen = smaller(picture.convert("RGB"), LOOKS[-1])
    found: list[Box] = []
    for long_side in LOOKS:
        found = with_new(found, _look(smaller(seen, long_side)))
        if max(seen.size) <= long_side:
            break
    return found


def _look(seen: Image.Image) -> list[Box]:
    width, height = (-(-side // 32) * 32 for side in seen.size)
    blob = cv2.dnn.blobFromImage(np.asarray(seen), size=(width, height), swapRB=False, crop=False)
    with _one_at_a_time:
        net = _net()
        net.setInput(blob)
        likely, size, offset, _points = net.forward(list(OUTPUTS))
    return boxes_of(likely, size, offset)


def boxes_of(likely: Answer, size: Answer, offset: Answer, strength: float = STRENGTH) -> list[Box]:
    """The net's answer as boxes (shares of the picture), the surest first.

    `likely` is (1, 1, rows, columns); `size` and `offset` are (1, 2, rows, columns): the logarithm of
    height and width in cells, and the shift of the middle down and right. Overlapping places are one face.
    """
    rows, columns = _places(likely[0, 0], strength)
    if not rows.size:
        return []
    high, wide = (np.exp(size[0, axis, rows, columns]) * CELL for axis in (0, 1))
    top = (rows + offset[0, 0, rows, columns] + 0.5) * CELL - high / 2
    left = (columns + offset[0, 1, rows, columns] + 0.5) * CELL - wide / 2
    edges = np.stack([left, top, left + wide, top + high], axis=1).astype(np.float32)
    strong = likely[0, 0, rows, columns]
    full = np.array(likely.shape[:1:-1], dtype=np.float32) * CELL  # width, height in pixels
    return [_box(edges[row], full).wider(AROUND) for row in strongest(edges, strong)]


def _places(likely: Answer, strength: float) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Rows and columns of the likely places, the likeliest first."""
    rows, columns = np.nonzero(likely > strength)
    order = np.argsort(-likely[rows, columns], kind="stable")[:MOST_PLACES]
    return rows[order], columns[order]


def _box(edges: NDArray[np.float32], full: NDArray[np.float32]) -> Box:
    left, top, right, bottom = (float(edge) for edge in edges / np.tile(full, 2))
    return Box(left, top, right - left, bottom - top)
