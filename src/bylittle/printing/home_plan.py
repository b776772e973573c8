"""The home plan on paper: exactly one page, or a fault that names what to shorten."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bylittle.core.plan.home_plan import Chaining, HomePlan
from bylittle.library.wording import family
from bylittle.library.wording.family import tell
from bylittle.look import chain_line
from bylittle.look.type_scale import FAMILY_SMALLEST_PT
from bylittle.printing import family_words as words
from bylittle.printing import help_words
from bylittle.printing import pictures as pics
from bylittle.printing.family_words import Words
from bylittle.printing.page_fit import set_or_explain
from bylittle.printing.pictures import StepPicture
from bylittle.printing.press import Press
from bylittle.printing.setting import PageSetting

TEMPLATE = "home_plan.typ"
WIDEST_ROW, WIDEST_OF_SEVERAL = 6, 4
# Ways to set the page: side of a picture and gap in mm, leading in em.
ROOMY = (
    (38, 6, 0.68),
    (34, 5, 0.66),
    (30, 5, 0.64),
    (28, 4, 0.6),
    (26, 3, 0.57),
    (24, 2.5, 0.54),
    (22, 2, 0.52),
    (20, 2, 0.5),
)
TIGHT = (
    (18, 2, 0.48),
    (16, 1.6, 0.46),
    (14, 1.6, 0.46),
    (12, 1.6, 0.46),
    (11, 1.3, 0.42),
    (10, 1.0, 0.38),
    (10, 0.8, 0.34),
)
# The large cue words give way where the lines already stand close.
CLOSE_LEAD, CLOSE_CUES = 0.44, 0.72


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
    return set_or_explain(press, TEMPLATE, data, plan, setting)


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
        "tellings": [_telling(told, setting, language, shown, spoken) for language, told in spoken],
        "pictures": pics.by_key(shown.get(step.step_id) for step in plan.steps),
    }


def ways_to_set(text_size: float) -> list[list[dict[str, float]]]:
    """For each text size, largest first, the ways to set the page, roomiest first."""
    sizes = [text_size]
    while sizes[-1] > FAMILY_SMALLEST_PT:
        sizes.append(max(FAMILY_SMALLEST_PT, sizes[-1] - 1))
    return [_ways(size, ROOMY + (TIGHT if size == sizes[-1] else TIGHT[:2])) for size in sizes]


def _ways(size: float, ways: Sequence[tuple[float, float, float]]) -> list[dict[str, float]]:
    return [
        {
            "size": size,
            "side": side,
            "gap": gap,
            "lead": lead,
            "say": CLOSE_CUES if lead < CLOSE_LEAD else 1.0,
        }
        for side, gap, lead in ways
    ]


def _telling(
    plan: HomePlan,
    setting: PageSetting,
    language: str,
    shown: Mapping[str, StepPicture],
    spoken: words.Spoken,
) -> Words:
    child = family.child_name(plan.child, language)
    return {
        **words.shared(plan, setting, language),
        "eyebrow": tell("head.plan", language, child=child),
        "grade": plan.grade,
        "facts": _facts(plan, language),
        "chain_heading": tell("chain.heading", language),
        "who_does": _who_does(plan, child, language),
        "rows": _rows(plan, language, child, shown, spoken),
        **_say(plan, language, spoken),
        "help_heading": tell("help.heading", language),
        "help": help_words.lines(plan, language, child),
        "notes": _notes(plan, language, child),
        "stop_heading": tell("stop.heading", language),
        "signs": words.signs(plan, language, child),
        "stop_lines": words.stop_lines(plan, language),
        "care_heading": tell("care.heading", language),
        "care": words.care(plan, setting, language, child),
        "credit": pics.credits_of((shown.get(step.step_id) for step in plan.steps), language),
    }


def _who_does(plan: HomePlan, child: str, language: str) -> str:
    """Who does what, and how the chain grows where the plan has a direction and steps left to add."""
    told = family.who_does_what(plan.steps, child, language)
    if plan.chaining is Chaining.BACKWARD and not plan.steps[0].asked:
        key = "chain.leap_before" if plan.leap_ahead else "chain.then_before"
        return f"{told} {tell(key, language, child=child)}"
    if plan.chaining is Chaining.FORWARD and not plan.steps[-1].asked:
        key = "chain.leap_next" if plan.leap_ahead else "chain.then_next"
        return f"{told} {tell(key, language, child=child)}"
    return told


def _facts(plan: HomePlan, language: str) -> list[Words]:
    dose = plan.dose
    turns = family.count("turns", dose.turns_per_day, language)
    minutes = family.count("minutes", dose.minutes, language)
    much = tell("head.dose", language, turns=turns, minutes=minutes)
    day_off = "" if plan.bad_days else f" {tell('hard_day.usual', language)}"
    facts = [
        _fact("when", dose.routine or tell("head.no_routine", language), language, "."),
        _fact("how_much", much, language, f". {tell('head.fun', language)}{day_off}"),
    ]
    if plan.materials:
        facts.append(_fact("need", " · ".join(plan.materials), language, "."))
    if len(plan.adults) > 1:
        facts[1]["after"] += " " + tell(
            "head.same_way", language, adults=family.listed(plan.adults, language)
        )
    return facts


def _fact(key: str, text: str, language: str, after: str) -> Words:
    told = family.isolated(text.rstrip("."), language)
    return {"label": tell(f"head.{key}", language), "text": told, "after": after}


def _rows(
    plan: HomePlan, language: str, child: str, shown: Mapping[str, StepPicture], spoken: words.Spoken
) -> list[list[Words]]:
    steps = [_step(place, plan, language, child, shown, spoken) for place in range(len(plan.steps))]
    rows = []
    widest = WIDEST_ROW if len(steps) <= WIDEST_ROW else WIDEST_OF_SEVERAL
    for length in chain_line.rows(len(steps), widest):
        rows.append(steps[:length])
        steps = steps[length:]
    return rows


def _step(
    place: int,
    plan: HomePlan,
    language: str,
    child: str,
    shown: Mapping[str, StepPicture],
    spoken: words.Spoken,
) -> Words:
    step = plan.steps[place]
    picture = shown.get(step.step_id)
    return {
        "number": place + 1,
        "name": step.name,
        "cue": step.cue,
        "cue_size": 1.0 if help_words.few(plan) or not step.asked else 1.2,
        "asked": step.asked,
        "who": child if step.asked else tell("chain.you", language),
        "last": place + 1 == len(plan.steps),
        "framed": any(other.step_id in shown for other in plan.steps),
        "picture": picture.key if picture else None,
        "alt": picture.told(language) if picture else "",
        **words.other_cue(plan, place, spoken),
        "flips": bool(picture and picture.flips),
    }


def _say(plan: HomePlan, language: str, spoken: words.Spoken) -> Words:
    """The cue words very large; with more than three they stand large under their pictures instead."""
    cues = [
        {
            "text": step.cue or tell("say.no_words", language),
            "number": place + 1 if len(plan.asked) > 1 else None,
            **words.other_cue(plan, place, spoken),
        }
        for place, step in enumerate(plan.steps)
        if step.asked
    ]
    return {
        "say_heading": tell("say.heading", language),
        "say": cues if help_words.few(plan) else [],
        "say_size": _cue_size([cue["text"] for cue in cues]),
        "say_note": tell("say.same", language),
    }


def _cue_size(cues: Sequence[str]) -> float:
    """How many times the body text the cue words stand: largest for one short cue."""
    longest = max(map(len, cues), default=0)
    by_length = 2.6 if longest <= 14 else 2.1 if longest <= 20 else 1.7
    return min(by_length, (2.6, 2.1, 1.8)[min(len(cues), 3) - 1])


def _notes(plan: HomePlan, language: str, child: str) -> list[dict[str, str]]:
    bad = {"heading": tell("hard_day.heading", language), "text": plan.bad_days}
    return [
        {
            "heading": tell("wrong.heading", language),
            "text": plan.when_it_goes_wrong or tell("wrong.usual", language),
        },
        {
            "heading": tell("praise.heading", language),
            "text": plan.praise or _usual_praise(plan, language, child),
        },
        *([bad] if plan.bad_days else []),
    ]


def _usual_praise(plan: HomePlan, language: str, child: str) -> str:
    """Praise at once; where every asked step goes alone already, it may grow thin."""
    told = tell("praise.usual", language, child=child)
    alone = all(step.help_level == plan.ladder.top for step in plan.asked)
    return f"{told} {tell('praise.fade', language)}" if alone else told
