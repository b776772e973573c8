"""Progress on paper for the therapist: graph, chances, advice, decisions, and what is behind the advice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from bylittle.printing.press import Press
from bylittle.printing.setting import Paper

TEMPLATE = "summary.typ"


@dataclass(frozen=True, slots=True)
class Drawing:
    """A chart as SVG text with the words for a reader who does not see it."""

    svg: str
    alt: str


@dataclass(frozen=True, slots=True)
class StepLine:
    """A row of the table: the step, who does it with what help, the chance alone, and how it stands."""

    number: int
    step: str
    who: str
    chance: str
    stands: str


@dataclass(frozen=True, slots=True)
class Behind:
    """The second page: what the advice rests on, and what the screen shows beside it.

    `levels`: the head and the rows of the chance with each help level. `belief` None: no step is asked yet.
    `next`: what the proposed challenge would mean; `patterns`: what else was seen.
    """

    change: tuple[str, ...]
    patterns: tuple[str, ...]
    rests_on: tuple[tuple[str, str], ...]
    chances: Drawing
    levels: tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]
    belief: Drawing | None
    belief_of: str
    next: tuple[str, ...]
    ahead: tuple[str, ...]
    gap: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Summary:
    """All that the pages say. `foot` tells who made it from what, and when; texts are told in full."""

    title: str
    about: str
    advice: str
    why: tuple[str, ...]
    graph: Drawing
    told: tuple[str, ...]
    steps: tuple[StepLine, ...]
    decisions: tuple[str, ...]
    honesty: tuple[str, ...]
    foot: str
    behind: Behind


def summary_pdf(summary: Summary, paper: Paper, press: Press) -> bytes:
    """The pages as PDF; UnprintablePage for a sign that the fonts lack. A long record takes more of them."""
    return press.print(TEMPLATE, summary_data(summary, paper))


def summary_data(summary: Summary, paper: Paper) -> dict[str, Any]:
    """The page's words as the template takes them."""
    return {**asdict(summary), "steps": _rows(summary.steps), "paper": paper, "lang": "en"}


def _rows(steps: Sequence[StepLine]) -> list[dict[str, Any]]:
    return [asdict(step) for step in steps]
