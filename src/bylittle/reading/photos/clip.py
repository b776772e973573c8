"""The sharpest picture near each tap of a clip: only read, never kept, never wholly unpacked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import BinaryIO

import av
import cv2
import numpy as np
from av.container import InputContainer
from av.video.frame import VideoFrame
from av.video.stream import VideoStream
from PIL import Image

from bylittle.core.faults import Fault
from bylittle.reading.photos.opening import LONG_SIDE, only_pixels, smaller

LONGEST_S = 600
MOST_TAPS = 24
AROUND_S = 0.5  # a hand is never on time: looked at on both sides of a tap
MOST_PIXELS_A_FRAME = 9_000_000  # 4096 x 2160
MOST_PIXELS = 8_000_000_000  # unpacked in all: about half a minute of work here
SMALL_SIDE = 320  # pixels of the picture whose sharpness is measured
_KINDS = ((4, b"ftyp", "mov"), (0, b"\x1aE\xdf\xa3", "matroska"))


class ClipRefused(Fault):
    """A clip that is not taken: the code says why, the sentences stand in `library.wording.faults`."""

    code = "clip_not_opened"


@dataclass
class _Budget:
    """Pixels that may still be unpacked."""

    left: int = MOST_PIXELS

    def spend(self, frame: VideoFrame) -> None:
        pixels = frame.width * frame.height
        if pixels > MOST_PIXELS_A_FRAME:
            raise ClipRefused("clip_frames_too_large", value=round(pixels / 1e6))
        self.left -= pixels
        if self.left < 0:
            raise ClipRefused("clip_too_much_work")


def sharpest(clip: BinaryIO, taps_s: Sequence[float]) -> list[Image.Image]:
    """For each tap (seconds from the start) the sharpest picture within half a second, upright, RGB.

    Raises `ClipRefused`: clip_not_opened, clip_too_long, clip_frames_too_large, clip_too_much_work,
    clip_taps, clip_no_picture (a tap where the clip has none).
    """
    if not 1 <= len(taps_s) <= MOST_TAPS:
        raise ClipRefused("clip_taps", value=len(taps_s), most=MOST_TAPS)
    with _opened(clip) as container:
        stream = _pictures(container)
        budget = _Budget()
        try:
            return [_near(container, stream, tap, budget) for tap in taps_s]
        except (av.FFmpegError, ValueError) as problem:
            raise ClipRefused("clip_broken") from problem


def _opened(clip: BinaryIO) -> InputContainer:
    """Opened as what its first bytes say it is: a list of other files or addresses is never followed."""
    kind = _kind(clip)
    try:
        return av.open(clip, mode="r", format=kind, metadata_errors="ignore")
    except (av.FFmpegError, ValueError, OSError) as problem:
        raise ClipRefused("clip_not_opened") from problem


def _kind(clip: BinaryIO) -> str:
    clip.seek(0)
    head = clip.read(16)
    clip.seek(0)
    for place, sign, kind in _KINDS:
        if head[place : place + len(sign)] == sign:
            return kind
    raise ClipRefused("clip_not_opened")


def _pictures(container: InputContainer) -> VideoStream:
    if not container.streams.video:
        raise ClipRefused("clip_not_opened")
    stream = container.streams.video[0]
    if container.duration and container.duration / av.time_base > LONGEST_S:
        minutes = round(container.duration / av.time_base / 60)
        raise ClipRefused("clip_too_long", value=minutes, most=LONGEST_S // 60)
    if stream.codec_context.width * stream.codec_context.height > MOST_PIXELS_A_FRAME:
        pixels = stream.codec_context.width * stream.codec_context.height
        raise ClipRefused("clip_frames_too_large", value=round(pixels / 1e6))
    stream.thread_type = "AUTO"
    return stream


def _near(container: InputContainer, stream: VideoStream, tap_s: float, budget: _Budget) -> Image.Image:
    if not 0 <= tap_s <= LONGEST_S:
        raise ClipRefused("clip_no_picture", value=round(tap_s, 1))
    found = max(_around(container, stream, tap_s, budget), key=_sharpness, default=None)
    if found is None:
        raise ClipRefused("clip_no_picture", value=round(tap_s, 1))
    return _upright(found)


def _around(
    container: InputContainer, stream: VideoStream, tap_s: float, budget: _Budget
) -> Iterator[VideoFrame]:
    """The pictures within half a second of a tap; where there is none, the last one before it."""
    first, last = max(tap_s - AROUND_S, 0.0), tap_s + AROUND_S
    begin = stream.start_time or 0
    assert stream.time_base is not None, "a stream of pictures has a clock"
    container.seek(int(first / stream.time_base) + begin, stream=stream)
    before: VideoFrame | None = None
    any_yet = False
    for frame in _timed(container.decode(stream), budget):
        at = float((frame.pts - begin) * stream.time_base) if frame.pts is not None else 0.0
        if at > last:
            break
        if at >= first:
            any_yet = True
            yield frame
        elif first - at <= 2 * AROUND_S:
            before = frame
    if not any_yet and before is not None:
        yield before


def _timed(frames: Iterable[VideoFrame], budget: _Budget) -> Iterator[VideoFrame]:
    for frame in frames:
        budget.spend(frame)
        if frame.pts is not None:
            yield frame


def _sharpness(frame: VideoFrame) -> float:
    """How much fine light and dark there is: the variance of the Laplacian of a small grey copy."""
    scale = SMALL_SIDE / max(frame.width, frame.height)
    width, height = (max(2, round(side * min(scale, 1.0))) for side in (frame.width, frame.height))
    grey = frame.reformat(width=width, height=height, format="gray").to_ndarray()
    return float(cv2.Laplacian(np.ascontiguousarray(grey), cv2.CV_64F).var())


def _upright(frame: VideoFrame) -> Image.Image:
    picture = smaller(Image.fromarray(frame.to_ndarray(format="rgb24")), LONG_SIDE)
    quarter = round(frame.rotation / 90) % 4
    turns = {1: Image.Transpose.ROTATE_90, 2: Image.Transpose.ROTATE_180, 3: Image.Transpose.ROTATE_270}
    return only_pixels(picture.transpose(turns[quarter]) if quarter else picture)
