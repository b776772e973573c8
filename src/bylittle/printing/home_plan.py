"""The home plan on paper: exactly one page, or a fault that names what to shorten."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from bylittle.core.faults import Fault
from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.skill.ladder import Ladder
from bylittle.library.wording import family
from bylittle.library.wording.family import tell
from bylittle.look import chain_line, help_bar
from bylittle.look.type_scale import FAMILY_SMALLEST_PT
from bylittle.printing import family_words as words
from bylittle.printing import pictures as pics
from bylittle.printing.family_words import Words
from bylittle.printing.pictures import StepPicture
from bylittle.printing.press import Press, UnprintablePage
from bylittle.printing.setting import PageSetting

TEMPLATE = "home_plan.typ"
MOST_LARGE_CUES = 3
WIDEST_ROW, WIDEST_OF_SEVERAL = 5, 4
# Ways to set the page: side of a picture and gap in mm, leading in em.
ROOMY = ((38, 6, 0.68), (34, 5, 0.66), (30, 5, 0.64), (26, 4, 0.62), (22, 4, 0.6), (19, 3, 0.56))
TIGHT = ((16, 3, 0.54), (14, 2.5, 0.52), (12, 2, 0.5))
COMFORTABLE = {"praise": 90, "when_it_goes_wrong": 140, "routine": 60, "skill_name": 40, "materials": 70}
COMFORTABLE_STEP, COMFORTABLE_CARE, COMFORTABLE_STEPS = 32, 70, 8


class PageTooFull(Fault):
    """The plan does not fit on one page: `over_mm` too high; `shorten` names texts with their lengths."""

    code = "page_too_full"


def home_plan_pdf(
    plan: HomePlan,
    setting: PageSetting,
    press: Press,
    *,
    pictures: Mapping[str, StepPicture] | None = None,
    also: HomePlan | None = None,
) -> bytes:
    """The one page as PDF. Without `pictures` (by step id) the library's drawings are used where known.

    `also`: the same plan with its words in another language, used where the page speaks that language.
    Pictures and spacing shrink first, then the text, never below 14 pt. Raises `PageTooFull`, or
    BadValue for a signed page that lacks what the gate asked, `UnprintablePage` for a missing glyph.
    """
    data = home_plan_data(plan, setting, pictures=pictures, also=also)
    try:
        return press.print(TEMPLATE, data)
    except UnprintablePage as refused:
        raise _explained(refused, plan, setting) from refused


def _explained(refused: UnprintablePage, plan: HomePlan, setting: PageSetting) -> Fault:
    over = re.search(r"PAGE-TOO-FULL ([\d.]+)", str(refused.values["reason"]))
    if over is None:
        return refused
    return PageTooFull(over_mm=float(over[1]), shorten=tuple(too_long(plan, setting)))


def too_long(plan: HomePlan, setting: PageSetting) -> list[tuple[str, int, int]]:
    """What to shorten first: (what, length, comfortable length), the furthest over first."""
    lengths = _lengths(plan, setting)
    over = [entry for entry in lengths if entry[1] > entry[2]]
    return sorted(over or lengths[-1:], key=lambda entry: entry[2] - entry[1])


def _lengths(plan: HomePlan, setting: PageSetting) -> list[tuple[str, int, int]]:
    told = {
        "praise": plan.praise,
        "when_it_goes_wrong": plan.when_it_goes_wrong,
        "routine": plan.dose.routine,
        "skill_name": plan.skill_name,
        "materials": ", ".join(plan.materials),
    }
    found = [(name, len(text), COMFORTABLE[name]) for name, text in told.items()]
    for number, step in enumerate(plan.steps, start=1):
        found.append((f"step {number}: name", len(step.name), COMFORTABLE_STEP))
        found.append((f"step {number}: hazard", len(step.hazard), COMFORTABLE_CARE))
    for name, texts in (("precautions", plan.precautions), ("allergies", setting.allergies)):
        found.append((name, sum(map(len, texts)), COMFORTABLE_CARE))
    found.append(("cautions", sum(map(len, setting.cautions)), COMFORTABLE_CARE))
    signs = (*plan.stop_rule.stop_signs, *plan.stop_rule.yes_signs)
    found.append(("stop and yes signs", sum(map(len, signs)), COMFORTABLE_CARE))
    found.append(("steps", len(plan.steps), COMFORTABLE_STEPS))
    return found


def home_plan_data(
    plan: HomePlan,
    setting: PageSetting,
    *,
    pictures: Mapping[str, StepPicture] | None = None,
    also: HomePlan | None = None,
) -> Words:
    """All that the page says, in words: the template only sets it."""
    words.check_signed_page(plan, setting)
    shown = pics.for_steps(plan.steps) if pictures is None else pictures
    spoken = words.in_languages(plan, setting, also)
    first = spoken[0]
    return {
        "title": tell("head.plan", first[0], child=family.child_name(plan.child, first[0])),
        "lang": first[0],
        "paper": setting.paper,
        "mirrored": plan.mirrored or setting.left_handed,
        "band": words.band(setting),
        "sizes": ways_to_set(setting.text_size),
        "tellings": [_telling(told, setting, language, shown) for language, told in spoken],
    }


def ways_to_set(text_size: float) -> list[list[dict[str, float]]]:
    """For each text size, largest first, the ways to set the page, roomiest first."""
    sizes = [text_size]
    while sizes[-1] > FAMILY_SMALLEST_PT:
        sizes.append(max(FAMILY_SMALLEST_PT, sizes[-1] - 1))
    return [_ways(size, ROOMY + (TIGHT if size == sizes[-1] else TIGHT[:1])) for size in sizes]


def _ways(size: float, ways: Sequence[tuple[float, float, float]]) -> list[dict[str, float]]:
    return [{"size": size, "side": side, "gap": gap, "lead": lead} for side, gap, lead in ways]


def _telling(plan: HomePlan, setting: PageSetting, language: str, shown: Mapping[str, StepPicture]) -> Words:
    child = family.child_name(plan.child, language)
    return {
        **words.shared(plan, setting, language),
        "eyebrow": tell("head.plan", language, child=child),
        "grade": plan.grade,
        "facts": _facts(plan, language),
        "chain_heading": tell("chain.heading", language),
        "who_does": family.who_does_what(plan.steps, child, language),
        "rows": _rows(plan, language, child, shown),
        **_say(plan, language),
        "help_heading": tell("help.heading", language),
        "help": _help(plan, language, child),
        "notes": _notes(plan, language, child),
        "stop_heading": tell("stop.heading", language),
        "signs": words.signs(plan, language, child),
        "stop_lines": words.stop_lines(plan, language),
        "care_heading": tell("care.heading", language),
        "care": words.care(plan, setting, language, child),
    }


def _facts(plan: HomePlan, language: str) -> list[Mapping[str, str]]:
    dose = plan.dose
    turns = family.count("turns", dose.turns_per_day, language)
    minutes = family.count("minutes", dose.minutes, language)
    much = tell("head.dose", language, turns=turns, minutes=minutes)
    facts = [
        _fact("when", dose.routine or tell("head.no_routine", language), language, "."),
        _fact("how_much", much, language, ". " + tell("head.fun", language)),
    ]
    if plan.materials:
        facts.append(_fact("need", family.listed(plan.materials, language), language, "."))
    if len(plan.adults) > 1:
        facts[1]["after"] += " " + tell(
            "head.same_way", language, adults=family.listed(plan.adults, language)
        )
    return facts


def _fact(key: str, text: str, language: str, after: str) -> dict[str, str]:
    return {"label": tell(f"head.{key}", language), "text": text.rstrip("."), "after": after}


def _rows(plan: HomePlan, language: str, child: str, shown: Mapping[str, StepPicture]) -> list[list[Words]]:
    steps = [_step(place, plan, language, child, shown) for place in range(len(plan.steps))]
    rows = []
    widest = WIDEST_ROW if len(steps) <= WIDEST_ROW else WIDEST_OF_SEVERAL
    for length in chain_line.rows(len(steps), widest):
        rows.append(steps[:length])
        steps = steps[length:]
    return rows


def _step(place: int, plan: HomePlan, language: str, child: str, shown: Mapping[str, StepPicture]) -> Words:
    step = plan.steps[place]
    picture = shown.get(step.step_id)
    return {
        "number": place + 1,
        "name": step.name,
        "cue": step.cue,
        "cue_size": 1.0 if _few(plan) or not step.asked else 1.2,
        "asked": step.asked,
        "who": child if step.asked else tell("chain.you", language),
        "last": place + 1 == len(plan.steps),
        "framed": any(other.step_id in shown for other in plan.steps),
        "svg": picture.svg if picture else None,
        "alt": picture.told(language) if picture else "",
        "flips": bool(picture and picture.flips),
    }


def _say(plan: HomePlan, language: str) -> Words:
    """The cue words very large; with more than three they stand large under their pictures instead."""
    cues = [step.cue or tell("say.no_words", language) for step in plan.asked]
    return {
        "say_heading": tell("say.heading", language),
        "say": cues if _few(plan) else [],
        "say_size": _cue_size(cues),
        "say_note": tell("say.same", language),
    }


def _few(plan: HomePlan) -> bool:
    return len(plan.asked) <= MOST_LARGE_CUES


def _cue_size(cues: Sequence[str]) -> float:
    """How many times the body text the cue words stand: largest for one short cue."""
    longest = max(map(len, cues), default=0)
    by_length = 2.6 if longest <= 14 else 2.1 if longest <= 20 else 1.7
    return min(by_length, (2.6, 2.1, 1.8)[min(len(cues), 3) - 1])


def _help(plan: HomePlan, language: str, child: str) -> list[Words]:
    if plan.order_of_help is OrderOfHelp.LEAST_TO_MOST:
        return _least_to_most(plan, language, child)
    return _fixed(plan, language, child)


def _fixed(plan: HomePlan, language: str, child: str) -> list[Words]:
    levels = _offers(plan)
    told = [
        {**_level(plan.ladder, level, language, child), "label": _label(numbers, levels, language)}
        for level, numbers in levels.items()
    ]
    fullest = set(levels) == {0}
    return [
        _line(_say_words(plan, language)),
        _line(tell("help.give_now", language), levels=told),
        _line(_wait(plan, language)),
        _line(tell("help.finish" if fullest else "help.more", language)),
    ]


def _offers(plan: HomePlan) -> dict[int, list[int]]:
    """The step numbers that are offered each level of help, in the order the levels come up."""
    offers: dict[int, list[int]] = {}
    for number, step in enumerate(plan.steps, start=1):
        if step.asked and step.help_level is not None:
            offers.setdefault(step.help_level, []).append(number)
    return offers


def _label(numbers: list[int], offers: Mapping[int, list[int]], language: str) -> str:
    if len(offers) == 1:
        return ""
    key = "help.for_step" if len(numbers) == 1 else "help.for_steps"
    return tell(key, language, n=family.listed(numbers, language))


def _least_to_most(plan: HomePlan, language: str, child: str) -> list[Words]:
    ladder = plan.ladder
    down = [_level(ladder, level, language, child) for level in range(ladder.top - 1, -1, -1)]
    seconds = family.count("seconds", plan.wait_s, language)
    return [
        _line(f"{_say_words(plan, language)} {_wait(plan, language)}"),
        _line(tell("help.add", language), chain=down),
        _line(tell("help.wait_each", language, seconds=seconds)),
    ]


def _say_words(plan: HomePlan, language: str) -> str:
    if _few(plan):
        return tell("help.say_words", language)
    return f"{tell('say.each', language)} {tell('say.same', language)}"


def _wait(plan: HomePlan, language: str) -> str:
    if plan.wait_s == 0:
        return tell("help.no_wait", language)
    return tell("help.wait", language, seconds=family.count("seconds", plan.wait_s, language))


def _line(text: str, *, levels: list[Words] | None = None, chain: list[Words] | None = None) -> Words:
    return {"text": text, "levels": levels or [], "chain": chain or []}


def _level(ladder: Ladder, level: int, language: str, child: str) -> Words:
    name = ladder.name(level)
    return {
        "name": family.level_name(name, language),
        "how": family.level_how(name, language, child),
        "cells": help_bar.cells(level, ladder, right_to_left=family.right_to_left(language)),
        "alt": tell("help.bar", language, filled=level, cells=ladder.top),
    }


def _notes(plan: HomePlan, language: str, child: str) -> list[Mapping[str, str]]:
    return [
        {
            "heading": tell("wrong.heading", language),
            "text": plan.when_it_goes_wrong or tell("wrong.usual", language),
        },
        {
            "heading": tell("praise.heading", language),
            "text": plan.praise or tell("praise.usual", language, child=child),
        },
    ]
