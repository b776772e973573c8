"""The recent turns in a few bytes each: what patterns and reasons look back on.

The full log is kept elsewhere; a tracker keeps the last turns only, so its size is bounded.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bylittle.core.practice.marks import Mark, Source, Status

MOST_TURNS = 300
MOST_NAMES = 120
FIELDS = ("step", "offered", "status", "lo", "hi", "ladder", "source", "adult", "place", "grade")
STATUSES = tuple(Status)
SOURCES = tuple(Source)
_STATUS_CODE = {status: code for code, status in enumerate(STATUSES)}
_SOURCE_CODE = {source: code for code, source in enumerate(SOURCES)}

Names = tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]
PackedTurn = tuple[int, bytes]


@dataclass(frozen=True, slots=True)
class Rows:
    """Recent marks as columns of equal length, oldest first. `turn` counts recent turns from 0 overall;
    `turn_of_day` from 0 within its day (as entered)."""

    day: NDArray[np.int64]
    turn: NDArray[np.int64]
    turn_of_day: NDArray[np.int64]
    columns: NDArray[np.int64]

    def __getattr__(self, name: str) -> NDArray[np.int64]:
        if name in FIELDS:
            return self.columns[:, FIELDS.index(name)]
        raise AttributeError(name)

    def __len__(self) -> int:
        return len(self.day)

    def where(self, mask: NDArray[np.bool_]) -> Rows:
        """The rows for which `mask` holds."""
        return Rows(self.day[mask], self.turn[mask], self.turn_of_day[mask], self.columns[mask])


def packed(marks: Iterable[Mark], names: Names) -> tuple[bytes, Names]:
    """One turn's marks as bytes, and the names of adults, places and grades with new ones added."""
    row: list[int] = []
    known = [list(each) for each in names]
    for mark in marks:
        row += [mark.step, mark.offered, _STATUS_CODE[mark.status], mark.lo, mark.hi, int(mark.ladder)]
        row.append(_SOURCE_CODE[mark.source])
        row += [_index(known[i], name) for i, name in enumerate((mark.adult, mark.place, mark.grade))]
    after = (tuple(known[0]), tuple(known[1]), tuple(known[2]))
    return np.array(row, dtype=np.int8).tobytes(), after if after != names else names


def _index(known: list[str], name: str) -> int:
    if name not in known:
        if len(known) >= MOST_NAMES:
            return MOST_NAMES
        known.append(name)
    return known.index(name)


def unpacked(turns: tuple[PackedTurn, ...]) -> Rows:
    """All recent marks as columns."""
    width = len(FIELDS)
    sizes = np.array([len(data) // width for _, data in turns], dtype=np.int64)
    flat = np.frombuffer(b"".join(data for _, data in turns), dtype=np.int8)
    days = np.array([day for day, _ in turns], dtype=np.int64)
    first = np.searchsorted(days, days, side="left")
    within = np.arange(len(turns)) - first
    return Rows(
        day=np.repeat(days, sizes),
        turn=np.repeat(np.arange(len(turns)), sizes),
        turn_of_day=np.repeat(within, sizes),
        columns=flat.reshape(-1, width).astype(np.int64),
    )
