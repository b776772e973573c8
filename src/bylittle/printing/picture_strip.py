"""The picture strip: one frame a step with its cue words, frames to cut and take away, a finish frame."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from bylittle.core.faults import BadValue
from bylittle.core.plan.home_plan import HomePlan
from bylittle.library import drawings
from bylittle.library.wording import family
from bylittle.library.wording.family import tell
from bylittle.printing import family_words as words
from bylittle.printing import pictures as pics
from bylittle.printing.family_words import Words
from bylittle.printing.page_fit import set_or_explain
from bylittle.printing.pictures import StepPicture
from bylittle.printing.press import Press
from bylittle.printing.setting import PageSetting

TEMPLATE = "picture_strip.typ"
Direction = Literal["", "left to right", "right to left", "top to bottom"]
DIRECTIONS: tuple[Direction, ...] = ("", "left to right", "right to left", "top to bottom")
COLUMNS, LINES = 3, 3


@dataclass(frozen=True, slots=True)
class StripSetting:
    """Which way the strip reads (empty: as the language does) and the step ids whose frames are left out."""

    direction: Direction = ""
    left_out: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        if self.direction not in DIRECTIONS:
            raise BadValue("direction", name="direction", value=self.direction, allowed=DIRECTIONS[1:])


def picture_strip_pdf(
    plan: HomePlan,
    setting: PageSetting,
    press: Press,
    *,
    strip: StripSetting | None = None,
    pictures: Mapping[str, StepPicture] | None = None,
    also: HomePlan | None = None,
) -> bytes:
    """The strip as PDF, nine frames a page; a second language stands beside the first in each frame.

    A step without a picture gets a frame to stick a photo into. Frames left out are named on the page.
    BadValue for a left-out id that is no step of the plan, or when no frame would be left; `PageTooFull`
    where the cautions leave less than 40 mm for a frame.
    """
    data = picture_strip_data(plan, setting, strip=strip, pictures=pictures, also=also)
    return set_or_explain(press, TEMPLATE, data, plan, setting)


def picture_strip_data(
    plan: HomePlan,
    setting: PageSetting,
    *,
    strip: StripSetting | None = None,
    pictures: Mapping[str, StepPicture] | None = None,
    also: HomePlan | None = None,
) -> Words:
    """All that the strip says, in words: the template only sets it."""
    chosen = strip or StripSetting()
    _check_left_out(plan, chosen.left_out)
    words.check_signed_page(plan, setting)
    shown = pics.for_steps(plan.steps) if pictures is None else pictures
    spoken = words.in_languages(plan, setting, also)
    first = spoken[0][0]
    return {
        "title": tell("head.strip", first, child=family.child_name(plan.child, first)),
        "lang": first,
        "paper": setting.paper,
        "size": setting.text_size,
        "mirrored": plan.mirrored or setting.left_handed,
        "band": words.band(setting),
        "columns": COLUMNS,
        "lines": LINES,
        "downwards": chosen.direction == "top to bottom",
        "tellings": [_telling(told, setting, language, shown, chosen, spoken) for language, told in spoken],
        "pictures": pics.by_key(_used(plan, shown, chosen)),
    }


def _check_left_out(plan: HomePlan, left_out: Collection[str]) -> None:
    known = [step.step_id for step in plan.steps]
    unknown = sorted(set(left_out) - set(known))
    if unknown:
        raise BadValue("step_not_in_version", name="left_out", value=unknown, allowed=known)
    if set(known) <= set(left_out):
        raise BadValue("no_frame_left", name="left_out", value=sorted(left_out), allowed="one step or more")


def _telling(
    plan: HomePlan,
    setting: PageSetting,
    language: str,
    shown: Mapping[str, StepPicture],
    strip: StripSetting,
    spoken: words.Spoken,
) -> Words:
    child = family.child_name(plan.child, language)
    frames = _frames(plan, language, shown, strip, spoken)
    a_page = COLUMNS * LINES
    return {
        **words.shared(plan, setting, language),
        "eyebrow": tell("head.strip", language, child=child),
        "reads": _reads(strip.direction, language),
        "cut": tell("strip.cut", language, child=child),
        "left_out": _left_out(plan, strip, language),
        "pages": [frames[start : start + a_page] for start in range(0, len(frames), a_page)],
        "credit": pics.credits_of(_used(plan, shown, strip), language),
        **words.short_safety(plan, setting, language, child),
    }


def _used(
    plan: HomePlan, shown: Mapping[str, StepPicture], strip: StripSetting
) -> Iterator[StepPicture | None]:
    kept = [step.step_id for step in plan.steps if step.step_id not in strip.left_out]
    yield from (shown.get(step_id) for step_id in kept)
    yield _done(shown)


def _reads(direction: Direction, language: str) -> str:
    if direction == "left to right":
        return "ltr"
    return "rtl" if direction == "right to left" else tell("language.direction", language)


def _frames(
    plan: HomePlan,
    language: str,
    shown: Mapping[str, StepPicture],
    strip: StripSetting,
    spoken: words.Spoken,
) -> list[Words]:
    frames = []
    for place, step in enumerate(plan.steps):
        if step.step_id not in strip.left_out:
            told = {"number": place + 1, "cue": step.cue or step.name, "asked": step.asked}
            other = words.other_cue(plan, place, spoken)
            frames.append({**told, **other, **_picture(shown.get(step.step_id), language)})
    others = [other for other, _ in spoken if other != language]
    return [*frames, _finish(language, others, _done(shown))]


def _done(shown: Mapping[str, StepPicture]) -> StepPicture:
    return shown.get(pics.FINISH_FRAME) or pics.of_drawing(drawings.drawing(drawings.FINISH))


def _finish(language: str, others: list[str], done: StepPicture) -> Words:
    told = {"number": None, "cue": tell("strip.finish", language), "asked": True}
    other = others[0] if others else language
    second = tell("strip.finish", other) if others else ""
    return {**told, "other": second, "other_lang": other, **_picture(done, language)}


def _picture(picture: StepPicture | None, language: str) -> Words:
    return {
        "picture": picture.key if picture else None,
        "alt": picture.told(language) if picture else "",
        "flips": bool(picture and picture.flips),
        "missing": tell("strip.no_picture", language),
    }


def _left_out(plan: HomePlan, strip: StripSetting, language: str) -> str:
    numbers = [number for number, step in enumerate(plan.steps, start=1) if step.step_id in strip.left_out]
    if not numbers:
        return ""
    key = "strip.left_out_one" if len(numbers) == 1 else "strip.left_out_some"
    return tell(key, language, frames=family.listed(numbers, language))
