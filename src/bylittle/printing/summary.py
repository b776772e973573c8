"""One page of progress for the therapist: the graph, the chances, the advice, what was decided."""

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
class Summary:
    """All that the page says. `foot` tells who made it from what, and when; texts are told in full."""

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


def summary_pdf(summary: Summary, paper: Paper, press: Press) -> bytes:
    """The page as PDF; UnprintablePage for a sign that the fonts lack. A long record goes on overleaf."""
    return press.print(TEMPLATE, summary_data(summary, paper))


def summary_data(summary: Summary, paper: Paper) -> dict[str, Any]:
    """The page's words as the template takes them."""
    return {**asdict(summary), "steps": _rows(summary.steps), "paper": paper, "lang": "en"}


def _rows(steps: Sequence[StepLine]) -> list[dict[str, Any]]:
    return [asdict(step) for step in steps]
