"""What can be wrong in a data file of the library, and how to mend it, in plain words."""

from __future__ import annotations

from typing import Any

from bylittle.core.faults import Fault

MENDS = {
    "missing": "Add it.",
    "unknown_key": "Check the spelling, or take it out. The keys that may stand here: {allowed}.",
    "wrong_kind": "Write {allowed} here.",
    "not_allowed": "Use one of: {allowed}.",
    "duplicate": "Give each one an id of its own; this one is taken.",
    "missing_language": 'Write the text in each language side by side: {{en = "...", es = "..."}}.',
    "wrong_language": "The {language} cue reads like another language. Write it in {language}.",
    "comma_in_size": "Write the size in millimetres with a point and without quotes, for example 30.5.",
    "inches": "Write the size in millimetres, as a bare number: one inch is 25.4 mm.",
    "no_unit": "End the key in _mm and give the size in millimetres.",
    "not_positive": "A size is greater than zero. Check the number.",
    "unreadable": "The file is no valid TOML: {detail}. Compare with a file beside it.",
    "not_found": "No such id. Known here: {allowed}.",
    "empty": "Give at least {needed}.",
    "format": "This file says format {value}; this version of the program reads format {allowed}.",
    "usual": "Mark exactly one grade with usual = true: the thing as it is in daily life.",
    "age_order": "The first age in months comes before the second.",
}


class FileFault(Fault):
    """One fault in one data file: `file`, `key` and the values its sentence needs."""

    code = "library_file"

    @property
    def mend(self) -> str:
        """What to do, in a sentence for the person who edits the file."""
        return MENDS[self.code].format(**self.values)

    @property
    def told(self) -> str:
        """File, key, what is wrong and how to mend it, in one line."""
        value = f" ({self.values['value']!r})" if "value" in self.values else ""
        kind = self.code.replace("_", " ")
        return f"{self.values['file']}: {self.values['key']}: {kind}{value}. {self.mend}"

    def __str__(self) -> str:
        return self.told


def found(code: str, file: str, key: str, **values: Any) -> FileFault:
    """A fault of `code` at `key` of `file`."""
    return FileFault(code, file=file, key=key, **values)
