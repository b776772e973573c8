"""Read a sheet's id from its two codes, at the places where they stand on the straightened page."""

from __future__ import annotations

from collections.abc import Iterator

import cv2
import numpy as np
import zxingcpp
from numpy.typing import NDArray

from bylittle.core.sheet import geometry, identity
from bylittle.core.sheet.geometry import Box
from bylittle.core.sheet.identity import SheetId, WrongId
from bylittle.core.sheet.shape import Shape
from bylittle.reading.pictures import Grey
from bylittle.reading.refusal import Refused
from bylittle.reading.straighten import FINE, Sheet

Cells = NDArray[np.float32]

_MARGIN = 3.6  # millimetres looked at around a code; its white border is as wide
_QR_CELLS = 21
_MATRIX_CELLS = (16, 18)


def read_number(sheet: Sheet) -> SheetId:
    """The id that the codes of `sheet` agree on.

    Raises `Refused`: none can be read, they say different numbers, or the number is not for such a page.
    """
    page = geometry.pages(Shape(sheet.plane.paper, 1, 1, 1, 2))[0]
    codes = (
        (_crop(sheet.fine, page.qr), zxingcpp.BarcodeFormat.QRCode, (_QR_CELLS,)),
        (_crop(sheet.fine, page.matrix), zxingcpp.BarcodeFormat.DataMatrix, _MATRIX_CELLS),
    )
    numbers = {text for crop, kind, _ in codes if (text := _plainly(crop, kind))}
    for crop, kind, cells in () if numbers else codes:
        numbers |= {text for count in cells if not numbers and (text := _closely(crop, kind, count))}
    if not numbers:
        raise Refused("no_number")
    found = {_parsed(text) for text in numbers} - {None}
    if not found:
        raise Refused("wrong_number", told=sorted(numbers)[0])
    if len(found) > 1:
        raise Refused("two_numbers", told=sorted(numbers))
    number = found.pop()
    assert number is not None
    if number.shape.paper != sheet.plane.paper or number.page > len(geometry.pages(number.shape)):
        raise Refused("wrong_number", told=str(number))
    return number


def _parsed(text: str) -> SheetId | None:
    try:
        return identity.read(text)
    except WrongId:
        return None


def _plainly(crop: Grey, kind: zxingcpp.BarcodeFormat) -> str | None:
    """The text of a code by the library's own reader, or None."""
    for picture in _views(crop):
        for code in zxingcpp.read_barcodes(
            picture, formats=zxingcpp.BarcodeFormats(kind), try_rotate=False, try_downscale=False
        ):
            if code.text:
                return str(code.text)
    return None


def _closely(crop: Grey, kind: zxingcpp.BarcodeFormat, count: int) -> str | None:
    """The text of a code drawn again from its cells, for one that is too soft for the plain reader."""
    for clean in _redrawn(crop, count, kind):
        for code in zxingcpp.read_barcodes(clean, formats=zxingcpp.BarcodeFormats(kind), is_pure=True):
            if code.text:
                return str(code.text)
    return None


def _crop(fine: Grey, box: Box) -> Grey:
    margin = _MARGIN
    top, left = round((box.y - margin) * FINE), round((box.x - margin) * FINE)
    foot, right = round((box.y + box.h + margin) * FINE), round((box.x + box.w + margin) * FINE)
    return np.ascontiguousarray(fine[max(top, 0) : foot, max(left, 0) : right])


def _views(crop: Grey) -> Iterator[Grey]:
    yield crop
    soft = cv2.GaussianBlur(crop, (0, 0), 2.0)
    yield np.asarray(cv2.createCLAHE(3.0, (4, 4)).apply(soft), np.uint8)


def _redrawn(crop: Grey, count: int, kind: zxingcpp.BarcodeFormat) -> Iterator[Grey]:
    """The code drawn again from its cells, for the best-fitting small shifts of its grid.

    The fixed parts of a code (finder squares, border and clock track) say how well a shift fits, and teach
    how blur has mixed the cells, so that the mixing can be undone (a linear equaliser, ridge regression).
    """
    light = _levelled(crop)
    known = _fixed_cells(count, kind)
    size = (crop.shape[0] - 2 * _MARGIN * FINE) / count
    fits = []
    for stretch in (0.985, 1.0, 1.015):
        for dy in np.arange(-1.8, 1.81, 0.3):
            for dx in np.arange(-1.8, 1.81, 0.3):
                cells = _sample(light, count, size * stretch, dx * FINE, dy * FINE)
                fits.append((float((cells * known).sum()), stretch, dx, dy))
    for _, stretch, dx, dy in sorted(fits, reverse=True)[:3]:
        place = (size * stretch, dx * FINE, dy * FINE)
        yield _drawn(_sample(light, count, *place) > 0)
        yield _drawn(_equalised(light, count, *place, known) > 0)


def _equalised(light: Cells, count: int, size: float, dx: float, dy: float, known: Cells) -> Cells:
    """Cells with the mixing of neighbours undone, as far as the fixed cells teach it."""
    around = [
        _sample(light, count, size, dx + i * size / 2, dy + j * size / 2)
        for i in range(-3, 4)
        for j in range(-3, 4)
    ]
    seen = np.stack([*around, np.ones_like(known)], 2).reshape(count * count, -1)
    taught = known.ravel() != 0
    lesson = seen[taught]
    ridge = 0.02 * float((lesson**2).sum(0).mean()) * np.eye(seen.shape[1])
    weights = np.linalg.solve(lesson.T @ lesson + ridge, lesson.T @ known.ravel()[taught])
    return np.asarray((seen @ weights).reshape(count, count), np.float32)


def _levelled(crop: Grey) -> Cells:
    """Darkness around a local middle: positive where a cell is black."""
    soft = cv2.GaussianBlur(crop, (0, 0), 1.5).astype(np.float32)
    reach = np.ones((27, 27), np.uint8)
    high, low = cv2.dilate(soft, reach), cv2.erode(soft, reach)
    high, low = (cv2.GaussianBlur(side, (0, 0), 12) for side in (high, low))
    return np.asarray(((high + low) / 2 - soft) / np.maximum(high - low, 8), np.float32)


def _sample(light: Cells, count: int, size: float, dx: float, dy: float) -> Cells:
    middle_y, middle_x = light.shape[0] / 2 + dy, light.shape[1] / 2 + dx
    steps = (np.arange(count) - (count - 1) / 2) * size
    rows = np.clip(np.round(middle_y + steps - 0.5), 0, light.shape[0] - 1).astype(int)
    columns = np.clip(np.round(middle_x + steps - 0.5), 0, light.shape[1] - 1).astype(int)
    return light[np.ix_(rows, columns)]


def _fixed_cells(count: int, kind: zxingcpp.BarcodeFormat) -> Cells:
    """+1 for cells that are always black, -1 for always white, 0 for data."""
    known = np.zeros((count, count), np.float32)
    if kind == zxingcpp.BarcodeFormat.QRCode:
        finder = np.full((8, 8), -1, np.float32)
        finder[:7, :7] = 1
        finder[1:6, 1:6] = -1
        finder[2:5, 2:5] = 1
        known[:8, :8], known[:8, -8:], known[-8:, :8] = finder, finder[:, ::-1], finder[::-1]
        known[6, 8:-8] = known[8:-8, 6] = np.resize([1, -1], count - 16)
        return known
    clock = np.resize([1, -1], count).astype(np.float32)
    known[0], known[:, -1] = clock, -clock
    known[:, 0] = known[-1] = 1
    return known


def _drawn(cells: NDArray[np.bool_]) -> Grey:
    clean = np.where(np.kron(cells, np.ones((4, 4))), 0, 255).astype(np.uint8)
    return np.asarray(cv2.copyMakeBorder(clean, 16, 16, 16, 16, cv2.BORDER_CONSTANT, value=255), np.uint8)
