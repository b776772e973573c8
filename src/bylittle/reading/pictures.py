"""Bytes of an upload to grey pictures, upright as the camera meant, with bounded time and memory."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
import pillow_heif
import pypdfium2
from numpy.typing import NDArray
from PIL import Image, ImageOps

from bylittle.reading.refusal import Refused

Grey = NDArray[np.uint8]
Colour = NDArray[np.uint8]

MOST_MEGAPIXELS = 64  # of a JPEG, which is halved while it is unpacked
MOST_MEGAPIXELS_WHOLE = 40  # of other kinds
MOST_BYTES = 80_000_000
MOST_PAGES = 20
LONG_SIDE = 5200  # pixels; larger pictures are halved, no bubble needs more
SCAN_LONG_SIDE = 2800
_KINDS = {"JPEG", "MPO", "PNG", "WEBP", "HEIF", "AVIF"}

pillow_heif.register_heif_opener(thumbnails=False)  # type: ignore[attr-defined, unused-ignore]


@dataclass(frozen=True, slots=True)
class Frame:
    """One picture of an upload: its grey values, or why there are none. `part` is its page, from 1."""

    part: int
    grey: Grey | None
    refusal: Refused | None = None


def frames(data: bytes) -> Iterator[Frame]:
    """The pictures in `data`, one for a photograph and one for each page of a PDF, one at a time."""
    if data[:1024].lstrip().startswith(b"%PDF-"):
        yield from _pdf_frames(data)
        return
    try:
        yield Frame(1, decode(data))
    except Refused as refusal:
        yield Frame(1, None, refusal)


def decode(data: bytes) -> Grey:
    """The grey picture in `data`. Raises `Refused`: not a picture, cut short, too large."""
    return _jpeg(data, cv2.IMREAD_GRAYSCALE) if _check(data) == "JPEG" else _other(data, "L")


def decode_colour(data: bytes) -> Colour:
    """The same picture in colour (rows, columns, blue-green-red), to be kept beside the record."""
    if _check(data) == "JPEG":
        return _jpeg(data, cv2.IMREAD_COLOR)
    return np.ascontiguousarray(_other(data, "RGB")[..., ::-1])


def _check(data: bytes) -> str:
    """The kind of picture; refuses what is none or too large before a pixel is unpacked."""
    if len(data) > MOST_BYTES:
        raise Refused("too_large", megapixels=round(len(data) / 1e6), most=MOST_MEGAPIXELS)
    limit, Image.MAX_IMAGE_PIXELS = Image.MAX_IMAGE_PIXELS, None  # our own limit follows
    try:
        with Image.open(io.BytesIO(data)) as picture:
            kind, (width, height) = picture.format, picture.size
    except Exception as problem:  # any broken header may raise anything
        raise Refused("not_a_picture", kind=_guess(data)) from problem
    finally:
        Image.MAX_IMAGE_PIXELS = limit
    if kind not in _KINDS:
        raise Refused("not_a_picture", kind=kind)
    most = MOST_MEGAPIXELS if kind in ("JPEG", "MPO") else MOST_MEGAPIXELS_WHOLE
    if width * height > most * 1e6:
        raise Refused("too_large", megapixels=round(width * height / 1e6), most=most)
    if min(width, height) < 32:
        raise Refused("too_small")
    return "JPEG" if kind == "MPO" else str(kind)


def _guess(data: bytes) -> str:
    head = data[:512].lstrip().lower()
    if not head:
        return "empty"
    if b"<svg" in head or head.startswith(b"<?xml"):
        return "SVG or XML"
    return "unknown kind"


def _jpeg(data: bytes, flag: int) -> Grey:
    if not _jpeg_whole(data):
        raise Refused("cut_short")
    with Image.open(io.BytesIO(data)) as header:
        large = max(header.size) > LONG_SIDE
    if large:
        colour = flag == cv2.IMREAD_COLOR
        flag = cv2.IMREAD_REDUCED_COLOR_2 if colour else cv2.IMREAD_REDUCED_GRAYSCALE_2
    picture = cv2.imdecode(np.frombuffer(data, np.uint8), flag)
    if picture is None:
        raise Refused("cut_short")
    return np.asarray(picture, np.uint8)


def _jpeg_whole(data: bytes) -> bool:
    """Whether the picture's own end mark follows its scan (a preview inside has an end mark of its own)."""
    at = 2
    while at + 4 <= len(data) and data[at] == 0xFF:
        mark, length = data[at + 1], int.from_bytes(data[at + 2 : at + 4], "big")
        if mark == 0xDA:
            return data.rfind(b"\xff\xd9") > at
        at += 1 if mark == 0xFF else 2 + length
    return False


def _other(data: bytes, mode: str) -> NDArray[np.uint8]:
    try:
        with Image.open(io.BytesIO(data)) as picture:
            picture.load()
            upright = ImageOps.exif_transpose(picture)
            if "A" in upright.mode or "transparency" in upright.info:
                white = Image.new("RGBA", upright.size, "white")
                upright = Image.alpha_composite(white, upright.convert("RGBA"))
            if max(upright.size) > LONG_SIDE:
                upright = upright.reduce(2)
            return np.asarray(upright.convert(mode), np.uint8)
    except Refused:
        raise
    except Exception as problem:
        raise Refused("cut_short") from problem


def _pdf_frames(data: bytes) -> Iterator[Frame]:
    try:
        document = pypdfium2.PdfDocument(data)
        count = len(document)
    except Exception as problem:
        yield Frame(1, None, Refused("cut_short", reason=str(problem)))
        return
    try:
        for number in range(min(count, MOST_PAGES)):
            yield _pdf_frame(document, number)
        if count > MOST_PAGES:
            yield Frame(MOST_PAGES + 1, None, Refused("too_many_pages", pages=count, most=MOST_PAGES))
    finally:
        document.close()


def _pdf_frame(document: pypdfium2.PdfDocument, number: int) -> Frame:
    try:
        page = document[number]
        scale = SCAN_LONG_SIDE / max(*page.get_size(), 1.0)
        bitmap = page.render(scale=min(scale, 20.0), grayscale=True, may_draw_forms=False)
        grey = np.array(bitmap.to_numpy(), np.uint8)
        return Frame(number + 1, grey[..., 0] if grey.ndim == 3 else grey)
    except Exception:
        return Frame(number + 1, None, Refused("cut_short"))
