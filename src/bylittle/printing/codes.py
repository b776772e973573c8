"""The two machine-readable forms of a sheet's id: a QR code and a Data Matrix, as SVG without margins.

ISO/IEC 18004 (QR, version 1, the strongest error correction that fits) and ISO/IEC 16022 (Data Matrix).
"""

from __future__ import annotations

import numpy
import segno
import zxingcpp


def qr_svg(text: str) -> str:
    """A version-1 QR code of `text` (at most 16 capital letters and digits)."""
    code = segno.make_qr(text, version=1, error="m", boost_error=True)
    return cells_svg([[bool(cell) for cell in row] for row in code.matrix])


def matrix_svg(text: str) -> str:
    """A Data Matrix of `text`."""
    barcode = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.DataMatrix)
    picture = zxingcpp.write_barcode_to_image(barcode, scale=1, add_quiet_zones=False)
    return cells_svg([[grey == 0 for grey in row] for row in numpy.asarray(picture).tolist()])


def cells_svg(cells: list[list[bool]]) -> str:
    """Black cells as one path, so that no hairline shows between neighbours."""
    path = "".join(f"M{x} {y}h1v1h-1z" for y, row in enumerate(cells) for x, black in enumerate(row) if black)
    size = f"{len(cells[0])} {len(cells)}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" shape-rendering="crispEdges">'
        f'<path d="{path}"/></svg>'
    )
