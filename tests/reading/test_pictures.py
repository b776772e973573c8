"""Uploads of every kind and every bad kind: a clear answer, in bounded time and memory."""

from __future__ import annotations

import io
import struct
import zlib

import pikepdf
import pytest
from PIL import Image

from bylittle.reading import pictures
from bylittle.reading.pictures import decode, decode_colour, frames
from bylittle.reading.reader import NotRead, Reading
from bylittle.reading.refusal import Refused
from bylittle.reading.upload import read_upload
from tests.reading.conftest import Lay

import pillow_heif  # isort: skip  (registers its writer with Pillow)


def saved(kind: str, size: tuple[int, int] = (120, 80), mode: str = "RGB", **options: object) -> bytes:
    out = io.BytesIO()
    picture = Image.linear_gradient("L").resize(size).convert(mode)
    picture.save(out, kind, **options)
    return out.getvalue()


def code_of(data: bytes) -> str:
    with pytest.raises(Refused) as told:
        decode(data)
    return told.value.code


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_the_usual_kinds_are_opened(kind: str) -> None:
    pillow_heif.register_heif_opener()
    data = saved(kind, quality=90)
    assert decode(data).shape == (80, 120)
    assert decode_colour(data).shape == (80, 120, 3)


def test_a_photograph_stands_as_the_camera_meant() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # EXIF 2.32: the visual top is the right-hand side
    data = saved("JPEG", exif=exif)
    assert decode(data).shape == (120, 80)
    assert decode_colour(data).shape == (120, 80, 3)
    heif = saved("HEIF", exif=exif.tobytes())
    assert decode(heif).shape in ((120, 80), (80, 120))


def test_see_through_parts_are_white() -> None:
    out = io.BytesIO()
    Image.new("RGBA", (60, 60), (0, 0, 0, 0)).save(out, "PNG")
    assert decode(out.getvalue()).min() == 255


SVG = b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


@pytest.mark.parametrize(
    "data",
    [b"", b"hello", SVG, SVG[21:], b"\xff\xd8\xff", b"%PNG", saved("GIF"), saved("BMP"), b"\x00" * 5000],
    ids=["empty", "text", "svg", "bare svg", "bare jpeg", "no png", "gif", "bmp", "zeros"],
)
def test_what_is_no_photograph_is_told(data: bytes) -> None:
    assert code_of(data) == "not_a_picture"


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("share", [0.5, 0.9])
def test_a_file_cut_short_is_told(kind: str, share: float) -> None:
    data = saved(kind, size=(900, 700), mode="RGB", quality=95)
    assert code_of(data[: int(len(data) * share)]) in ("cut_short", "not_a_picture")


def test_a_jpeg_is_whole_only_with_its_own_end_mark() -> None:
    """A preview inside has an end mark too; that must not count."""
    preview = saved("JPEG", size=(40, 40))
    exif = Image.Exif()
    exif[0x010E] = "x"
    data = saved("JPEG", size=(600, 400), exif=exif)
    app1 = b"\xff\xe1" + struct.pack(">H", len(preview) + 2) + preview
    whole = data[:2] + app1 + data[2:]
    assert decode(whole).shape == (400, 600)
    assert decode(whole + b"trailer of a moving picture").shape == (400, 600)
    assert code_of(whole[:-200]) == "cut_short"


def png_bomb(width: int, height: int) -> bytes:
    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")
    )


def test_a_bomb_is_refused_before_it_is_unpacked() -> None:
    with pytest.raises(Refused) as told:
        decode(png_bomb(20_000, 10_000))
    assert told.value.code == "too_large"
    assert told.value.values == {"megapixels": 200, "most": pictures.MOST_MEGAPIXELS_WHOLE}


def test_a_very_large_photograph_is_halved(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pictures, "LONG_SIDE", 1000)
    for kind in ("JPEG", "PNG"):
        assert decode(saved(kind, size=(1200, 800))).shape == (400, 600)


def pdf_of(count: int) -> bytes:
    document = pikepdf.new()
    for _ in range(count):
        document.add_blank_page(page_size=(595, 842))
    out = io.BytesIO()
    document.save(out)
    return out.getvalue()


def test_a_pdf_of_four_hundred_pages_is_read_in_part_and_said_so() -> None:
    seen = list(frames(pdf_of(400)))
    assert len(seen) == pictures.MOST_PAGES + 1
    last = seen[-1].refusal
    assert last is not None
    assert (last.code, last.values) == ("too_many_pages", {"pages": 400, "most": pictures.MOST_PAGES})


def test_a_broken_pdf_is_told() -> None:
    (frame,) = frames(b"%PDF-1.7 nothing more")
    assert frame.refusal is not None
    assert frame.refusal.code == "cut_short"


def test_a_giant_page_of_a_pdf_is_drawn_small() -> None:
    document = pikepdf.new()
    document.add_blank_page(page_size=(14_400, 14_400))
    out = io.BytesIO()
    document.save(out)
    (frame,) = frames(out.getvalue())
    assert frame.grey is not None
    assert max(frame.grey.shape) <= pictures.SCAN_LONG_SIDE + 1


def test_a_scan_of_two_sheets_gives_two_readings(lay: Lay) -> None:
    tables = [lay({"d1t1.2": "fill"}), lay({"d2t2.3": "tick"}, paper="letter")]
    images = [Image.fromarray((table.page * 255).astype("uint8")) for table in tables]
    out = io.BytesIO()
    images[0].save(out, "PDF", save_all=True, append_images=images[1:], resolution=203)
    results = read_upload("scan.pdf", out.getvalue())
    assert [result.part for result in results] == [1, 2]
    read = [result.outcome for result in results]
    assert [told.page.sheet for told in read if isinstance(told, Reading)] == [t.sheet for t in tables]


def test_a_bad_picture_loses_no_other(lay: Lay) -> None:
    document = pikepdf.new()
    document.add_blank_page()
    out = io.BytesIO()
    document.save(out)
    (blank,) = read_upload("blank.pdf", out.getvalue())
    assert isinstance(blank.outcome, NotRead)
    assert blank.outcome.refusal.code == "no_sheet"
