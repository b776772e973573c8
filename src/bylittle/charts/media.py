"""Where a chart is shown: how wide it is, how large its letters are, which colours it has."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bylittle.look.palette import PALETTE

FONT = "Atkinson Hyperlegible Next, Noto Sans, sans-serif"


@dataclass(frozen=True, slots=True)
class Medium:
    """`width` and sizes in the units of the drawing: CSS pixels on a screen, points on paper.

    `focusable`: points can be reached by keyboard and are read out (the page variant).
    """

    name: str
    width: float
    text: float
    small: float
    line: float
    dot: float
    focusable: bool
    colours: Mapping[str, str]


SCREEN = Medium("screen", 720, 16, 14, 1.5, 5.0, True, PALETTE)
PHONE = Medium("phone", 360, 15, 13, 1.5, 4.5, True, PALETTE)
PRINT = Medium("print", 482, 10.5, 9.5, 0.9, 3.2, False, {**PALETTE, "paper": "#FFFFFF"})
