"""A fault in a file: the core's code and values, with the line and the column where it stands."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from bylittle.core.faults import Fault, ManyFaults

WHOLE_LINE = ""


class LineFault(Fault):
    """What is wrong at one place of a file: `line` counts from 1, `column` is a name or empty.

    The sentence and the mend for people stand in `bylittle.library.wording.csv_faults`.
    """

    code = "line_fault"

    def __init__(self, code: str, line: int, column: str = WHOLE_LINE, **values: Any) -> None:
        super().__init__(code, **values)
        self.line = line
        self.column = column

    @classmethod
    def at(cls, line: int, column: str, fault: Fault) -> LineFault:
        """A fault of the core, told at its place in the file."""
        told = cls(fault.code, line, column)
        told.values.update(fault.values)
        return told

    def __str__(self) -> str:
        return f"line {self.line}, {self.column or 'whole line'}: {super().__str__()}"


class FaultyFile(ManyFaults):
    """Everything wrong with one file, told together in the order of its lines."""

    code = "faulty_file"

    def __init__(self, faults: Iterable[LineFault]) -> None:
        self.line_faults: tuple[LineFault, ...] = tuple(sorted(faults, key=lambda fault: fault.line))
        super().__init__(self.line_faults)
