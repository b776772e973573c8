"""What was read of one upload's picture, as JSON values and in words."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from bylittle.core.sheet.ink import Ink
from bylittle.library.wording.sheet import refusal
from bylittle.reading.reader import NotRead, Reading


@dataclass(frozen=True, slots=True)
class Result:
    """One picture of an upload: the upload's name, the picture's number in it, and what came of it."""

    photo: str
    part: int
    outcome: Reading | NotRead


def why(outcome: Reading | NotRead, language: str = "en") -> str:
    """The sentence that says why a photograph was refused and what to do; empty for one that was read."""
    if isinstance(outcome, Reading):
        return ""
    return refusal(outcome.refusal.code, language, **outcome.refusal.values)


def as_json(result: Result) -> dict[str, Any]:
    """The reading as JSON values. `sheet` is the id of the first page; `page` says which one this is."""
    outcome = result.outcome
    read = isinstance(outcome, Reading)
    number = outcome.page.sheet if isinstance(outcome, Reading) else outcome.number
    inks = outcome.page.bubbles if isinstance(outcome, Reading) else ()
    return {
        "photo": result.photo,
        "sheet": str(replace(number, page=1)) if number else None,
        "page": number.page if number else None,
        "result": "read" if read else "refused",
        "why": why(outcome),
        "marks": [{"id": ink.bubble.id, "state": ink.state.value, "ink": ink.ink} for ink in inks],
        "conflicts": list(outcome.page.conflicts) if isinstance(outcome, Reading) else [],
    }


def in_words(result: Result) -> str:
    """A few lines for a terminal."""
    outcome = result.outcome
    name = result.photo if result.part == 1 else f"{result.photo}, picture {result.part}"
    if isinstance(outcome, NotRead):
        return f"{name}: refused. {why(outcome)}"
    inks, page = outcome.page.bubbles, outcome.page
    marked = sum(ink.state is Ink.MARKED for ink in inks)
    doubtful = [ink.bubble.id for ink in inks if ink.state is Ink.DOUBTFUL]
    lines = [f"{name}: sheet {page.sheet}, page {page.sheet.page}, {marked} marked of {len(inks)} bubbles."]
    if doubtful:
        lines.append(f"  to settle: {', '.join(doubtful)}")
    if page.conflicts:
        lines.append(f"  more than one mark in: {', '.join(page.conflicts)}")
    return "\n".join(lines)
