"""Read an upload: a photograph, or a scanner's PDF with several pages. One bad picture loses no other."""

from __future__ import annotations

from pathlib import Path

import cv2

from bylittle.reading.pictures import Frame, frames
from bylittle.reading.reader import NotRead, Reading, read_picture
from bylittle.reading.refusal import Refused
from bylittle.reading.result import Result


def read_file(path: Path) -> list[Result]:
    """What was read of the file at `path`; `OSError` where it is not there."""
    return read_upload(str(path), path.read_bytes())


def read_upload(name: str, data: bytes) -> list[Result]:
    """What was read of each picture in `data`, in order."""
    return [Result(name, frame.part, _outcome(frame)) for frame in frames(data)]


def _outcome(frame: Frame) -> Reading | NotRead:
    if frame.grey is None:
        return NotRead(frame.refusal or Refused("no_sheet", missing=4))
    try:
        return read_picture(frame.grey)
    except cv2.error:  # a picture too odd for the library, a single pixel line for one
        return NotRead(Refused("no_sheet", missing=4))
