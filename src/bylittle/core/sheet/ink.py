"""What a photograph says of each bubble: its ink, as marked, blank or doubtful, and what rows make of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from bylittle.core.sheet.geometry import Bubble
from bylittle.core.sheet.identity import SheetId


class Ink(StrEnum):
    """The ink of one bubble alone, whatever stands beside it. An uncertain one is asked about."""

    MARKED = "marked"
    BLANK = "blank"
    DOUBTFUL = "doubtful"


@dataclass(frozen=True, slots=True)
class BubbleInk:
    """`ink` is the share of full darkness inside the ring, 0 none to 1 solid black."""

    bubble: Bubble
    state: Ink
    ink: float


@dataclass(frozen=True, slots=True)
class PageInk:
    """All bubbles of one photographed page, in the order of its geometry."""

    sheet: SheetId
    bubbles: tuple[BubbleInk, ...]

    @property
    def conflicts(self) -> tuple[str, ...]:
        """Rows with more than one clear mark."""
        return tuple(row for row, inks in by_row(self.bubbles).items() if _count(inks, Ink.MARKED) > 1)

    @property
    def open_rows(self) -> tuple[str, ...]:
        """Rows that a person must settle: a doubtful bubble, or more than one clear mark."""
        return tuple(
            row
            for row, inks in by_row(self.bubbles).items()
            if _count(inks, Ink.DOUBTFUL) or _count(inks, Ink.MARKED) > 1
        )


def by_row(inks: Iterable[BubbleInk]) -> dict[str, list[BubbleInk]]:
    """Bubbles by their row, rows in the order of the page."""
    rows: dict[str, list[BubbleInk]] = {}
    for ink in inks:
        rows.setdefault(ink.bubble.row, []).append(ink)
    return rows


def _count(inks: Sequence[BubbleInk], state: Ink) -> int:
    return sum(ink.state is state for ink in inks)
