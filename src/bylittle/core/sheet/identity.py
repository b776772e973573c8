"""A sheet's id: 16 capital characters that carry the whole layout, so reading needs no record.

Fifteen characters of five bits (digits and letters without I, L, O, U) hold 75 bits, from the left:

| bits | what | range |
|---|---|---|
| 2 | format of the id | 0 now |
| 1 | paper | A4, US Letter |
| 3 | days | 1-7 |
| 4 | rows of a day | 1-5: turns of one asked step; 6-16: 2-12 asked steps |
| 3 | levels | 2-8 |
| 3 | adults to tick | 0-4 |
| 3 | page | 1-8 |
| 24 | plan | its six hexadecimal digits, else the first 24 bits of SHA-256 of its name |
| 12 | version of the plan | 1-4095 |
| 15 | first day | days since 2020-01-01, 0 for a sheet without dates |
| 5 | copy letter | A-Z |

The sixteenth is the check character (`core.sheet.check`).
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from datetime import date, timedelta

from bylittle.core.faults import BadValue
from bylittle.core.sheet import check
from bylittle.core.sheet.shape import PAPERS, Shape

SIGNS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
LENGTH = 16
VERSIONS = range(1, 4096)
PAGES = range(1, 9)
COPIES = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_EPOCH = date(2020, 1, 1)
STARTS = (_EPOCH + timedelta(days=1), _EPOCH + timedelta(days=2**15 - 1))
_WIDTHS = (2, 1, 3, 4, 3, 3, 3, 24, 12, 15, 5)
_PAPERS = tuple(PAPERS.values())
_MISREAD = str.maketrans("ILO", "110")


class WrongId(BadValue):
    """A text that is no sheet's id; `reason` is "length", "sign", "check" or "layout"."""

    code = "wrong_sheet_id"


@dataclass(frozen=True, slots=True)
class SheetId:
    """One page of one print of one plan version; `plan` as 24 bits, `start` None where days have no dates."""

    shape: Shape
    plan: int
    version: int
    page: int = 1
    start: date | None = None
    copy: str = "A"

    @property
    def plan_name(self) -> str:
        return f"{self.plan:06X}"

    def __str__(self) -> str:
        return write(self)


def plan_number(plan: str) -> int:
    """The 24 bits that stand for a plan's id: its own where it is six hex digits, else a digest."""
    if re.fullmatch(r"[0-9A-Fa-f]{6}", plan):
        return int(plan, 16)
    return int.from_bytes(hashlib.sha256(plan.encode("utf-8")).digest()[:3], "big")


def write(sheet: SheetId) -> str:
    """The 16 characters of `sheet`. Raises `BadValue` where a field is out of its range."""
    _check_fields(sheet)
    packed = 0
    for width, value in zip(_WIDTHS, _fields(sheet), strict=True):
        packed = packed << width | value
    body = "".join(SIGNS[packed >> shift & 31] for shift in range(70, -1, -5))
    return body + check.check_character(body)


def read(text: str) -> SheetId:
    """The sheet that `text` names; spaces, hyphens and small letters as typed by hand are forgiven.

    Raises `WrongId`, in doubt always: a wrong sheet would put marks on another child.
    """
    plain = re.sub(r"[\s-]", "", text).upper()
    if len(plain) != LENGTH:
        raise WrongId(name="sheet", value=text, allowed=LENGTH, reason="length")
    plain = plain[:-1].translate(_MISREAD) + plain[-1]
    if any(sign not in SIGNS for sign in plain[:-1]):
        raise WrongId(name="sheet", value=text, allowed=SIGNS, reason="sign")
    if not check.holds(plain):
        raise WrongId(name="sheet", value=text, allowed=check.check_character(plain[:-1]), reason="check")
    return _unpack(plain)


def _fields(sheet: SheetId) -> tuple[int, ...]:
    shape = sheet.shape
    rows = shape.turns - 1 if shape.one_step else shape.steps + 3
    return (
        0,
        _PAPERS.index(shape.paper),
        shape.days,
        rows,
        shape.levels - 2,
        shape.adults,
        sheet.page - 1,
        sheet.plan,
        sheet.version,
        (sheet.start - _EPOCH).days if sheet.start else 0,
        COPIES.index(sheet.copy),
    )


def _check_fields(sheet: SheetId) -> None:
    ranges = {
        "plan": range(2**24),
        "version": VERSIONS,
        "page": PAGES,
        "copy": tuple(COPIES),
    }
    for name, allowed in ranges.items():
        if getattr(sheet, name) not in allowed:
            raise BadValue(name=name, value=getattr(sheet, name), allowed=(allowed[0], allowed[-1]))
    if sheet.start is not None and not STARTS[0] <= sheet.start <= STARTS[1]:
        raise BadValue(name="start", value=sheet.start, allowed=STARTS)


def _unpack(plain: str) -> SheetId:
    packed = 0
    for sign in plain[:-1]:
        packed = packed << 5 | SIGNS.index(sign)
    values = []
    for width in reversed(_WIDTHS):
        values.append(packed & (1 << width) - 1)
        packed >>= width
    form, paper, days, rows, levels, adults, page, plan, version, start, copy = reversed(values)
    turns, steps = (rows + 1, 1) if rows < 5 else (1, rows - 3)
    if form or not days or copy >= len(COPIES) or not version or adults > 4 or levels > 6:
        raise WrongId(name="sheet", value=plain, allowed=None, reason="layout")
    shape = Shape(_PAPERS[paper], days, turns, steps, levels + 2, adults)
    first = _EPOCH + timedelta(days=start) if start else None
    return SheetId(shape, plan, version, page + 1, first, COPIES[copy])
