"""The questions asked before a first plan and at every review. A yes holds the plan."""

from __future__ import annotations

from dataclasses import dataclass

from bylittle.library.catalogue import rows
from bylittle.library.datafile import Reader
from bylittle.library.faults import FileFault
from bylittle.library.text import Text

URGENCIES = ("now", "today", "soon")
ASKED = ("family", "therapist")


@dataclass(frozen=True, slots=True)
class RedFlag:
    """One question; a yes blocks signing until a therapist records what was done.

    `family` sends to help without naming an illness. `ask` says who answers: what only the therapist
    answers is never printed on a family's page.
    """

    id: str
    urgency: str
    """"now": emergency help; "today": the same day; "soon": before teaching goes on."""
    who: str
    ask: str
    question: Text
    family: Text
    therapist: str
    source: str


def read_red_flags(faults: list[FileFault]) -> tuple[RedFlag, ...]:
    """Every red-flag question, in the order asked."""
    return rows("red_flags.toml", "flags", _flag, faults, also=("mark",))


def _flag(part: Reader) -> RedFlag:
    return RedFlag(
        id=part.words("id"),
        urgency=part.choice("urgency", URGENCIES),
        who=part.words("who"),
        ask=part.choice("ask", ASKED, default="family"),
        question=part.text("question"),
        family=part.text("family"),
        therapist=part.words("therapist"),
        source="practice-reasoning",
    )
