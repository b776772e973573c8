"""A code that is soft, moved and bent is still read, and nothing is read where there is none."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
import zxingcpp

from bylittle.core.sheet.shape import PAPERS
from bylittle.reading.corners import Plane
from bylittle.reading.number import read_number
from bylittle.reading.pictures import Grey
from bylittle.reading.refusal import Refused
from bylittle.reading.straighten import FINE, Sheet
from tests.reading.conftest import Lay, Table


def flat(table: Table) -> Grey:
    """The page as if straightened, `FINE` pixels a millimetre."""
    paper = table.sheet.shape.paper
    size = (round(paper.width_mm * FINE), round(paper.height_mm * FINE))
    grey = cv2.cvtColor((table.page * 255).astype(np.uint8), cv2.COLOR_RGB2GRAY)
    return np.asarray(cv2.resize(grey, size, interpolation=cv2.INTER_AREA), np.uint8)


def soft_and_bent(page: Grey, blur_mm: float, bend_mm: float) -> Grey:
    rows, columns = np.indices(page.shape).astype(np.float32)
    wave = (bend_mm * FINE * np.sin(rows / FINE / 30 + columns / FINE / 45)).astype(np.float32)
    bent = cv2.remap(
        page, columns + wave, rows + 0.7 * wave, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    return np.asarray(cv2.GaussianBlur(bent, (0, 0), blur_mm * FINE), np.uint8)


def sheet(page: Grey, paper: str = "a4") -> Sheet:
    return Sheet(page, Plane(PAPERS[paper], np.eye(3), {}, FINE))


@pytest.mark.parametrize("spoilt", ["matrix", "qr"])
def test_either_code_alone_is_read_soft_and_bent(lay: Lay, spoilt: str) -> None:
    table = lay()
    page = soft_and_bent(flat(table.covered(getattr(table.places, spoilt))), 0.7, 4.5)
    assert not any(code.text for code in zxingcpp.read_barcodes(page)), "no test: it is sharp enough as it is"
    assert read_number(sheet(page)) == table.sheet


def test_where_there_is_no_code_there_is_no_number(lay: Lay) -> None:
    table = lay()
    page = flat(table.covered(table.places.qr, table.places.matrix))
    grain = np.random.default_rng(3).integers(0, 255, page.shape).astype(np.uint8)
    for picture in (page, grain, np.full_like(page, 255)):
        with pytest.raises(Refused) as refused:
            read_number(sheet(picture))
        assert refused.value.code == "no_number"
