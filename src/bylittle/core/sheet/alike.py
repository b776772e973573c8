"""Signs of a sheet's id that a person mixes up when typing it from paper."""

from __future__ import annotations

import re

from bylittle.core.sheet.identity import SIGNS

#: Shapes that look alike in print or in a photograph; `common practice, no source`.
GROUPS = ("0DOQ", "1IL7", "2Z", "5S", "6G", "8B", "UVY", "MN", "CG")


def plain(text: str) -> str:
    """The id as typed, in capitals, without spaces and hyphens."""
    return re.sub(r"[\s-]", "", text).upper()


def look_again(text: str) -> tuple[tuple[int, str, str], ...]:
    """Where a typed id may be misread: (place from 1, the sign typed, the signs that look like it).

    It never says which one is right: a guessed id could put marks on another child.
    """
    found = []
    for place, sign in enumerate(plain(text), 1):
        others = [other for group in GROUPS if sign in group for other in group]
        alike = "".join(dict.fromkeys(other for other in others if other != sign and other in SIGNS))
        if alike:
            found.append((place, sign, alike))
    return tuple(found)
