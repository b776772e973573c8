"""The preview is the print: pictures made from the very bytes that leave the press."""

from __future__ import annotations

import io

import pypdfium2

POINTS_PER_INCH = 72


def pages_png(pdf: bytes, dpi: int = 110) -> tuple[bytes, ...]:
    """Each page of a PDF as a PNG at `dpi` dots per inch."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return tuple(_png(page, dpi) for page in document)
    finally:
        document.close()


def _png(page: pypdfium2.PdfPage, dpi: int) -> bytes:
    held = io.BytesIO()
    page.render(scale=dpi / POINTS_PER_INCH).to_pil().save(held, format="PNG")
    return held.getvalue()
