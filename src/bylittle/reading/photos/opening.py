"""A photo from a phone or laptop to a small upright picture, with bounded time and memory.

Nothing of the file but its pixels goes on: place, camera and time are left behind here.
"""

from __future__ import annotations

import io
import warnings

import pillow_heif
from PIL import Image, ImageCms, ImageOps

from bylittle.core.faults import Fault

LONG_SIDE = 1600  # pixels of the picture that is worked on; a printed frame needs 720
MOST_BYTES = 60_000_000
MOST_MEGAPIXELS = {"JPEG": 150, "MPO": 150}  # a JPEG is made smaller while it is unpacked
MOST_MEGAPIXELS_WHOLE = 52  # of kinds that must be unpacked whole; and of a JPEG that comes in layers
SHORTEST_SIDE = 64
KINDS = ("JPEG", "MPO", "PNG", "WEBP", "HEIF", "AVIF")
_OPENED = ("JPEG", "PNG", "WEBP", "HEIF", "AVIF", "GIF")  # an MPO is told by the JPEG's opener
_FIRST_OF_SEVERAL = ("MPO", "HEIF")  # a phone's file with a depth picture behind it: the first is the photo
MOST_PROFILE_BYTES = 1_000_000  # of a colour profile; a phone's has 600, a printer's may have far more
_PALETTE = ("P", "PA", "1")

pillow_heif.register_heif_opener(thumbnails=False)  # type: ignore[attr-defined, unused-ignore]


class PhotoRefused(Fault):
    """A photo that is not taken: the code says why, the sentences stand in `library.wording.faults`."""

    code = "photo_not_opened"


def open_photo(data: bytes) -> Image.Image:
    """The photo in `data`, upright, RGB, at most `LONG_SIDE` long, without anything but pixels.

    Raises `PhotoRefused`: photo_file_too_large, photo_not_opened, photo_moves, photo_too_large,
    photo_too_small, photo_cut_short.
    """
    if len(data) > MOST_BYTES:
        raise PhotoRefused("photo_file_too_large", value=round(len(data) / 1e6), most=60)
    photo = _header(data)
    _check(photo)
    photo.draft("RGB", (LONG_SIDE, LONG_SIDE))
    _check_size(photo, MOST_MEGAPIXELS_WHOLE)  # a long strip is not made smaller while it is unpacked
    try:
        return _upright(photo)
    except Exception as problem:  # a broken file may raise anything, deep inside a decoder
        raise PhotoRefused("photo_cut_short") from problem


def _header(data: bytes) -> Image.Image:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)  # our own limit follows
            return Image.open(io.BytesIO(data), formats=_OPENED)
    except Image.DecompressionBombError as problem:
        raise PhotoRefused("photo_too_large", value=179, most=150) from problem
    except Exception as problem:
        raise PhotoRefused("photo_not_opened") from problem


def _check(photo: Image.Image) -> None:
    kind, (width, height) = photo.format or "", photo.size
    if kind not in _FIRST_OF_SEVERAL and _frames(photo) > 1:
        raise PhotoRefused("photo_moves")
    if kind not in KINDS:
        raise PhotoRefused("photo_not_opened")
    layered = bool(photo.info.get("progressive"))
    _check_size(photo, MOST_MEGAPIXELS_WHOLE if layered else MOST_MEGAPIXELS.get(kind, MOST_MEGAPIXELS_WHOLE))
    if min(width, height) < SHORTEST_SIDE:
        raise PhotoRefused("photo_too_small", value=min(width, height), allowed=SHORTEST_SIDE)


def _check_size(photo: Image.Image, most: int) -> None:
    pixels = photo.size[0] * photo.size[1]
    if pixels > most * 1e6:
        raise PhotoRefused("photo_too_large", value=round(pixels / 1e6), most=most)


def _frames(photo: Image.Image) -> int:
    try:
        return int(getattr(photo, "n_frames", 1))
    except Exception as problem:  # counting reads on in the file, which may be broken there
        raise PhotoRefused("photo_cut_short") from problem


def _upright(photo: Image.Image) -> Image.Image:
    photo.load()
    if photo.mode.startswith("I"):  # a scanner's 65,536 greys; cut at 255 they would all be white
        photo = _with_meta(photo, photo.convert("I").point(lambda level: level * (1 / 257)).convert("L"))
    elif photo.mode in _PALETTE:
        photo = _with_meta(photo, photo.convert("RGBA"))
    small = smaller(photo, LONG_SIDE)
    upright = ImageOps.exif_transpose(_with_meta(photo, small))
    return only_pixels(_usual_colours(_on_white(upright), photo.info.get("icc_profile") or b""))


def _with_meta(source: Image.Image, made: Image.Image) -> Image.Image:
    """`made` with the way up that the camera noted in `source`."""
    if made is not source:
        made.getexif()[0x0112] = source.getexif().get(0x0112, 1)
    return made


def smaller(picture: Image.Image, long_side: int) -> Image.Image:
    """The picture with its longer side at most `long_side` pixels."""
    scale = long_side / max(picture.size)
    if scale >= 1:
        return picture
    width, height = (max(1, round(side * scale)) for side in picture.size)
    return picture.resize((width, height), Image.Resampling.LANCZOS, reducing_gap=2.0)


def _on_white(picture: Image.Image) -> Image.Image:
    if "A" in picture.mode or "transparency" in picture.info:
        seen = picture.convert("RGBA")
        picture = Image.alpha_composite(Image.new("RGBA", seen.size, "white"), seen)
    return picture.convert("RGB")


def _usual_colours(picture: Image.Image, profile: bytes) -> Image.Image:
    """The colours as a screen or printer without the camera's notes shows them (sRGB).

    Phones write a wider range of colours: read without its profile they come out duller. A profile
    that is broken, or not one of red, green and blue, is left aside.
    """
    if not 0 < len(profile) <= MOST_PROFILE_BYTES:
        return picture
    try:
        camera = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        seen = ImageCms.profileToProfile(picture, camera, ImageCms.createProfile("sRGB"))
    except (ImageCms.PyCMSError, OSError, ValueError):
        return picture
    return seen or picture


def only_pixels(picture: Image.Image) -> Image.Image:
    """A fresh picture with the same pixels and nothing else: no place, camera, time or colour notes."""
    return Image.frombytes("RGB", picture.size, picture.convert("RGB").tobytes())
