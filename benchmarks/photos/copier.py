"""What a black-and-white copier does to a page: steep, thresholded or dithered, streaked, shrunk, tilted."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

Picture = NDArray[np.float32]

TONES = ("steep", "threshold", "dither")


def photocopy(
    page: Picture, scale: float, harsh: float, rng: Generator, tone: str = "steep", streaks: int = 0
) -> Picture:
    """One generation of a copy of `page`, with `scale` pixels a millimetre."""
    grey = cv2.cvtColor(page, cv2.COLOR_RGB2GRAY)
    height, width = grey.shape
    shrink = rng.uniform(0.985, 1.005) if tone == "steep" else rng.uniform(0.965, 1.0)
    skew = cv2.getRotationMatrix2D((width / 2, height / 2), rng.normal(0, 0.4), shrink)
    skew[:, 2] += rng.normal(0, 0.8 * scale, 2)
    grey = cv2.warpAffine(grey, skew, (width, height), borderValue=1.0)
    grey = cv2.GaussianBlur(grey, (0, 0), rng.uniform(0.06, 0.12) * scale)
    grey = {"steep": _steep, "threshold": _threshold, "dither": _dither}[tone](grey, scale, harsh, rng)
    specks = rng.random(grey.shape, dtype=np.float32) < 2e-5 * (1 + 4 * harsh)
    specks = cv2.dilate(specks.astype(np.uint8), np.ones((2, 2), np.uint8)) > 0
    grey[specks] *= 0.3
    for _ in range(streaks):
        _streak(grey, scale, rng)
    grey *= 1 - rng.uniform(0, 0.05)
    return np.repeat(grey.astype(np.float32)[..., None], 3, 2)


def _steep(grey: Picture, scale: float, harsh: float, rng: Generator) -> Picture:
    toned = 1 / (1 + np.exp(-(4 + 14 * harsh) * (grey - rng.uniform(0.5, 0.62))))
    return np.asarray(0.08 + 0.92 * np.clip((toned - 0.06) / 0.9, 0.0, 1.0), np.float32)


def _threshold(grey: Picture, scale: float, harsh: float, rng: Generator) -> Picture:
    """Toner or none, at 300 dots an inch; what is paler than the limit is gone."""
    dots = cv2.resize(grey, None, fx=11.8 / scale, fy=11.8 / scale, interpolation=cv2.INTER_AREA)
    black = (dots < rng.uniform(0.62, 0.8)).astype(np.float32)
    return np.asarray(1 - 0.92 * _laid(black, grey, scale), np.float32)


def _dither(grey: Picture, scale: float, harsh: float, rng: Generator) -> Picture:
    """Grey as a screen of dots (an ordered 4 x 4 screen at 300 dots an inch; Bayer 1973)."""
    dots = cv2.resize(grey, None, fx=11.8 / scale, fy=11.8 / scale, interpolation=cv2.INTER_AREA)
    screen = (np.array([[0, 8, 2, 10], [12, 4, 14, 6], [3, 11, 1, 9], [15, 7, 13, 5]]) + 0.5) / 16
    limits = np.tile(screen, (-(-dots.shape[0] // 4), -(-dots.shape[1] // 4)))
    black = (dots < limits[: dots.shape[0], : dots.shape[1]]) & (dots < 0.97)
    return np.asarray(1 - 0.92 * _laid(black.astype(np.float32), grey, scale), np.float32)


def _laid(black: Picture, grey: Picture, scale: float) -> Picture:
    large = cv2.resize(black, grey.shape[::-1], interpolation=cv2.INTER_LINEAR)
    return np.asarray(cv2.GaussianBlur(large, (0, 0), 0.03 * scale), np.float32)


def _streak(grey: Picture, scale: float, rng: Generator) -> None:
    """A line down the whole copy, from dirt on the glass: dark, or pale where toner is missing."""
    x, wide = int(rng.integers(grey.shape[1])), int(rng.uniform(0.2, 0.7) * scale) + 1
    part = grey[:, x : x + wide]
    part[:] = np.minimum(part, rng.uniform(0.3, 0.8)) if rng.random() < 0.7 else part * 0.4 + 0.6
