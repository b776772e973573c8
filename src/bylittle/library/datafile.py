"""Reading a data file: every fault of the file is collected, none stops the reading."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from bylittle.library.faults import FileFault, found
from bylittle.library.text import LANGUAGES, Text

Table = Mapping[str, Any]

# A size written 30,5 or 2 in is no TOML. Quoted, the file can be read and the size told with the rest.
_BARE_SIZE = re.compile(
    r"""(\b[a-z][a-z0-9]*(?:_[a-z0-9]+)*_(?:mm|cm|m|in|inch|inches|ft)\s*=\s*)([^\s,}\n#'"\[][^,}\n#'\[]*?(?:,\d[^,}\n#'\[]*?)?)(?=\s*(?:[}\n#]|,\s*[a-z]|$))"""
)
_BARE_NUMBER = re.compile(r"(=\s*)([-−]?\d+,\d+(?!\s*=)[^,}\n#'\"]*)(?=\s*(?:[,}\n#]|$))")
_NUMBER = re.compile(r"[+-]?(?:\d[\d_]*(?:\.\d+)?(?:[eE][+-]?\d+)?|inf|nan)|true|false")
_INCHES = re.compile(r"""((?<![a-z])in(?:ch|ches)?\b|["″”])""", re.IGNORECASE)
_IN_INCHES = re.compile(r"_in(?:ch|ches)?$")
_BELOW_ZERO = re.compile(r"\s*[-−–]\s*\d")


def parse(text: str, file: str, faults: list[FileFault]) -> Table:
    """The tables of a TOML text; what cannot be read at all is one fault and gives an empty table."""
    import tomllib  # nothing is parsed while the pack is current

    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        return _parse_mended(text, file, faults, problem)


def _parse_mended(text: str, file: str, faults: list[FileFault], problem: Exception) -> Table:
    import tomllib

    quoted = _BARE_NUMBER.sub(_quoted, _BARE_SIZE.sub(_quoted, text))
    try:
        return tomllib.loads(quoted)
    except tomllib.TOMLDecodeError:
        faults.append(found("unreadable", file, "the whole file", detail=str(problem)))
        return {}


def _quoted(hit: re.Match[str]) -> str:
    return hit[0] if _NUMBER.fullmatch(hit[2]) else f"{hit[1]}'{hit[2]}'"


class Reader:
    """One table of a data file, read key by key. Wrong or missing values become faults with their key."""

    def __init__(self, table: Any, file: str, faults: list[FileFault], at: str = "") -> None:
        self.file = file
        self.faults = faults
        self.at = at
        self.used: set[str] = set()
        self.table: Table = table if isinstance(table, Mapping) else {}
        if not isinstance(table, Mapping):
            self.tell("wrong_kind", "", value=table, allowed="a table")

    def key(self, name: str) -> str:
        """The full key of `name`, as a person looks for it: `steps[2].cue`."""
        return f"{self.at}.{name}".strip(".") or "the whole file"

    def tell(self, code: str, name: str, **values: Any) -> None:
        """Note a fault at `name`."""
        self.faults.append(found(code, self.file, self.key(name), **values))

    def has(self, name: str) -> bool:
        """Whether the key stands there; it counts as read."""
        self.used.add(name)
        return name in self.table

    def raw(self, name: str) -> Any:
        """The value as it stands, or None with a fault."""
        if not self.has(name):
            self.tell("missing", name)
            return None
        return self.table[name]

    def words(self, name: str, default: str | None = None) -> str:
        """A string in one language: an id, a code, a source."""
        if default is not None and not self.has(name):
            return default
        value = self.raw(name)
        if value is None:
            return ""
        if not isinstance(value, str) or not value.strip():
            self.tell("wrong_kind", name, value=value, allowed="a text in quotes")
            return ""
        return value

    def choice(self, name: str, allowed: Iterable[str], default: str | None = None) -> str:
        """One of the allowed words."""
        value = self.words(name, default)
        permitted = tuple(allowed)
        if value and value not in permitted:
            self.tell("not_allowed", name, value=value, allowed=", ".join(permitted))
        return value

    def whole(self, name: str, default: int | None = None) -> int:
        """A whole number, zero or more."""
        if default is not None and not self.has(name):
            return default
        value = self.raw(name)
        if isinstance(value, int) and not isinstance(value, bool) and value >= 0:
            return value
        if value is not None:
            self.tell("wrong_kind", name, value=value, allowed="a whole number, zero or more")
        return 0

    def number(self, name: str) -> float | None:
        """A number, where the key is there."""
        if not self.has(name):
            return None
        value = self.table[name]
        if isinstance(value, int | float) and not isinstance(value, bool):
            return float(value)
        self.tell("wrong_kind", name, value=value, allowed="a number")
        return None

    def yes(self, name: str) -> bool:
        """True or false; false where the key is missing."""
        if not self.has(name):
            return False
        value = self.table[name]
        if not isinstance(value, bool):
            self.tell("wrong_kind", name, value=value, allowed="true or false")
        return value is True

    def names(self, name: str) -> tuple[str, ...]:
        """A list of ids; empty where the key is missing."""
        if not self.has(name):
            return ()
        value = self.table[name]
        if not isinstance(value, Sequence) or isinstance(value, str):
            self.tell("wrong_kind", name, value=value, allowed="a list of texts")
            return ()
        return tuple(str(item) for item in value)

    def text(self, name: str) -> Text:
        """A text in every language of the library."""
        value = self.raw(name)
        if value is None:
            return Text("", "")
        if not isinstance(value, Mapping):
            self.tell("missing_language", name, value=value)
            return Text("", "")
        told = {language: value.get(language) for language in LANGUAGES}
        for language, words in told.items():
            if not isinstance(words, str) or not words.strip():
                self.tell("missing_language", f"{name}.{language}")
        for extra in set(value) - set(LANGUAGES):
            self.tell("unknown_key", f"{name}.{extra}", allowed=", ".join(LANGUAGES))
        return Text(str(told["en"] or ""), str(told["es"] or ""))

    def maybe_text(self, name: str) -> Text | None:
        """A text in every language, or None where the key is missing."""
        return self.text(name) if self.has(name) else None

    def sizes(self, name: str) -> tuple[tuple[str, float], ...]:
        """Sizes in millimetres: every key ends in `_mm`, every value is a number greater than zero."""
        if not self.has(name):
            return ()
        value = self.table[name]
        if not isinstance(value, Mapping):
            self.tell("wrong_kind", name, value=value, allowed="sizes such as {diameter_mm = 30}")
            return ()
        told = ((key, self._size(f"{name}.{key}", key, size)) for key, size in value.items())
        return tuple((key, size) for key, size in told if size is not None)

    def _size(self, at: str, key: str, value: Any) -> float | None:
        codes = _size_faults(key, value)
        for code in codes:
            self.tell(code, at, value=value, allowed="a number of millimetres")
        return None if codes else float(value)

    def each(self, name: str, at_least: int = 0) -> Iterator[Reader]:
        """The tables of a list of tables, each with its number from 1 in the key."""
        self.used.add(name)
        value = self.table.get(name, [])
        if not isinstance(value, Sequence) or isinstance(value, str):
            self.tell("wrong_kind", name, value=value, allowed=f"[[{name}]] tables")
            return
        if len(value) < at_least:
            self.tell("empty", name, needed=at_least)
        for place, table in enumerate(value, start=1):
            yield Reader(table, self.file, self.faults, self.key(f"{name}[{place}]"))

    def part(self, name: str) -> Reader:
        """The table standing under `name`."""
        value = self.raw(name)
        return Reader({} if value is None else value, self.file, self.faults, self.key(name))

    def close(self, ignore: Iterable[str] = ()) -> None:
        """Tell the keys that nobody read: a misspelt key must not be lost silently."""
        for name in self.table:
            if name not in self.used and name not in tuple(ignore):
                self.tell("unknown_key", name, allowed=", ".join(sorted(self.used)))


def _size_faults(key: str, value: Any) -> list[str]:
    """Everything that is wrong with one size: a text may have a comma, inches and a minus at once."""
    if isinstance(value, str):
        return _text_faults(key, value)
    if not isinstance(value, int | float) or isinstance(value, bool):
        return ["wrong_kind"]
    found = [] if key.endswith("_mm") else ["inches" if _IN_INCHES.search(key) else "no_unit"]
    return found if value > 0 and math.isfinite(value) else [*found, "not_positive"]


def _text_faults(key: str, value: str) -> list[str]:
    told = {
        "inches": _INCHES.search(value) or _IN_INCHES.search(key),
        "comma_in_size": "," in value,
        "not_positive": _BELOW_ZERO.match(value),
    }
    return [code for code, seen in told.items() if seen] or ["wrong_kind"]


def tell_duplicates(ids: Sequence[str], where: str, file: str, faults: list[FileFault]) -> None:
    """Note every id that stands twice under `where`."""
    for place, name in enumerate(ids, start=1):
        if name and name in ids[: place - 1]:
            faults.append(found("duplicate", file, f"{where}[{place}].id", value=name))
