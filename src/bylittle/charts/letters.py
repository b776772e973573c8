"""How wide a text will be set, and how it breaks into lines.

Widths of Atkinson Hyperlegible Next in hundredths of the letter height, measured from the font files that
are printed with; a little is added because a browser may have to use another font.
"""

from __future__ import annotations

_REGULAR = (
    "28 29 30 65 59 92 73 16 30 30 48 61 21 36 21 39 65 41 55 58 61 59 60 51 62 60 21 21 55 63 55 48 "
    "78 63 61 64 67 57 55 69 69 39 51 63 54 82 69 71 59 72 61 59 56 69 59 86 62 58 61 32 39 34 55 37 "
    "24 52 57 48 56 54 31 56 55 25 24 49 26 84 55 55 57 57 35 47 33 54 46 68 48 45 46 34 24 34 56"
)
_WIDTHS = {chr(32 + place): int(width) / 100 for place, width in enumerate(_REGULAR.split())}
_WIDTHS |= {"\u00a0": 0.28, "–": 0.5, "·": 0.24, "í": 0.25, "…": 0.67}
OTHER = 0.7  # letters outside the table: accented capitals and wide signs stay below this
WIDE = 1.05  # scripts whose letters fill the square
SPARE = 1.06
BOLD = 1.06
ELLIPSIS = "…"


def width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of a text set at `size`, rather a little too wide than too narrow."""
    total = sum(_WIDTHS.get(letter, WIDE if ord(letter) > 0x2E80 else OTHER) for letter in text)
    return total * size * SPARE * (BOLD if bold else 1.0)


def shortened(text: str, size: float, room: float, *, bold: bool = False) -> str:
    """The text, cut with an ellipsis where it is wider than `room`; empty where nothing fits."""
    if width(text, size, bold=bold) <= room:
        return text
    for length in range(len(text) - 1, 0, -1):
        cut = text[:length].rstrip() + ELLIPSIS
        if width(cut, size, bold=bold) <= room:
            return cut
    return ""


def wrapped(text: str, size: float, room: float, *, most: int = 2, bold: bool = False) -> list[str]:
    """The text broken between words into at most `most` lines; the last is cut where it must be."""
    lines: list[str] = []
    words = text.split(" ")
    while words:
        if len(lines) == most - 1:
            return [*lines, shortened(" ".join(words), size, room, bold=bold)]
        taken = _words_that_fit(words, size, room, bold)
        lines.append(shortened(" ".join(words[:taken]), size, room, bold=bold))
        words = words[taken:]
    return lines


def _words_that_fit(words: list[str], size: float, room: float, bold: bool) -> int:
    taken = 1
    while taken < len(words) and width(" ".join(words[: taken + 1]), size, bold=bold) <= room:
        taken += 1
    return taken
