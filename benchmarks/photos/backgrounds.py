"""What lies under and beside a sheet, by name: plain and busy tables, white on white, other papers."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType

import cv2
import numpy as np
import segno
from numpy.random import Generator
from numpy.typing import NDArray

Picture = NDArray[np.float32]


def background(name: str, height: int, width: int, rng: Generator) -> Picture:
    """The table `name` as seen by the camera."""
    return np.clip(_NAMED[name](height, width, rng), 0, 1).astype(np.float32)


def _plain(height: int, width: int, rng: Generator) -> Picture:
    base = rng.uniform(0.15, 0.75, 3).astype(np.float32)
    return np.tile(base, (height, width, 1))


def _grained(height: int, width: int, rng: Generator, cells: tuple[int, int]) -> Picture:
    small = rng.normal(0, 1, cells).astype(np.float32)
    grain = cv2.resize(small, (width, height), interpolation=cv2.INTER_CUBIC)
    return _plain(height, width, rng) + 0.08 * grain[..., None]


def _wood(height: int, width: int, rng: Generator) -> Picture:
    return _grained(height, width, rng, (40, 6))


def _cloth(height: int, width: int, rng: Generator) -> Picture:
    return _grained(height, width, rng, (40, 40))


def _white(height: int, width: int, rng: Generator) -> Picture:
    """A table as white as the paper: no edge is seen."""
    return np.full((height, width, 3), rng.uniform(0.95, 1.0), np.float32)


def _checked(height: int, width: int, rng: Generator) -> Picture:
    """A checked tablecloth: dark and light squares about as large as a corner marker."""
    size = int(rng.uniform(0.02, 0.08) * width)
    dark, light = rng.uniform(0.05, 0.35, 3), rng.uniform(0.75, 1.0, 3)
    rows, columns = np.arange(height)[:, None] // size % 2, np.arange(width)[None] // size % 2
    both = (rows + columns) / 2 if rng.random() < 0.5 else (rows ^ columns).astype(float)
    return np.asarray(light + (dark - light) * both[..., None], np.float32)


def _tiles(height: int, width: int, rng: Generator) -> Picture:
    """Light tiles with dark joints."""
    size, joint = int(rng.uniform(0.06, 0.2) * width), int(0.004 * width) + 1
    lines = (np.arange(height)[:, None] % size < joint) | (np.arange(width)[None] % size < joint)
    return np.where(lines[..., None], 0.3, rng.uniform(0.6, 0.95, 3)).astype(np.float32)


def _squares(height: int, width: int, rng: Generator) -> Picture:
    """Black squares with white in them, as on packaging and toys."""
    picture = _plain(height, width, rng)
    for _ in range(40):
        size = int(rng.uniform(0.02, 0.08) * width)
        x, y = int(rng.integers(0, width)), int(rng.integers(0, height))
        cv2.rectangle(picture, (x, y), (x + size, y + size), (1, 1, 1), -1)
        cells = np.kron(rng.integers(0, 2, (4, 4)), np.ones((size // 6 + 1,) * 2)) * 0.9
        cv2.rectangle(picture, (x + 3, y + 3), (x + size - 3, y + size - 3), (0.04, 0.04, 0.04), -1)
        inner = picture[y + size // 6 : y + size // 6 + len(cells), x + size // 6 :][:, : len(cells)]
        inner[:] = cells[: inner.shape[0], : inner.shape[1], None]
    return picture


def _papers(height: int, width: int, rng: Generator) -> Picture:
    """Letters with lines of print, rings and codes of other makers."""
    picture = _plain(height, width, rng)
    for number in range(5):
        x, y = int(rng.uniform(-0.1, 0.8) * width), int(rng.uniform(-0.1, 0.8) * height)
        w, h = int(rng.uniform(0.2, 0.5) * width), int(rng.uniform(0.2, 0.4) * height)
        cv2.rectangle(picture, (x, y), (x + w, y + h), (0.95, 0.95, 0.93), -1)
        for line in range(y + 20, y + h - 20, 34):
            cv2.line(picture, (x + 20, line), (x + int(w * rng.uniform(0.5, 0.9)), line), (0.2, 0.2, 0.2), 7)
        code = np.array(list(segno.make(f"LETTER-{number}-{int(rng.integers(1e9))}").matrix), float)
        drawn = np.kron(1 - code, np.ones((9, 9)))[..., None]
        place = picture[max(0, y + 30) :, max(0, x + 30) :][: len(drawn), : len(drawn)]
        place[:] = drawn[: place.shape[0], : place.shape[1]]
    return picture


_NAMED: MappingProxyType[str, Callable[[int, int, Generator], Picture]] = MappingProxyType(
    {
        "plain": _plain,
        "wood": _wood,
        "cloth": _cloth,
        "white table": _white,
        "checked cloth": _checked,
        "tiles": _tiles,
        "dark squares": _squares,
        "other papers": _papers,
    }
)
NAMES = tuple(_NAMED)
