"""Cue cards to cut out: one for the fridge, two that fold for the wallet."""

from __future__ import annotations

from collections.abc import Mapping

from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.library.wording import family
from bylittle.library.wording.family import tell
from bylittle.printing import family_words as words
from bylittle.printing import help_words
from bylittle.printing import pictures as pics
from bylittle.printing.family_words import Words
from bylittle.printing.page_fit import set_or_explain
from bylittle.printing.pictures import StepPicture
from bylittle.printing.press import Press
from bylittle.printing.setting import PageSetting

TEMPLATE = "cue_card.typ"
# Ways to set a card, the roomiest first: text and cue words in points, picture in mm, cues side by side.
FRIDGE = (
    (14, 34, 34, 3),
    (14, 30, 26, 3),
    (14, 26, 20, 3),
    (13, 22, 18, 4),
    (12, 19, 15, 4),
    (12, 17, 11, 4),
)
WALLET = ((11, 24, 0, 1), (11, 20, 0, 1), (10, 17, 0, 2), (9.5, 14, 0, 2), (9, 12, 0, 3), (8.5, 10.5, 0, 3))


def cue_card_pdf(
    plan: HomePlan,
    setting: PageSetting,
    press: Press,
    *,
    pictures: Mapping[str, StepPicture] | None = None,
    also: HomePlan | None = None,
) -> bytes:
    """A page with a fridge card and two wallet cards, in the page's language and then in the second one.

    A card is small by its nature: its text shrinks to 8.5 pt before `PageTooFull` names what to shorten.
    """
    data = cue_card_data(plan, setting, pictures=pictures, also=also)
    return set_or_explain(press, TEMPLATE, data, plan, setting)


def cue_card_data(
    plan: HomePlan,
    setting: PageSetting,
    *,
    pictures: Mapping[str, StepPicture] | None = None,
    also: HomePlan | None = None,
) -> Words:
    """All that the cards say, in words: the template only sets it."""
    words.check_signed_page(plan, setting)
    shown = pics.for_steps(plan.steps) if pictures is None else pictures
    spoken = words.in_languages(plan, setting, also)
    first = spoken[0][0]
    return {
        "title": tell("head.card", first, child=family.child_name(plan.child, first)),
        "lang": first,
        "paper": setting.paper,
        "mirrored": plan.mirrored or setting.left_handed,
        "band": words.band(setting),
        "fridge_ways": _ways(FRIDGE),
        "wallet_ways": _ways(WALLET),
        "tellings": [_telling(told, setting, language, shown, spoken) for language, told in spoken],
        "pictures": pics.by_key(shown.get(step.step_id) for step in plan.asked),
    }


def _ways(ways: tuple[tuple[float, float, float, int], ...]) -> list[dict[str, float]]:
    return [{"size": size, "cue": cue, "side": side, "columns": columns} for size, cue, side, columns in ways]


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
        "eyebrow": tell("head.card", language, child=child),
        "fold": tell("card.fold", language),
        "cues": [
            _cue(place, plan, language, shown, spoken) for place, step in enumerate(plan.steps) if step.asked
        ],
        "help": _help(plan, language, child),
        "credit": pics.credits_of((shown.get(step.step_id) for step in plan.asked), language),
        **words.short_safety(plan, setting, language, child),
    }


def _cue(
    place: int, plan: HomePlan, language: str, shown: Mapping[str, StepPicture], spoken: words.Spoken
) -> Words:
    step = plan.steps[place]
    picture = shown.get(step.step_id)
    return {
        "text": step.cue or step.name,
        "picture": picture.key if picture else None,
        "alt": picture.told(language) if picture else "",
        "flips": bool(picture and picture.flips),
        **words.other_cue(plan, place, spoken),
    }


def _help(plan: HomePlan, language: str, child: str) -> list[Words]:
    """Level and wait alone: the card reminds, the home plan explains."""
    own = help_words.own_timing(plan)
    rule = help_words.way_rule(plan, language) if own else help_words.wait(plan, language)
    wait = help_words.line(rule)
    if plan.order_of_help is OrderOfHelp.LEAST_TO_MOST:
        add = help_words.line(tell("help.add", language), levels=help_words.all_levels(plan, language, child))
        return [wait, add]
    return [help_words.line("", levels=help_words.offered(plan, language, child)), wait]
