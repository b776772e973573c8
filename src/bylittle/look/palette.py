"""The colours, once for screen and print, with the contrast that each must keep.

Nothing is told by colour alone; every pair below also survives a black-and-white copier.
"""

from __future__ import annotations

from types import MappingProxyType

PAPER = "#FCFAF5"
WHITE = "#FFFFFF"
INK = "#1F2A30"
QUIET = "#59646A"
RULE = "#8A9296"
ACCENT = "#6A2E59"
TINT = "#EBDDE6"
CAUTION = "#8A3B12"

PALETTE = MappingProxyType(
    {
        "paper": PAPER,
        "white": WHITE,
        "ink": INK,
        "quiet": QUIET,
        "rule": RULE,
        "accent": ACCENT,
        "tint": TINT,
        "caution": CAUTION,
    }
)

DARK = MappingProxyType(
    {
        "paper": "#161B1F",
        "white": "#0F1316",
        "ink": "#ECE8E0",
        "quiet": "#A6AFB3",
        "rule": "#737C81",
        "accent": "#DDA6CB",
        "tint": "#3A2634",
        "caution": "#F0A578",
    }
)

TEXT_CONTRAST = 4.5
LINE_CONTRAST = 3.0


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two `#RRGGBB` colours, 1 to 21 (WCAG 2.2, "contrast ratio")."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def luminance(colour: str) -> float:
    """Relative luminance of `#RRGGBB`, 0 black to 1 white (WCAG 2.2, "relative luminance")."""
    red, green, blue = (_linear(int(colour[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(share: float) -> float:
    return share / 12.92 if share <= 0.04045 else float(((share + 0.055) / 1.055) ** 2.4)
