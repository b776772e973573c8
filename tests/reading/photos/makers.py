"""Photos and clips made by the tests: coloured quarters and moving bars, nobody on them."""

from __future__ import annotations

import io
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from PIL import Image, ImageDraw, ImageFilter

RED, GREEN, BLUE, WHITE = (200, 30, 30), (30, 160, 40), (30, 40, 200), (240, 240, 240)


def quarters(width: int = 400, height: int = 300) -> Image.Image:
    """Red left above, green right above, blue left below, white right below."""
    picture = Image.new("RGB", (width, height), WHITE)
    half = (width // 2, height // 2)
    picture.paste(RED, (0, 0, *half))
    picture.paste(GREEN, (half[0], 0, width, half[1]))
    picture.paste(BLUE, (0, half[1], half[0], height))
    return picture


def grain(width: int = 400, height: int = 400, seed: int = 1) -> Image.Image:
    """Fine noise: whatever is covered in it can be told by its flatness."""
    values = np.random.default_rng(seed).integers(0, 256, (height, width, 3), dtype=np.uint8)
    return Image.fromarray(values)


FACE = (  # ellipses on a picture of 640 pixels: middle, half width, half height, colour
    (320, 700, 220, 190, (60, 90, 140)),
    (320, 500, 42, 70, (205, 155, 125)),
    (320, 300, 150, 185, (70, 45, 30)),
    (320, 330, 120, 155, (224, 176, 146)),
    (320, 180, 118, 70, (70, 45, 30)),
    *(
        (x, 310, *shape)
        for x in (272, 368)
        for shape in ((24, 13, (250, 250, 250)), (11, 12, (60, 40, 30)), (5, 5, (10, 10, 10)))
    ),
    (320, 378, 20, 9, (195, 140, 112)),
    (311, 381, 5, 3, (120, 70, 60)),
    (329, 381, 5, 3, (120, 70, 60)),
    (320, 422, 42, 15, (180, 80, 80)),
)


def drawn_face() -> Image.Image:
    """A face of nobody, of ovals and a few lines, 640 pixels square."""
    picture = Image.new("RGB", (640, 640), (180, 200, 215))
    pen = ImageDraw.Draw(picture)
    for x, y, wide, high, colour in FACE:
        pen.ellipse((x - wide, y - high, x + wide, y + high), fill=colour)
    for x in (272, 368):
        pen.arc((x - 32, 275, x + 32, 310), 200, 340, fill=(70, 45, 30), width=7)
    pen.polygon([(320, 320), (302, 378), (338, 378)], fill=(205, 150, 122))
    pen.line((280, 420, 360, 420), fill=(110, 40, 45), width=4)
    return picture.filter(ImageFilter.GaussianBlur(3))


def things() -> dict[str, Image.Image]:
    """Pictures with nobody on them."""
    ball = Image.new("RGB", (640, 480), (150, 120, 90))
    ImageDraw.Draw(ball).ellipse((220, 120, 460, 360), fill=RED, outline=WHITE, width=20)
    return {
        "quarters": quarters(),
        "grain": grain(640, 640),
        "white": Image.new("RGB", (900, 600), WHITE),
        "ball": ball,
    }


def file_of(picture: Image.Image, kind: str = "JPEG", way_up: int = 1, **options: object) -> bytes:
    """A file with the camera's notes in it: which way up, who made the camera, and a place on earth."""
    notes = Image.Exif()
    notes[0x0112] = way_up
    notes[0x010F] = "Camera of Tern Bay"
    notes.get_ifd(0x8825)[1] = "N"
    notes.get_ifd(0x8825)[2] = (54.0, 30.0, 0.0)
    out = io.BytesIO()
    picture.save(out, kind, exif=notes.tobytes(), **options)
    return out.getvalue()


def clip(
    path: Path, seconds: float = 3.0, sharp_at: tuple[float, ...] = (1.0, 2.2), codec: str = "libx264"
) -> Path:
    """A clip of 20 pictures a second, blurred but near the given times; its brightness grows with time."""
    fine = grain(320, 240)
    soft = fine.filter(ImageFilter.GaussianBlur(6))
    with av.open(str(path), "w") as container:
        stream = container.add_stream(codec, rate=20)
        stream.width, stream.height, stream.pix_fmt = 320, 240, "yuv420p"
        stream.time_base = Fraction(1, 20)
        for number in range(round(seconds * 20)):
            sharp = any(abs(number / 20 - at) < 0.03 for at in sharp_at)
            picture = (fine if sharp else soft).copy()
            picture.paste((round(250 * number / 20 / seconds),) * 3, (0, 0, 60, 60))
            frame = av.VideoFrame.from_image(picture)
            frame.pts = number
            container.mux(stream.encode(frame))
        container.mux(stream.encode())
    return path


def seconds_shown(picture: Image.Image, seconds: float = 3.0) -> float:
    """The time that a clip's picture was shown at, from its brightness."""
    return float(np.asarray(picture.convert("L"))[20:40, 20:40].mean()) / 250 * seconds
