"""Pictures of steps for the pages: the child's own photo first, else our drawing, else a plain frame.

A picture of a thing from the open set may be chosen instead; the page that shows it carries its credit.
"""

from __future__ import annotations

import base64
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from hashlib import blake2b

from bylittle.core.faults import BadValue
from bylittle.core.plan.home_plan import PlannedStep
from bylittle.library import drawings, objects

FINISH_FRAME = "finish frame"  # the place of the finish frame's own photo; no step id has a space
PHOTO_KINDS = {b"\xff\xd8\xff": "image/jpeg", b"\x89PNG\r\n\x1a\n": "image/png"}


@dataclass(frozen=True, slots=True)
class StepPicture:
    """A picture as SVG text with what it shows, by language; `""` stands for every other language.

    `flips`: a drawing that is mirrored for the left hand. A photo shows what it shows.
    `credit`: the line that its licence asks for wherever it is shown, by language; empty for our own.
    """

    svg: str
    alt: Mapping[str, str]
    flips: bool = False
    credit: Mapping[str, str] = field(default_factory=dict)

    @property
    def key(self) -> str:
        """What the page calls the picture by: equal pictures have equal keys."""
        return blake2b(self.svg.encode(), digest_size=12).hexdigest()

    def told(self, language: str) -> str:
        """What the picture shows; BadValue when nobody wrote it: no page leaves without it."""
        words = self.alt.get(language) or self.alt.get("") or ""
        if not words.strip():
            raise BadValue("picture_without_words", name="alt", value=language, allowed="what it shows")
        return words


def of_drawing(drawing: drawings.Drawing) -> StepPicture:
    """A drawing of the library as a step's picture."""
    return StepPicture(drawing.svg, drawing.alt, flips=True)


def of_thing(name: str) -> StepPicture:
    """A thing of the open set (`library.objects.names()`) as a step's picture, as it is: never mirrored."""
    thing = objects.thing(name)
    return StepPicture(thing.svg, thing.alt, credit=thing.credit)


def credits_of(shown: Iterable[StepPicture | None], language: str) -> str:
    """The credit lines of the pictures that a page shows, each once; empty where none asks for one."""
    lines = (picture.credit.get(language) or picture.credit.get("en", "") for picture in shown if picture)
    return " ".join(dict.fromkeys(line for line in lines if line))


def by_key(shown: Iterable[StepPicture | None]) -> dict[str, str]:
    """The pictures that a page shows as SVG texts by their keys, each once."""
    return {picture.key: picture.svg for picture in shown if picture}


def of_photo(photo: bytes, shows: str) -> StepPicture:
    """A square JPEG or PNG photo as a step's picture; `shows` is its description in the family's words."""
    kind = next((kind for start, kind in PHOTO_KINDS.items() if photo.startswith(start)), None)
    if kind is None:
        raise BadValue("photo_kind", name="photo", value=photo[:8], allowed=tuple(PHOTO_KINDS.values()))
    data = base64.b64encode(photo).decode("ascii")
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><image width="100" height="100" '
        f'preserveAspectRatio="xMidYMid slice" href="data:{kind};base64,{data}"/></svg>'
    )
    return StepPicture(svg, {"": shows})


def for_steps(steps: Sequence[PlannedStep], skill_id: str = "") -> dict[str, StepPicture]:
    """The library's drawings for the steps that have one, by step id.

    Without `skill_id` the ready skill is told from the steps' ids, if enough of them are its own.
    """
    skill = skill_id or drawings.skill_of({step.step_id for step in steps})
    found = ((step.step_id, drawings.for_step(step.step_id, skill)) for step in steps)
    return {step_id: of_drawing(drawing) for step_id, drawing in found if drawing is not None}
