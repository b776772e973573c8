"""The bytes of a CSV file as comments, a header and rows that know their line; nothing is interpreted.

UTF-8 with or without a byte order mark; comma or semicolon, found from the header. Bytes that are not
UTF-8 are carried along as lone surrogates, so that the cell they stand in can be named.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass

from bylittle.files.line_fault import FaultyFile, LineFault

MOST_BYTES = 20_000_000
DELIMITERS = (",", ";")
_UTF8_MARK = b"\xef\xbb\xbf"
_OTHER_MARKS = (b"\xff\xfe", b"\xfe\xff")


@dataclass(frozen=True, slots=True)
class Comment:
    """A comment line before the header: `key` as in `# key: text`, both trimmed; key may be empty."""

    line: int
    key: str
    text: str


@dataclass(frozen=True, slots=True)
class Record:
    """The cells of one row; `line` is the line of the file on which it begins, from 1."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CsvText:
    """A CSV file taken apart; `faults` are rows that could not be taken apart at all."""

    comments: tuple[Comment, ...]
    header: Record
    rows: tuple[Record, ...]
    faults: tuple[LineFault, ...]


def take_apart(data: bytes, columns: tuple[str, ...]) -> CsvText:
    """Take a file apart; FaultyFile where there is nothing to go on with (no text, no header)."""
    lines = list(io.StringIO(_text(data), newline=""))
    comments, first = _comments(lines)
    if first == len(lines):
        raise FaultyFile([LineFault("file_empty", max(1, len(lines)), allowed=columns)])
    delimiter = _delimiter(lines[first], first + 1, columns)
    rows: list[Record] = []
    faults: list[LineFault] = []
    for found in _records(lines, first, delimiter):
        if isinstance(found, LineFault):
            faults.append(found)
        elif any(cell.strip() for cell in found.cells):
            rows.append(found)
    if not rows or rows[0].line != first + 1:
        raise FaultyFile(faults)
    return CsvText(tuple(comments), rows[0], tuple(rows[1:]), tuple(faults))


def is_damaged(cell: str) -> bool:
    """True when the cell holds bytes that are not UTF-8."""
    return any("\udc80" <= sign <= "\udcff" for sign in cell)


def repaired(cell: str) -> str:
    """The cell read as Windows Western text: a likely reading, for showing and never for keeping."""
    if not is_damaged(cell):
        return cell
    return "".join(_western(sign) for sign in cell)


def _western(sign: str) -> str:
    if not is_damaged(sign):
        return sign
    return sign.encode("utf-8", "surrogateescape").decode("cp1252", "replace")


def _text(data: bytes) -> str:
    if len(data) > MOST_BYTES:
        raise FaultyFile([LineFault("file_too_large", 1, value=len(data), allowed=MOST_BYTES)])
    if data.startswith(_OTHER_MARKS) or b"\0" in data[:4]:
        raise FaultyFile([LineFault("encoding_utf16", 1)])
    if b"\0" in data:
        line = data[: data.index(b"\0")].count(b"\n") + 1
        raise FaultyFile([LineFault("not_text", line)])
    return data.removeprefix(_UTF8_MARK).decode("utf-8", "surrogateescape")


def _comments(lines: list[str]) -> tuple[list[Comment], int]:
    """The comment lines at the top, and the index of the header's line."""
    comments: list[Comment] = []
    for index, line in enumerate(lines):
        plain = _unpadded(line)
        if plain.startswith("#"):
            key, colon, text = plain.lstrip("# ").partition(":")
            comments.append(Comment(index + 1, key.strip().casefold() if colon else "", text.strip()))
        elif plain and not plain.casefold().startswith("sep="):
            return comments, index
    return comments, len(lines)


def _unpadded(line: str) -> str:
    """A comment line without the quotes and empty cells that a spreadsheet program adds to it."""
    plain = line.strip().rstrip(",;").strip()
    if plain.startswith('"#') and plain.endswith('"'):
        return plain[1:-1].replace('""', '"').strip()
    return plain


def _delimiter(header: str, line: int, columns: tuple[str, ...]) -> str:
    known = {sign: _columns_known(header, sign, columns) for sign in (*DELIMITERS, "\t")}
    best = max(known, key=lambda sign: known[sign])
    if known[best] == 0:
        raise FaultyFile([LineFault("header_missing", line, value=header.strip(), allowed=columns)])
    if best not in DELIMITERS:
        raise FaultyFile([LineFault("delimiter_unknown", line, value="tab", allowed=DELIMITERS)])
    return best


def _columns_known(header: str, delimiter: str, columns: tuple[str, ...]) -> int:
    cells = header.strip().split(delimiter)
    return sum(column_name(cell.strip().strip('"')) in columns for cell in cells)


def column_name(cell: str) -> str:
    """A header cell as a column is named: lower case, words joined by underscores."""
    return "_".join(cell.replace("_", " ").split()).casefold()


def _records(lines: list[str], first: int, delimiter: str) -> Iterator[Record | LineFault]:
    """Rows from line index `first`; after a row that cannot be read, on from its next line."""
    while first < len(lines):
        reader = csv.reader(lines[first:], delimiter=delimiter, strict=True)
        begins = first
        try:
            for cells in reader:
                yield Record(begins + 1, tuple(cells))
                begins = first + reader.line_num
            return
        except csv.Error as error:
            yield LineFault("quotes_unclear", begins + 1, value=lines[begins].strip(), reason=str(error))
            first = begins + 1
