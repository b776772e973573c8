"""When the whole skill may be done: does the range that is told hold?

Once a week each child under daily advice is asked for its range; one in ten should have got there by its
early day, half by its middle and nine in ten by its late day. A day beyond the course says nothing and is
left out, and so is one whose share had already been reached when it was told.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field

import numpy as np

from benchmarks.children.child import INDEPENDENT, Child
from benchmarks.children.course import WEEKS, Setting, live
from benchmarks.children.kinds import BY_NAME
from benchmarks.children.rules import Adviser, Plan
from bylittle.core.faults import Fault
from bylittle.core.learning.horizon import SHARES, Horizon

WEEK = 7
WANTED = (0.1, 0.5, 0.9)
NAMES = ("early", "middle", "late")


@dataclass
class Told:
    """One child: the ranges told, how often there was silence, and the day all steps were independent."""

    kind: str
    said: list[Horizon] = field(default_factory=list)
    silent: int = 0
    done: int | None = None

    def reached(self, which: int) -> list[bool]:
        """Of the ranges that count: had the child got there by this end of it?"""
        ends = [(h.early, h.middle, h.late)[which] for h in self.said if h.chance_now < SHARES[which]]
        inside = [end for end in ends if end is not None and end < WEEKS * WEEK]
        return [self.done is not None and self.done <= end for end in inside]


class Asking(Adviser):
    """Our advice, asked once a week when the whole skill may be done."""

    def __init__(self, child: Child, told: Told) -> None:
        super().__init__(child)
        self.child, self.told, self.next = child, told, 0

    def plan(self, day: int) -> Plan:
        if day >= self.next:
            self.next = day + WEEK
            try:
                self.told.said.append(self.tracker.when_done(day))
            except Fault:
                self.told.silent += 1
        return super().plan(day)

    def called(self, day: int) -> list[bool]:
        everything = min(self.child.alone(step) for step in range(self.n)) >= INDEPENDENT
        if everything and self.told.done is None:
            self.told.done = day
        return super().called(day)


def ask(order: tuple[str, int, int]) -> Told:
    """One child's course."""
    kind, number, seed = order
    told = Told(kind)
    live(BY_NAME[kind], seed, number, lambda child: Asking(child, told), Setting())
    return told


def ask_all(kinds: Sequence[str], children: int, seed: int, processes: int) -> list[Told]:
    """All children."""
    orders = [(kind, number, seed) for number in range(children) for kind in kinds]
    if processes == 1:
        return [ask(order) for order in orders]
    with ProcessPoolExecutor(processes) as pool:
        return list(pool.map(ask, orders, chunksize=2))


def table(told: Sequence[Told]) -> Iterable[str]:
    """A line for each family and one for all: share that had got there by each end of the range."""
    yield ""
    yield "when the whole skill may be done: share of ranges by whose end the child had got there (ranges)"
    yield f"{'':<30}" + "".join(
        f"{f'{name} ({wanted:.2f})':>18}" for name, wanted in zip(NAMES, WANTED, strict=True)
    )
    for family in ("A", "B", "AB"):
        children = [child for child in told if BY_NAME[child.kind].family in family]
        if children:
            silent = sum(child.silent for child in children)
            share = silent / max(1, silent + sum(len(child.said) for child in children))
            cells = "".join(f"{_cell(children, which):>18}" for which in range(len(NAMES)))
            yield f"{'all' if family == 'AB' else family:<30}{cells}   silent {share:.2f}"


def _cell(children: Sequence[Told], which: int) -> str:
    found = [each for child in children for each in child.reached(which)]
    return f"{np.mean(found):.2f} ({len(found)})" if found else "-"
