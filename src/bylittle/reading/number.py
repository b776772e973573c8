"""Read a sheet's id from its two codes, at the places where they stand on the straightened page."""

from __future__ import annotations

from collections.abc import Iterator

import cv2
import numpy as np
import zxingcpp

from bylittle.core.sheet import geometry, identity
from bylittle.core.sheet.geometry import Box
from bylittle.core.sheet.identity import SheetId, WrongId
from bylittle.core.sheet.shape import Shape
from bylittle.reading.cells import Cells, redrawn
from bylittle.reading.pictures import Grey
from bylittle.reading.refusal import Refused
from bylittle.reading.straighten import FINE, Sheet

_MARGIN = 3.6  # millimetres looked at around a code; its white border is as wide
_WIDE_MARGIN = 8.0  # the same for one that bent paper has moved
_QR_CELLS = 21
_MATRIX_CELLS = (16, 18)


def read_number(sheet: Sheet) -> SheetId:
    """The id that the codes of `sheet` agree on.

    Raises `Refused`: none can be read, they say different numbers, or the number is not for such a page.
    """
    page = geometry.pages(Shape(sheet.plane.paper, 1, 1, 1, 2))[0]
    codes = (
        (page.qr, zxingcpp.BarcodeFormat.QRCode, (_QR_CELLS,)),
        (page.matrix, zxingcpp.BarcodeFormat.DataMatrix, _MATRIX_CELLS),
    )
    numbers = {text for box, kind, _ in codes if (text := _plainly(_crop(sheet.fine, box, _MARGIN), kind))}
    for box, kind, cells in () if numbers else codes:
        numbers |= {text for count in cells if not numbers and (text := _closely(sheet, box, kind, count))}
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


def _closely(sheet: Sheet, box: Box, kind: zxingcpp.BarcodeFormat, count: int) -> str | None:
    """The text of a code drawn again from its cells, one too soft or bent for the plain reader."""
    crop = _crop(sheet.fine, box, _WIDE_MARGIN)
    for clean in redrawn(crop, box.w, FINE, _fixed_cells(count, kind)):
        for code in zxingcpp.read_barcodes(clean, formats=zxingcpp.BarcodeFormats(kind), is_pure=True):
            if code.text:
                return str(code.text)
    return None


def _crop(fine: Grey, box: Box, margin: float) -> Grey:
    """The page around a code; where the page ends, it goes on as its edge is."""
    wide = int(np.ceil(margin * FINE))
    left, top = round(box.x * FINE) - wide, round(box.y * FINE) - wide
    width, height = round(box.w * FINE) + 2 * wide, round(box.h * FINE) + 2 * wide
    middle = (left + (width - 1) / 2, top + (height - 1) / 2)
    return np.asarray(cv2.getRectSubPix(fine, (width, height), middle), np.uint8)


def _views(crop: Grey) -> Iterator[Grey]:
    yield crop
    soft = cv2.GaussianBlur(crop, (0, 0), 2.0)
    yield np.asarray(cv2.createCLAHE(3.0, (4, 4)).apply(soft), np.uint8)


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
