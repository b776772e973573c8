"""One row of a practice log as an entry, with every fault of its cells."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from bylittle.core.faults import BadValue, Fault
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome, ProbeKind, Source, reach_of
from bylittle.core.skill.steps import SkillVersion
from bylittle.files import csv_cells as cells
from bylittle.files.csv_head import Against, Head
from bylittle.files.csv_text import Record, is_damaged, repaired
from bylittle.files.line_fault import WHOLE_LINE, LineFault

COLUMNS = ("date", "turn", "step", "offered", "result", "adult", "place", "grade", "source", "note")
OPTIONAL = ("order_of_help", "probe")
ALL_COLUMNS = COLUMNS + OPTIONAL
MAY_BE_CUT_OFF = ("note", *OPTIONAL)
"""Columns whose cells spreadsheet programs leave out at the end of a row where they are empty."""
FROM_ALONE = (Source.PROBE, Source.BASELINE)


def cell_in(record: Record, places: dict[str, int], column: str) -> str:
    """The trimmed cell of a column, empty where the row has none."""
    place = places.get(column)
    return record.cells[place].strip() if place is not None and place < len(record.cells) else ""


class RowReader:
    """Reads one row, keeping every fault of its cells."""

    def __init__(
        self, record: Record, places: dict[str, int], head: Head, against: Against, width: int
    ) -> None:
        self.faults: list[LineFault] = []
        self._record, self._places, self._head, self._against = record, places, head, against
        self._width = width

    def entry(self) -> Entry | None:
        """The row's entry, None where anything is wrong."""
        if self._wrong_width():
            return None
        ladder, version = self._head.ladder, self._head.version
        day = self._take("date", lambda cell: cells.day_of(cell, self._against.latest))
        turn = self._take("turn", cells.turn_of)
        step = self._take("step", lambda cell: _step(cell, version))
        offered = self._take("offered", lambda cell: cells.level_of(cell, ladder))
        result = self._take("result", lambda cell: cells.result_of(cell, ladder))
        source = self._take("source", lambda cell: cells.word_of(cell, Source, "source"))
        order = self._take("order_of_help", _order)
        probe = self._take("probe", _probe)
        texts = {name: self._text(name) for name in cells.LONGEST}
        fine = {fault.column for fault in self.faults}.isdisjoint(
            {"offered", "result", "source", "order_of_help"}
        )
        if not fine or result is None or source is None or order is None:
            return None
        outcome, needed = result
        if source in FROM_ALONE and offered is None and outcome in (Outcome.MANAGED, Outcome.NOT_MANAGED):
            offered = ladder.top
        self._check(outcome, needed, offered, order, source, probe)
        if self.faults or day is None or turn is None or step is None:
            return None
        return Entry(
            day,
            turn,
            step,
            outcome,
            source,
            offered=offered,
            needed=needed,
            order=order,
            probe=probe,
            **texts,
        )

    def _wrong_width(self) -> bool:
        """True when cells are missing or left over: the others may stand in the wrong column."""
        n, needed = len(self._record.cells), self._width
        extra = any(cell.strip() for cell in self._record.cells[needed:])
        lost = [name for name, place in self._places.items() if place >= n and name not in MAY_BE_CUT_OFF]
        if extra or lost:
            self.faults.append(LineFault("cell_count", self._record.line, n=n, needed=needed))
        return bool(extra or lost)

    def _take(self, column: str, read: Callable[[str], Any]) -> Any:
        if column not in self._places and column not in OPTIONAL:
            return None
        cell = cell_in(self._record, self._places, column)
        if is_damaged(cell):
            self._tell(column, BadValue("encoding_not_utf8", name=column, value=repaired(cell)))
            cell = repaired(cell)
        try:
            return read(cell)
        except Fault as fault:
            self._tell(column, fault)
            return None

    def _text(self, column: str) -> str:
        return self._take(column, lambda cell: cells.text_of(cell, column)) or ""

    def _tell(self, column: str, fault: Fault) -> None:
        self.faults.append(LineFault.at(self._record.line, column, fault))

    def _check(
        self,
        outcome: Outcome,
        needed: int | None,
        offered: int | None,
        order: OrderOfHelp,
        source: Source,
        probe: ProbeKind | None,
    ) -> None:
        """What the cells say together: the mark's own rules, and the rules of a probe."""
        top = self._head.ladder.top
        try:
            reach_of(outcome, top=top, offered=offered, needed=needed, order=order, source=source)
        except Fault as fault:
            self._tell(str(fault.values.get("name", WHOLE_LINE)), fault)
        if source not in FROM_ALONE and probe is not None:
            self._tell("probe", BadValue("probe_kind_elsewhere", name="probe", value=probe.value))
        helped = offered is not None and offered != top and order is OrderOfHelp.FIXED_OFFER
        if source in FROM_ALONE and helped and offered is not None:
            value = self._head.ladder.name(offered)
            self._tell("offered", BadValue("probe_with_help", name="offered", value=value))


def _step(cell: str, version: SkillVersion | None) -> str:
    if version is None:
        raise BadValue("steps_unknown", name="step", value=cell)
    return cells.step_of(cell, version)


def _order(cell: str) -> OrderOfHelp:
    return cells.word_of(cell, OrderOfHelp, "order_of_help") if cell else OrderOfHelp.FIXED_OFFER


def _probe(cell: str) -> ProbeKind | None:
    return cells.word_of(cell, ProbeKind, "probe") if cell else None
