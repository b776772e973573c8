"""A measure as people write it: read where it is plain, told how to mend where it is not, never guessed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from django import forms

_PLAIN = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)")
_COMMA = re.compile(r"\d+,\d+")
_MIXED = re.compile(r"(?:(\d+)[ -])?(\d+)/(\d+)")
_UNIT = re.compile(r"(?P<number>[-+\d.,/ ]*\d)\s*(?P<unit>[^\d\s.,/+-].*)")

#: Millimetres in one of another unit (an inch is 25.4 mm by definition).
_MM: Mapping[str, float] = {
    **dict.fromkeys(("in", "in.", "inch", "inches", '"', "″", "”", "''"), 25.4),
    **dict.fromkeys(("ft", "feet", "foot"), 304.8),
    **dict.fromkeys(("cm", "centimetre", "centimetres"), 10.0),
    **dict.fromkeys(("m", "metre", "metres"), 1000.0),
}
LARGEST_MM = 20_000.0


def _fault(words: str) -> forms.ValidationError:
    return forms.ValidationError(f"{words} Nothing was kept.")


def _number(text: str) -> float | None:
    """A number written plainly, with a comma, or as a fraction; None for anything else."""
    text = text.strip()
    if _PLAIN.fullmatch(text):
        return float(text)
    if _COMMA.fullmatch(text):
        return float(text.replace(",", "."))
    if (mixed := _MIXED.fullmatch(text)) and int(mixed[3]):
        return float(int(mixed[1] or 0) + Fraction(int(mixed[2]), int(mixed[3])))
    return None


def _told_in_another_unit(text: str, number: str, unit: str) -> forms.ValidationError:
    amount, factor = _number(number), _MM.get(unit.lower())
    if amount is None or factor is None:
        return _fault(f"“{text}” is no size that can be read. Write millimetres as a number: 31.5.")
    return _fault(f"“{text}” is not in millimetres. It comes to {amount * factor:.5g} mm: write that.")


def read_measure(text: str, unit: str) -> float | None:
    """A measure in `unit` ("mm" and others), above 0; None for an empty text.

    ValidationError says what cannot be read and how to mend it.
    """
    text = " ".join(text.split())
    if not text:
        return None
    bare = text[: -len(unit)].strip() if text.lower().endswith(unit.lower()) else text
    if _COMMA.fullmatch(bare):
        point, none = bare.replace(",", "."), bare.replace(",", "")
        raise _fault(f"“{text}” has a comma. Write decimals with a point ({point}), thousands as {none}.")
    if not _PLAIN.fullmatch(bare):
        told = _UNIT.fullmatch(text)
        if unit == "mm" and told:
            raise _told_in_another_unit(text, told["number"], told["unit"])
        raise _fault(f"“{text}” cannot be read. Write a number in {unit}, for example 31.5.")
    amount = float(bare)
    if amount <= 0:
        raise _fault(f"{bare} is no size: it must be above 0.")
    if unit == "mm" and amount > LARGEST_MM:
        raise _fault(f"{bare} mm is {amount / 1000:.4g} m. Please look at the number again.")
    return amount


class MeasureField(forms.CharField):
    """A measure in one unit, or empty."""

    def __init__(self, label: str, unit: str = "mm", **kwargs: Any) -> None:
        widget = forms.TextInput(attrs={"inputmode": "decimal", "class": "measure"})
        super().__init__(label=f"{label} ({unit})", required=False, max_length=40, widget=widget, **kwargs)
        self.unit = unit

    def clean(self, value: Any) -> Any:
        return read_measure(super().clean(value), self.unit)
