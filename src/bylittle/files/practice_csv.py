"""The practice log CSV: one line a step mark, read into the core's entries and written from them.

Everything wrong with a file is told at once, each fault with its line and column; a file with a fault gives
no entries at all.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from dataclasses import dataclass

from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.practice.log import Entry, Identity
from bylittle.core.practice.marks import Outcome
from bylittle.core.skill.ladder import Ladder
from bylittle.core.skill.steps import MOST_STEPS, SkillVersion
from bylittle.files import csv_cells as cells
from bylittle.files.csv_head import LEVELS, SKILL, STEPS, UNNAMED, Against, Head, read_head, version_of
from bylittle.files.csv_rows import ALL_COLUMNS, COLUMNS, RowReader, cell_in
from bylittle.files.csv_text import CsvText, Record, column_name, repaired, take_apart
from bylittle.files.line_fault import WHOLE_LINE, FaultyFile, LineFault

LINE_END = "\r\n"
"""As RFC 4180 has it; the writer puts quotes around a cell that holds either of the two signs."""


@dataclass(frozen=True, slots=True)
class LogRow:
    """One entry and the line of the file where it stands, from 1."""

    line: int
    entry: Entry


@dataclass(frozen=True, slots=True)
class LogFile:
    """A practice log as read: the skill's steps, the ladder, and the rows in the order of the file.

    `named` is false where the file and the reader named no steps and their number was counted from the rows.
    """

    version: SkillVersion
    ladder: Ladder
    rows: tuple[LogRow, ...]
    named: bool = True

    @property
    def skill_name(self) -> str:
        return self.version.name

    @property
    def step_names(self) -> tuple[str, ...]:
        return tuple(step.name for step in self.version.steps)

    @property
    def levels(self) -> tuple[str, ...]:
        return self.ladder.names

    @property
    def entries(self) -> tuple[Entry, ...]:
        return tuple(row.entry for row in self.rows)


def read_log(data: bytes, against: Against | None = None) -> LogFile:
    """Read a practice log; FaultyFile with every fault of the file, each at its line and column.

    `against` brings the plan's steps and ladder and the latest day permitted. Without steps, the comment
    line `# steps:` names them; without that too, numbered steps are counted from the rows. A probe or
    baseline row without an offer means alone. The same row twice is one row.
    """
    against = against or Against()
    text = take_apart(data, ALL_COLUMNS)
    head, faults = read_head(text.comments, against)
    faults.extend(text.faults)
    places = _places(text.header, faults)
    named = head.version is not None
    if head.version is None:
        head = Head(_counted(text, places), head.ladder)
    rows = _rows(text, places, head, against, faults)
    if faults:
        raise FaultyFile(faults)
    assert head.version is not None
    return LogFile(head.version, head.ladder, tuple(rows), named)


def write_log(entries: Iterable[Entry], version: SkillVersion, ladder: Ladder) -> str:
    """Entries as a practice log that stands for itself; encode as UTF-8. `read_log` gives them back.

    Free text is taken without the spaces around it. BadValue for a step that is not in the version.
    """
    out = io.StringIO()
    names = tuple(step.name for step in version.steps)
    for key, told in ((SKILL, (version.name,)), (STEPS, names), (LEVELS, ladder.names)):
        out.write(_comment(f"# {key}: {' | '.join(cells.plain_name(name) for name in told)}") + LINE_END)
    writer = csv.writer(out, lineterminator=LINE_END)
    writer.writerow(ALL_COLUMNS)
    for entry in entries:
        writer.writerow(_cells_of(entry, version, ladder))
    return out.getvalue()


def _comment(line: str) -> str:
    """A comment line; in quotes where it ends like the empty cells that spreadsheet programs add."""
    return '"{}"'.format(line.replace('"', '""')) if line.endswith((",", ";")) else line


def _places(header: Record, faults: list[LineFault]) -> dict[str, int]:
    """Where each column stands; unknown, repeated and missing columns become faults."""
    places: dict[str, int] = {}
    for index, cell in enumerate(header.cells):
        name = column_name(cell)
        if name in places:
            faults.append(LineFault("column_repeated", header.line, name))
        elif name in ALL_COLUMNS:
            places[name] = index
        elif index < _width(header):
            shown = repaired(cell.strip())
            faults.append(LineFault("column_unknown", header.line, shown, value=shown, allowed=ALL_COLUMNS))
    missing = [name for name in COLUMNS if name not in places]
    faults.extend(LineFault("column_missing", header.line, name, allowed=COLUMNS) for name in missing)
    return places


def _width(header: Record) -> int:
    """How many columns there are, without the empty ones that a spreadsheet program adds at the end."""
    return max((index for index, cell in enumerate(header.cells, 1) if cell.strip()), default=0)


def _counted(text: CsvText, places: dict[str, int]) -> SkillVersion | None:
    """Steps counted from the rows where every row tells its step by number; else None."""
    told = {cell_in(record, places, "step") for record in text.rows} - {""}
    if not told:
        return version_of(UNNAMED, ("Step 1",))
    if not all(cell.isascii() and cell.isdecimal() and len(cell) < 4 for cell in told):
        return None
    most = max(1, min(MOST_STEPS, max(int(cell) for cell in told)))
    return version_of(UNNAMED, tuple(f"Step {number}" for number in range(1, most + 1)))


def _rows(
    text: CsvText, places: dict[str, int], head: Head, against: Against, faults: list[LineFault]
) -> list[LogRow]:
    rows: list[LogRow] = []
    seen: dict[Identity, LogRow] = {}
    width = _width(text.header)
    for record in text.rows:
        if record.cells[0].lstrip().startswith("#") and places.get("note") != 0:
            faults.extend(_late_comment(record))
            continue
        reader = RowReader(record, places, head, against, width)
        entry = reader.entry()
        faults.extend(reader.faults)
        if entry is not None:
            faults.extend(_added(LogRow(record.line, entry), seen, rows, head))
    return rows


def _late_comment(record: Record) -> list[LineFault]:
    told = record.cells[0].strip().lstrip("# ")
    if told.partition(":")[0].strip().casefold() in (SKILL, STEPS, LEVELS):
        return [LineFault("comment_late", record.line, value=f"# {told}")]
    return []


def _added(row: LogRow, seen: dict[Identity, LogRow], rows: list[LogRow], head: Head) -> list[LineFault]:
    """Add a row that is new; a row that says other than an earlier one of its identity is a fault."""
    there = seen.setdefault(row.entry.identity, row)
    if there is row:
        rows.append(row)
    elif there.entry != row.entry:
        assert head.version is not None
        return [contradiction(row, there.entry, head.version, head.ladder, there_line=there.line)]
    return []


def contradiction(
    row: LogRow, there: Entry, version: SkillVersion, ladder: Ladder, there_line: int | None = None
) -> LineFault:
    """A row that has the identity of another and says something else; both are shown."""
    old, new = (_cells_of(entry, version, ladder) for entry in (there, row.entry))
    differ = [name for name, a, b in zip(ALL_COLUMNS, old, new, strict=True) if a != b]
    shown_old = ", ".join(cell for cell in old if cell)
    shown_new = ", ".join(cell for cell in new if cell)
    code = "same_row_other_content" if there_line else "same_row_in_record"
    column = differ[0] if differ else WHOLE_LINE
    return LineFault(code, row.line, column, there=shown_old, new=shown_new, there_line=there_line)


def _cells_of(entry: Entry, version: SkillVersion, ladder: Ladder) -> tuple[str, ...]:
    result = entry.outcome.value
    if entry.outcome is Outcome.NEEDED and entry.needed is not None:
        result = f"{result} {ladder.name(entry.needed)}"
    offered = "" if entry.offered is None else ladder.name(entry.offered)
    texts = [cells.guarded(text.strip()) for text in (entry.adult, entry.place, entry.grade)]
    order = "" if entry.order is OrderOfHelp.FIXED_OFFER else entry.order.value
    return (
        *(entry.day.isoformat(), str(entry.turn), _step_cell(entry.step_id, version), offered, result),
        *(*texts, entry.source.value, cells.guarded(entry.note.strip())),
        *(order, entry.probe.value if entry.probe else ""),
    )


def _step_cell(step_id: str, version: SkillVersion) -> str:
    """A step's name where it says which step is meant, else its number."""
    position = version.position(step_id)
    name = version.steps[position].name
    alike = sum(cells.folded(step.name) == cells.folded(name) for step in version.steps)
    plain = " ".join(name.split()) == name and not name.isdecimal() and name[:1] not in "=+-@'\"#"
    return name if alike == 1 and plain else str(position + 1)
