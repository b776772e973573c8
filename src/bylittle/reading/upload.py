"""Read an upload: a photograph, or a scanner's PDF with several pages. One bad picture loses no other."""

from __future__ import annotations

from pathlib import Path

import cv2

from bylittle.core.faults import BadValue
from bylittle.core.sheet.identity import SheetId
from bylittle.reading.pictures import Frame, frames
from bylittle.reading.reader import NotRead, Reading, read_picture
from bylittle.reading.refusal import Refused
from bylittle.reading.result import Result


def read_file(path: Path) -> list[Result]:
    """What was read of the file at `path`; `OSError` where it is not there."""
    return read_upload(str(path), path.read_bytes())


def read_upload(name: str, data: bytes) -> list[Result]:
    """What was read of each picture in `data`, in order."""
    return [Result(name, frame.part, read_frame(frame)) for frame in frames(data)]


def read_frame(frame: Frame, typed: SheetId | None = None) -> Reading | NotRead:
    """What was read of one picture; `typed` is the sheet's id where a person typed it in."""
    if frame.grey is None:
        return NotRead(frame.refusal or Refused("no_sheet", missing=4))
    try:
        found = read_picture(frame.grey, typed)
        if typed is not None and isinstance(found, Reading) and found.sheet.plane.paper != typed.shape.paper:
            return NotRead(Refused("wrong_number"), typed)
        return found
    except cv2.error:  # a picture too odd for the library, a single pixel line for one
        return NotRead(Refused("no_sheet", missing=4))
    except BadValue:  # an id that names a page which its own layout lacks
        return NotRead(Refused("wrong_number"), typed)
