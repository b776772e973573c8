"""A mark of the record in words."""

from __future__ import annotations

from collections.abc import Sequence

from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome

_PLAIN = {
    Outcome.BY_ADULT: "done by adult",
    Outcome.STOPPED: "child stopped",
    Outcome.MISSING: "nothing marked",
}


def says(entry: Entry, levels: Sequence[str]) -> str:
    """What was written: "needed light touch (offered showing)", "managed with words", "child stopped"."""
    if entry.outcome in _PLAIN:
        return _PLAIN[entry.outcome]
    offered = _name(entry.offered, levels)
    if entry.outcome is Outcome.NEEDED:
        needed = _name(entry.needed, levels)
        told = "alone" if needed == "alone" else f"needed {needed}"
        return f"{told} (offered {offered})" if offered and offered != needed else told
    helped = "alone" if offered == "alone" else f"with {offered}"
    return f"managed {helped}" if entry.outcome is Outcome.MANAGED else f"not managed {helped}"


def _name(level: int | None, levels: Sequence[str]) -> str:
    return levels[level] if level is not None and level < len(levels) else ""
