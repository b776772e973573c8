"""Photos and clips made by the tests: coloured quarters and moving bars, nobody on them."""

from __future__ import annotations

import io
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from PIL import Image, ImageFilter

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
