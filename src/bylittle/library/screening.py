"""The sentences of the materials screen: one for each code of `bylittle.core.skill.materials`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from bylittle.library.catalogue import opened
from bylittle.library.faults import FileFault
from bylittle.library.text import Text

if TYPE_CHECKING:  # the library opens without numpy, which the materials need
    from bylittle.core.skill.materials import Finding

_UNITS = {"kG2 mm2": "kG² mm²"}


@dataclass(frozen=True, slots=True)
class ScreenWords:
    """What each finding says, and the line that closes every answer."""

    by_code: dict[str, Text]
    closing: Text
    limits: dict[str, str]
    """By code: the rule's limit in words and numbers, for the therapist."""

    def told(self, finding: Finding, language: str) -> str:
        """The sentence for a finding, its numbers with their unit."""
        sentence = self.by_code[finding.code].text(language)
        return sentence.format(
            value=_amount(finding.value, finding.unit, language),
            limit=_amount(finding.limit, finding.unit, language),
        )

    def limit(self, code: str) -> str:
        """The limit that a finding of this code goes by, every number with its unit; "" for a code of old."""
        from bylittle.core.skill.materials import LIMITS

        told = {name: _amount(number, unit, "en") for name, (number, unit) in LIMITS.items()}
        return self.limits.get(code, "").format(**told)


def _amount(number: float | None, unit: str, language: str) -> str:
    if number is None:
        return "?"
    told = f"{number:.4g}"
    if language == "es":
        told = told.replace(".", ",")
    return f"{told} {_UNITS.get(unit, unit)}".strip()


def read_screen_words(faults: list[FileFault]) -> ScreenWords:
    """The sentences by code."""
    reader = opened("screen.toml", faults)
    part, limits = reader.part("findings"), reader.part("limits")
    made = ScreenWords(
        {code: part.text(code) for code in part.table},
        reader.text("closing"),
        {code: limits.words(code) for code in limits.table},
    )
    part.close()
    limits.close()
    reader.close()
    return made
