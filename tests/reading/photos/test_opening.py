"""A photo of any kind comes out upright, small and without notes; what cannot be is told in words."""

from __future__ import annotations

import io
import struct
import subprocess
import sys
import zlib
from collections.abc import Callable

import numpy as np
import pillow_heif
import pytest
from PIL import Image

from bylittle.core.faults import Fault
from bylittle.library.wording import faults
from bylittle.reading.photos.clip import ClipRefused
from bylittle.reading.photos.finish import kept_for_editing, written
from bylittle.reading.photos.opening import LONG_SIDE, PhotoRefused, open_photo
from tests.reading.photos import makers
from tests.reading.photos.makers import BLUE, GREEN, RED, WHITE, file_of, quarters

CORNERS = ((0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75))
TURNS: dict[int, Image.Transpose | None] = {  # EXIF 2.32, tag 0x0112: how the stored rows lie
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}


def seen(picture: Image.Image) -> list[tuple[int, int, int]]:
    """The colours in the middles of the four quarters, left to right, top to bottom."""
    places = [(round(x * picture.width), round(y * picture.height)) for x, y in CORNERS]
    return [picture.getpixel(place) for place in places]  # type: ignore[misc]


def close(one: tuple[int, int, int], other: tuple[int, int, int], by: int = 12) -> bool:
    return all(abs(a - b) <= by for a, b in zip(one, other, strict=True))


def as_meant(picture: Image.Image) -> bool:
    return all(map(close, seen(picture), (RED, GREEN, BLUE, WHITE)))


def code_of(data: bytes) -> str:
    with pytest.raises(PhotoRefused) as told:
        open_photo(data)
    return told.value.code


@pytest.mark.parametrize("way_up", TURNS)
def test_a_sideways_photo_stands_as_it_was_seen(way_up: int) -> None:
    turn = TURNS[way_up]
    stored = quarters().transpose(turn) if turn is not None else quarters()
    picture = open_photo(file_of(stored, "JPEG", way_up, quality=95))
    assert picture.size == (400, 300)
    assert as_meant(picture)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIF", "AVIF"])
def test_each_kind_is_opened_as_plain_colour_pixels(kind: str) -> None:
    pillow_heif.register_heif_opener()
    picture = open_photo(file_of(quarters(), kind, quality=95))
    assert (picture.mode, picture.size) == ("RGB", (400, 300))
    assert as_meant(picture)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIF", "AVIF"])
def test_place_and_camera_are_gone(kind: str) -> None:
    """The source file is checked too: it does say the camera and the place."""
    data = file_of(quarters(), kind)
    assert b"Camera of Tern Bay" in data
    picture = open_photo(data)
    assert (picture.info, dict(picture.getexif())) == ({}, {})
    for saved in (written(picture), kept_for_editing(picture)):
        again = Image.open(io.BytesIO(saved))
        assert (dict(again.getexif()), again.getexif().get_ifd(0x8825)) == ({}, {})
        assert b"Tern Bay" not in saved
        assert b"Exif" not in saved
        assert set(again.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_a_long_note_in_a_png_is_gone_too() -> None:
    from PIL.PngImagePlugin import PngInfo

    notes = PngInfo()
    notes.add_text("Comment", "taken at Tern Bay")
    notes.add_itxt("XML:com.adobe.xmp", "<x:xmpmeta>Tern Bay</x:xmpmeta>")
    out = io.BytesIO()
    quarters().save(out, "PNG", pnginfo=notes)
    assert open_photo(out.getvalue()).info == {}


def test_see_through_places_become_white_paper() -> None:
    picture = Image.new("RGBA", (100, 100), (0, 0, 0, 0))
    picture.paste((*RED, 255), (0, 0, 50, 100))
    out = io.BytesIO()
    picture.save(out, "PNG")
    opened = open_photo(out.getvalue())
    assert opened.getpixel((25, 50)) == RED
    assert opened.getpixel((75, 50)) == (255, 255, 255)


@pytest.mark.parametrize("mode", ["P", "L", "LA", "1", "CMYK", "I;16"])
def test_grey_palette_and_printers_colours_are_opened(mode: str) -> None:
    grey = Image.linear_gradient("L").resize((128, 128))
    kind = "JPEG" if mode == "CMYK" else "PNG"
    out = io.BytesIO()
    (deep(grey) if mode == "I;16" else grey.convert(mode)).save(out, kind)
    opened = open_photo(out.getvalue())
    levels = [opened.getpixel((64, row))[0] for row in (8, 120)]  # type: ignore[index]
    assert levels[0] < 70
    assert levels[1] > 190


def deep(grey: Image.Image) -> Image.Image:
    """A grey picture in 65,536 levels, as scanners write it."""
    levels = np.asarray(grey).astype("<u2") * 257
    return Image.frombytes("I;16", grey.size, levels.tobytes())


def test_a_palette_with_a_see_through_colour_is_white_there() -> None:
    picture = quarters().quantize(8)
    clear = picture.getpixel((300, 225))
    out = io.BytesIO()
    picture.save(out, "PNG", transparency=clear)
    assert open_photo(out.getvalue()).getpixel((300, 225)) == (255, 255, 255)


def fixed(value: float) -> bytes:
    return struct.pack(">i", round(value * 65536))


def profile_of(red: tuple[float, ...], green: tuple[float, ...], blue: tuple[float, ...]) -> bytes:
    """A colour profile (ICC.1:2010, the three-component matrix kind) with gamma 2.2 and these primaries."""
    tags = [(b"wtpt", b"XYZ \0\0\0\0" + b"".join(map(fixed, (0.9642, 1.0, 0.8249))))]
    for name, primary in ((b"r", red), (b"g", green), (b"b", blue)):
        tags.append((name + b"XYZ", b"XYZ \0\0\0\0" + b"".join(map(fixed, primary))))
        tags.append((name + b"TRC", b"curv\0\0\0\0" + struct.pack(">IHH", 1, round(2.2 * 256), 0)))
    start = 128 + 4 + 12 * len(tags)
    table, body = struct.pack(">I", len(tags)), b""
    for name, data in tags:
        table += name + struct.pack(">II", start + len(body), len(data))
        body += data
    header = struct.pack(
        ">I4sI4s4s4s12x4s", start + len(body), b"none", 0x02400000, b"mntr", b"RGB ", b"XYZ ", b"acsp"
    )
    return (
        header.ljust(68, b"\0") + b"".join(map(fixed, (0.9642, 1.0, 0.8249))).ljust(60, b"\0") + table + body
    )


SRGB_PRIMARIES = ((0.4360, 0.2225, 0.0139), (0.3851, 0.7169, 0.0971), (0.1431, 0.0606, 0.7141))
"""Red, green and blue of IEC 61966-2-1 as seen from D50, from memory."""


def with_profile(profile: bytes) -> Image.Image:
    out = io.BytesIO()
    quarters().save(out, "PNG", icc_profile=profile)
    return open_photo(out.getvalue())


def test_the_cameras_own_colours_become_the_usual_ones() -> None:
    """A camera that calls red what everybody calls green: by its profile the picture comes out right."""
    red, green, blue = SRGB_PRIMARIES
    assert all(map(close, seen(with_profile(profile_of(red, green, blue))), (RED, GREEN, BLUE, WHITE)))
    swapped = seen(with_profile(profile_of(green, red, blue)))
    assert swapped[0][1] > 150 > 60 > swapped[0][0]
    assert swapped[1][0] > 120 > 60 > swapped[1][1]


@pytest.mark.parametrize("profile", [b"no profile", bytes(128), bytes(1_000_001)])
def test_a_broken_colour_profile_is_left_aside(profile: bytes) -> None:
    assert as_meant(with_profile(profile))


def test_a_large_photo_is_made_smaller_and_a_small_one_is_left() -> None:
    assert open_photo(file_of(quarters(4000, 3000))).size == (LONG_SIDE, 1200)
    assert open_photo(file_of(quarters(300, 200))).size == (300, 200)


def moving(kind: str) -> bytes:
    out = io.BytesIO()
    quarters(80, 80).save(out, kind, save_all=True, append_images=[quarters(80, 80).rotate(90)], duration=90)
    return out.getvalue()


@pytest.mark.parametrize("kind", ["GIF", "WEBP", "PNG", "AVIF"])
def test_a_moving_picture_is_told_so(kind: str) -> None:
    assert code_of(moving(kind)) == "photo_moves"


def test_a_phones_photo_with_a_second_picture_behind_it_is_its_first() -> None:
    out = io.BytesIO()
    quarters().save(out, "MPO", save_all=True, append_images=[Image.new("RGB", (400, 300))], quality=95)
    assert as_meant(open_photo(out.getvalue()))
    heif = pillow_heif.from_pillow(quarters())
    heif.add_from_pillow(Image.new("RGB", (400, 300)))
    out = io.BytesIO()
    heif.save(out, quality=95)
    assert as_meant(open_photo(out.getvalue()))


NO_PHOTOS = {
    "nothing": b"",
    "words": b"a shopping list",
    "drawing with a script": b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>',
    "page": b"%PDF-1.7\n",
    "printer's program": b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 90 90\n",
    "only the first bytes of a photo": b"\xff\xd8\xff\xe0",
}


@pytest.mark.parametrize("name", NO_PHOTOS)
def test_what_is_no_photo_is_told_so(name: str) -> None:
    assert code_of(NO_PHOTOS[name]) == "photo_not_opened"


@pytest.mark.parametrize("kind", ["GIF", "TIFF", "BMP"])
def test_kinds_that_no_phone_takes_are_told(kind: str) -> None:
    out = io.BytesIO()
    quarters().save(out, kind)
    assert code_of(out.getvalue()) == "photo_not_opened"


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIF", "AVIF"])
def test_a_photo_cut_short_is_told_at_every_place(kind: str) -> None:
    pillow_heif.register_heif_opener()
    data = file_of(makers.grain(200, 200), kind)
    told = {code_of(data[: round(len(data) * share)]) for share in (0.3, 0.6, 0.9)}
    assert told <= {"photo_cut_short", "photo_not_opened"}
    assert told


def test_a_scrambled_photo_is_told_or_opened_but_never_breaks() -> None:
    data = bytearray(file_of(makers.grain(200, 200), "PNG"))
    data[len(data) // 2 : len(data) // 2 + 40] = bytes(40)
    assert code_of(bytes(data)) == "photo_cut_short"


@pytest.mark.parametrize(("width", "height"), [(40, 400), (400, 63), (1, 1)])
def test_a_picture_too_small_to_print_is_told(width: int, height: int) -> None:
    out = io.BytesIO()
    quarters(400, 400).resize((width, height)).save(out, "PNG")
    assert code_of(out.getvalue()) == "photo_too_small"


def claiming(width: int, height: int) -> bytes:
    """A PNG whose header claims a size that its few bytes do not hold."""

    def part(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    header = part(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + header + part(b"IDAT", zlib.compress(bytes(9))) + part(b"IEND", b"")


@pytest.mark.parametrize(("side", "value"), [(10_000, 100), (30_000, 179)])
def test_a_picture_that_must_be_unpacked_whole_is_told_by_its_header(side: int, value: int) -> None:
    with pytest.raises(PhotoRefused) as told:
        open_photo(claiming(side, side))
    assert (told.value.code, told.value.values["value"]) == ("photo_too_large", value)


def test_a_file_too_large_is_told_before_it_is_looked_at() -> None:
    assert code_of(bytes(60_000_001)) == "photo_file_too_large"


ROOM = """
import io, resource, sys
from PIL import Image
from bylittle.reading.photos.opening import PhotoRefused, open_photo
data = sys.stdin.buffer.read()
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
try:
    print(open_photo(data).size)
except PhotoRefused as told:
    print(told.code)
print((resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) // 1024)
"""


def room_for(data: bytes) -> tuple[str, int]:
    """What came of opening a file in its own process, and how many megabytes that took more."""
    told = subprocess.run([sys.executable, "-c", ROOM], input=data, capture_output=True, check=True)
    outcome, megabytes = told.stdout.decode().splitlines()
    return outcome, int(megabytes)


@pytest.mark.skipif(sys.platform != "linux", reason="memory is counted in other units elsewhere")
@pytest.mark.parametrize(
    ("kind", "options", "outcome"),
    [
        ("JPEG", {}, "(1600, 1280)"),
        ("JPEG", {"progressive": True}, "photo_too_large"),
        ("PNG", {"compress_level": 1}, "photo_too_large"),
    ],
    ids=["jpeg", "layered jpeg", "png"],
)
def test_a_hundred_megapixels_take_little_room(kind: str, options: dict[str, object], outcome: str) -> None:
    """Unpacked whole it would be 300 MB; a JPEG is opened within 120 MB, the others are refused unopened."""
    out = io.BytesIO()
    quarters(11_180, 8_944).save(out, kind, **options)
    told, megabytes = room_for(out.getvalue())
    assert told == outcome
    assert megabytes < 120


def test_a_long_strip_that_cannot_be_made_smaller_on_the_way_is_told() -> None:
    """A JPEG is unpacked at a size that still fills both sides: a strip stays whole."""
    out = io.BytesIO()
    Image.new("RGB", (60_000, 1_200)).save(out, "JPEG", quality=20)
    assert code_of(out.getvalue()) == "photo_too_large"


RAISED: dict[str, Callable[..., Fault]] = {
    "photo_file_too_large": lambda: PhotoRefused("photo_file_too_large", value=61, most=60),
    "photo_too_large": lambda: PhotoRefused("photo_too_large", value=179, most=150),
    "photo_too_small": lambda: PhotoRefused("photo_too_small", value=40, allowed=64),
    "photo_moves": lambda: PhotoRefused("photo_moves"),
    "photo_cut_short": lambda: PhotoRefused("photo_cut_short"),
    "photo_not_opened": PhotoRefused,
    "clip_not_opened": ClipRefused,
    "clip_broken": lambda: ClipRefused("clip_broken"),
    "clip_too_much_work": lambda: ClipRefused("clip_too_much_work"),
    "clip_too_long": lambda: ClipRefused("clip_too_long", value=120, most=10),
    "clip_taps": lambda: ClipRefused("clip_taps", value=25, most=24),
    "clip_frames_too_large": lambda: ClipRefused("clip_frames_too_large", value=33),
    "clip_no_picture": lambda: ClipRefused("clip_no_picture", value=61.5),
}


@pytest.mark.parametrize("code", RAISED)
def test_each_refusal_has_words_that_say_what_to_do(code: str) -> None:
    fault = RAISED[code]()
    assert fault.code == code
    told = faults.sentence(fault)
    assert told.what.endswith(".")
    assert told.mend.endswith(".")
    for value in fault.values.values():
        assert str(value) in told.what
