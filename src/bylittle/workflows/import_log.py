"""What a file of practice would add to a record: worked out first, so that all or nothing is taken in."""

from __future__ import annotations

from dataclasses import dataclass

from bylittle.core.faults import Contradiction
from bylittle.core.practice.log import Entry, PracticeLog
from bylittle.files.csv_head import Against
from bylittle.files.line_fault import FaultyFile, LineFault
from bylittle.files.practice_csv import LogFile, LogRow, contradiction, read_log


@dataclass(frozen=True, slots=True)
class ImportPlan:
    """What an import would do. With any fault nothing is new: a file comes in whole or not at all.

    `already`: rows of the file that stand in the record with the same content.
    """

    new: tuple[Entry, ...] = ()
    already: tuple[Entry, ...] = ()
    faults: tuple[LineFault, ...] = ()


def plan_import(data: bytes, log: PracticeLog, against: Against) -> ImportPlan:
    """Compare a file with a record. `against` is the plan that the rows belong to; see `read_log`."""
    try:
        file = read_log(data, against)
    except FaultyFile as faulty:
        return ImportPlan(faults=faulty.line_faults)
    return _compared(file, log)


def _compared(file: LogFile, log: PracticeLog) -> ImportPlan:
    new: list[Entry] = []
    already: list[Entry] = []
    faults: list[LineFault] = []
    standing = {entry.identity: entry for entry in log.entries()}
    for row in file.rows:
        there = standing.get(row.entry.identity)
        if there is None:
            new.append(row.entry)
        elif there == row.entry:
            already.append(row.entry)
        else:
            faults.append(_contradicts(row, there, file))
    return ImportPlan(faults=tuple(faults)) if faults else ImportPlan(tuple(new), tuple(already))


def _contradicts(row: LogRow, there: Entry, file: LogFile) -> LineFault:
    return contradiction(row, there, file.version, file.ladder)


def apply(plan: ImportPlan, log: PracticeLog) -> PracticeLog:
    """The record with the new rows added; Contradiction if it changed since the plan was made."""
    if plan.faults:
        raise Contradiction("import_has_faults", faults=len(plan.faults))
    for entry in plan.new:
        log = log.added(entry)
    return log
