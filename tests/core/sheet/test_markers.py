"""The corner markers are those of the vision library's own dictionary."""

from __future__ import annotations

import itertools

import cv2
import numpy as np
import pytest

from bylittle.core.sheet import geometry, markers

CODES = [code for codes in geometry.MARKERS.values() for code in codes]


def cells(code: int) -> np.ndarray:
    picture = np.full((markers.CELLS, markers.CELLS), 255, np.uint8)
    for row, column in markers.black_cells(code):
        picture[row, column] = 0
    return picture


@pytest.mark.parametrize("code", CODES)
def test_cells_are_those_that_opencv_draws(code: int) -> None:
    """OpenCV 5.0, cv2.aruco.DICT_4X4_50."""
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    assert (cells(code) == cv2.aruco.generateImageMarker(dictionary, code, markers.CELLS)).all()


def test_no_marker_looks_like_another_in_any_turn() -> None:
    for one, other in itertools.combinations(CODES, 2):
        turned = [np.rot90(cells(other), turn) for turn in range(4)]
        assert min((cells(one) != picture).sum() for picture in turned) >= 6
