"""The practice log: it only grows. A correction or a move is an entry of its own; the old one stays.

Belief is never stored here: everything the program thinks about a child is a replay of this log.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from bylittle.core.faults import BadValue, Contradiction
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.practice.marks import (
    NO_LEVEL,
    Mark,
    Outcome,
    ProbeKind,
    Reach,
    Source,
    Status,
    reach_of,
)


@dataclass(frozen=True, slots=True, order=True)
class Identity:
    """What makes a row the same row: date, source, adult, turn, step (marks of one skill)."""

    day: date
    source: Source
    adult: str
    turn: int
    step_id: str


@dataclass(frozen=True, slots=True)
class Entry:
    """One step mark as it was written down. `turn` counts from 1 within date, source and adult.

    `offered` and `needed` are ladder indices or None. `day` is a local calendar date.
    """

    day: date
    turn: int
    step_id: str
    outcome: Outcome
    source: Source = Source.HOME
    adult: str = ""
    offered: int | None = None
    needed: int | None = None
    order: OrderOfHelp = OrderOfHelp.FIXED_OFFER
    place: str = ""
    grade: str = ""
    note: str = ""
    probe: ProbeKind | None = None

    @property
    def identity(self) -> Identity:
        return Identity(self.day, self.source, self.adult, self.turn, self.step_id)

    def reach(self, top: int) -> Reach:
        """The interval that this entry gives on a ladder whose `alone` is `top`."""
        return reach_of(
            self.outcome,
            top=top,
            offered=self.offered,
            needed=self.needed,
            order=self.order,
            source=self.source,
        )

    def mark(self, step: int, top: int) -> Mark:
        """The entry as the tracker takes it; `step` is its place in the chain."""
        reach = self.reach(top)
        return Mark(
            step=step,
            offered=self._offer(reach),
            status=reach.status,
            lo=reach.lo,
            hi=reach.hi,
            ladder=reach.exact and self.order is OrderOfHelp.LEAST_TO_MOST,
            source=self.source,
            adult=self.adult,
            place=self.place,
            grade=self.grade,
        )

    def _offer(self, reach: Reach) -> int:
        if reach.status is Status.ADULT or self.offered is None:
            return NO_LEVEL
        return self.offered


class ChangeKind(StrEnum):
    """How an entry that stands was changed: put right, or taken out because it belongs elsewhere."""

    CORRECTED = "corrected"
    MOVED_AWAY = "moved away"


@dataclass(frozen=True, slots=True)
class Change:
    """A later word about an entry that stands: who, why, and the new content (None when moved away)."""

    of: Identity
    kind: ChangeKind
    by: str
    reason: str
    entry: Entry | None = None


@dataclass(frozen=True, slots=True)
class PracticeLog:
    """An append-only sequence of entries and changes of one skill of one child."""

    records: tuple[Entry | Change, ...] = ()
    _standing: dict[Identity, Entry] = field(default_factory=dict, compare=False, repr=False)

    @classmethod
    def of(cls, records: Iterable[Entry | Change]) -> PracticeLog:
        """The log made by adding the records one after another (the same as `added` and `corrected`)."""
        kept: list[Entry | Change] = []
        standing: dict[Identity, Entry] = {}
        for record in records:
            if _apply(record, standing):
                kept.append(record)
        return cls(tuple(kept), standing)

    def added(self, entry: Entry) -> PracticeLog:
        """The log with one more entry; the same one again changes nothing.

        Contradiction when a row of this identity stands with other content: a correction is asked for.
        BadValue for a turn below 1.
        """
        return self._with(entry)

    def corrected(self, change: Change) -> PracticeLog:
        """The log with a correction or a move; the old entry stays in `records`.

        BadValue when no such row stands, Contradiction when the correction would land on another row.
        """
        return self._with(change)

    def entries(self) -> tuple[Entry, ...]:
        """The rows that stand, by date, source, adult, turn and then as they were written."""
        return tuple(sorted(self._standing.values(), key=_order))

    def turns(self) -> Iterator[tuple[date, tuple[Entry, ...]]]:
        """The standing rows grouped into turns, in the order of `entries`."""
        group: list[Entry] = []
        for entry in self.entries():
            if group and _turn(entry) != _turn(group[0]):
                yield group[0].day, tuple(group)
                group = []
            group.append(entry)
        if group:
            yield group[0].day, tuple(group)

    def history(self, identity: Identity) -> tuple[Entry | Change, ...]:
        """Everything ever said about one row, oldest first."""
        return tuple(record for record in self.records if _names(record, identity))

    def _with(self, record: Entry | Change) -> PracticeLog:
        standing = dict(self._standing)
        if not _apply(record, standing):
            return self
        return PracticeLog((*self.records, record), standing)


def _apply(record: Entry | Change, standing: dict[Identity, Entry]) -> bool:
    """Change what stands by one record; False when it says nothing new."""
    if isinstance(record, Change):
        _change(record, standing)
        return True
    if record.turn < 1:
        raise BadValue("turn_number", name="turn", value=record.turn, allowed="1 or more")
    there = standing.get(record.identity)
    if there is not None and there != record:
        raise Contradiction("same_row_other_content", there=there, new=record)
    standing[record.identity] = record
    return there is None


def _change(change: Change, standing: dict[Identity, Entry]) -> None:
    if change.of not in standing:
        raise BadValue("no_such_row", name="of", value=change.of, allowed="a row that stands")
    if change.entry is not None and change.entry.identity != change.of:
        taken = standing.get(change.entry.identity)
        if taken is not None:
            raise Contradiction("same_row_other_content", there=taken, new=change.entry)
    del standing[change.of]
    if change.entry is not None:
        standing[change.entry.identity] = change.entry


_SOURCE_ORDER = {source: order for order, source in enumerate(Source)}


def _turn(entry: Entry) -> tuple[date, Source, str, int]:
    return entry.day, entry.source, entry.adult, entry.turn


def _order(entry: Entry) -> tuple[date, int, int, str]:
    return entry.day, entry.turn, _SOURCE_ORDER[entry.source], entry.adult


def _names(record: Entry | Change, identity: Identity) -> bool:
    if isinstance(record, Entry):
        return record.identity == identity
    return record.of == identity or (record.entry is not None and record.entry.identity == identity)
