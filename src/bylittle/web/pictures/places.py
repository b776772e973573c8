"""Places for pictures: one for each step of the newest version, and the finish frame."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from bylittle.library import drawings, objects
from bylittle.library.drawings import Drawing
from bylittle.library.objects import Thing
from bylittle.library.wording.family import tell
from bylittle.printing.pictures import FINISH_FRAME, StepPicture, of_photo, of_thing
from bylittle.web.people.models import LANGUAGES, Child
from bylittle.web.pictures.models import Consent, Picture
from bylittle.web.skills.models import SkillVersion, StepRow

SOON_DAYS = 30  # from when on a page says that a consent ends (our choice)
_NAMES = dict(LANGUAGES)


@dataclass(frozen=True, slots=True)
class Place:
    """A place on the family's pages and what is printed there: the own photo, the drawing, or neither.

    `number` is None for the finish frame. `picture` may be printed; `kept_back` is the newest picture of the
    place where it may not be (its consent ended or was withdrawn).
    """

    key: str
    number: int | None
    name: str
    cue: str
    picture: Picture | None
    drawing: Drawing | None
    kept_back: Picture | None


def family_languages(child: Child) -> list[str]:
    """The languages that the family's pages are in, the first one first."""
    return list(dict.fromkeys(each for each in (child.language, child.second_language) if each))


def in_english(language: str) -> str:
    """The language's name for a label."""
    return {"en": "English", "es": "Spanish"}.get(language, _NAMES.get(language, language))


def keys(version: SkillVersion) -> list[str]:
    """The places of a version, in their order."""
    return [*(row.step_id for row in version.steps.all()), FINISH_FRAME]


def choices(version: SkillVersion) -> list[tuple[str, str]]:
    """The places with their names, for a form."""
    steps = [(row.step_id, f"{row.position + 1}. {row.name}") for row in version.steps.all()]
    return [*steps, (FINISH_FRAME, "The finish frame")]


def words_for(version: SkillVersion, key: str, child: Child) -> dict[str, str]:
    """What a picture of that place would show, from the step's own words, in the family's languages."""
    row = next((row for row in version.steps.all() if row.step_id == key), None)
    return {language: _words(row, key, language) for language in family_languages(child)}


def _words(row: StepRow | None, key: str, language: str) -> str:
    if row is not None:
        return str(row.translations.get(language, {}).get("name") or row.name)
    return tell("strip.finish", language) if key == FINISH_FRAME else ""


def places(version: SkillVersion, pictures: Mapping[str, Picture], today: date) -> list[Place]:
    """Each place with what is printed there today, given the picture chosen for it, by place."""
    skill_id = version.skill.library_id or drawings.skill_of({row.step_id for row in version.steps.all()})
    found = []
    for place, key in enumerate(keys(version)):
        rows = version.steps.all()
        row = rows[place] if place < len(rows) else None
        drawing = drawings.for_step(key, skill_id) if row else drawings.drawing(drawings.FINISH)
        told = pictures.get(key)
        usable = told is not None and told.usable_on(today)
        found.append(
            Place(
                key=key,
                number=row.position + 1 if row else None,
                name=row.name if row else "The finish frame",
                cue=row.cue if row else "",
                picture=told if usable else None,
                drawing=drawing,
                kept_back=None if usable else told,
            )
        )
    return found


def for_print(pictures: Mapping[str, Picture], today: date) -> dict[str, StepPicture]:
    """The photos that may be printed today, by place, with what they show."""
    return {key: as_step_picture(picture) for key, picture in pictures.items() if picture.usable_on(today)}


def as_step_picture(picture: Picture) -> StepPicture:
    """A kept picture as the printers take it."""
    if picture.thing:
        return of_thing(picture.thing)
    assert picture.photo is not None, "a deleted picture is never printed"
    first = next(iter(picture.shows.values()), "")
    shown = of_photo(bytes(picture.photo), first)
    return StepPicture(shown.svg, {**picture.shows, "": first})


def ending_soon(pictures: Sequence[Picture], today: date) -> list[Consent]:
    """The consents, soonest first, of usable pictures that end within `SOON_DAYS`."""
    soon = {picture.consent for picture in pictures if picture.consent and ends_soon(picture, today)}
    return sorted(soon, key=lambda consent: (consent.until, consent.pk))


def ends_soon(picture: Picture, today: date) -> bool:
    """Whether its consent stands and ends within `SOON_DAYS`."""
    if picture.consent is None or not picture.usable_on(today):
        return False
    return (picture.consent.until - today).days <= SOON_DAYS


def things_for(place: Place) -> tuple[list[Thing], list[Thing]]:
    """Things of the open set for a place: those that its words name, and the others."""
    likely = objects.fitting(place.name)
    others = [name for name in objects.names() if name not in likely]
    return [objects.thing(name) for name in likely], [objects.thing(name) for name in others]


def credit(rows: Sequence[Place]) -> str:
    """The line that the open set asks for, where one of its things is shown."""
    shown = any(row.picture is not None and row.picture.thing for row in rows)
    return objects.credit()["en"] if shown else ""
