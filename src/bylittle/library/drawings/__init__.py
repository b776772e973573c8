"""Our own simple line drawings, one action each, with a description in every language of the pages."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from bylittle.core.faults import BadValue
from bylittle.library.wording import book, phrase

_HERE = Path(__file__).parent
FINISH = "all_done"
FEWEST_ALIKE, SHARE_ALIKE = 4, 0.75


@dataclass(frozen=True, slots=True)
class Drawing:
    """One drawing: its action, its SVG text, and what it shows in each language."""

    action: str
    svg: str
    alt: Mapping[str, str]


def actions() -> tuple[str, ...]:
    """Every action that is drawn, sorted."""
    return tuple(sorted(book("drawings")["action"]))


@cache
def drawing(action: str) -> Drawing:
    """The drawing of an action; BadValue names the actions there are."""
    if action not in book("drawings")["action"]:
        raise BadValue("no_drawing", name="action", value=action, allowed=actions())
    alt = {language: phrase("drawings", "action", action, language) for language in ("en", "es", "ar")}
    return Drawing(action, (_HERE / f"{action}.svg").read_text(encoding="utf-8"), alt)


def for_step(step_id: str, skill_id: str = "") -> Drawing | None:
    """The drawing of a ready skill's step, or None; `skill_id` settles steps that share an id."""
    steps: Mapping[str, str] = book("drawings")["step"]
    for key in (f"{skill_id}/{step_id}", step_id):
        if key in steps:
            return drawing(steps[key])
    return drawing(step_id) if step_id in book("drawings")["action"] else None


def skill_of(step_ids: Collection[str]) -> str:
    """The ready skill that these steps come from, or "": four of its ids and three quarters of the steps.

    Ids such as "pull" stand in several skills, so a few alike prove nothing, and where two skills fit
    alike neither is taken: no drawing beats a wrong one.
    """
    shared: Counter[str] = Counter()
    for key in book("drawings")["step"]:
        skill, _, step = key.partition("/")
        shared[skill] += step in step_ids
    (skill, alike), (_, next_best) = shared.most_common(2)
    if alike == next_best:
        return ""
    return skill if alike >= FEWEST_ALIKE and alike >= SHARE_ALIKE * len(step_ids) else ""
