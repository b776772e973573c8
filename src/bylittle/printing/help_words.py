"""How to help, in the family's words: what to say, which help, how long to wait, what then."""

from __future__ import annotations

from collections.abc import Mapping

from bylittle import library
from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.skill.ladder import Ladder
from bylittle.library.coaching import Procedure
from bylittle.library.wording import family
from bylittle.library.wording.family import tell
from bylittle.look import help_bar
from bylittle.printing.family_words import Words

MOST_LARGE_CUES = 3
#: Ways of helping that say themselves when help comes: their rule stands in place of the usual lines.
OWN_TIMING = frozenset(
    {"graduated-guidance", "constant-time-delay", "progressive-time-delay", "simultaneous-prompting"}
)
#: Ways whose rule the usual lines spell out already.
USUAL = frozenset({"most-to-least", "least-to-most"})


def lines(plan: HomePlan, language: str, child: str) -> list[Words]:
    """The numbered lines of *How to help*; a line carries the levels of help it names."""
    if plan.order_of_help is OrderOfHelp.LEAST_TO_MOST:
        found = _least_to_most(plan, language, child)
    else:
        found = _fixed(plan, language, child)
    rule = "" if own_timing(plan) else way_rule(plan, language)
    return [*found, line(rule)] if rule else found


def own_timing(plan: HomePlan) -> bool:
    """Whether the chosen way of helping says itself when help comes."""
    return plan.procedure in OWN_TIMING and plan.order_of_help is OrderOfHelp.FIXED_OFFER


def way_rule(plan: HomePlan, language: str) -> str:
    """The rule of the chosen way of helping, with the plan's seconds.

    Empty where none is chosen, or where the usual lines say it. In a language that the rule does not speak it
    stands in the plan's own words, like all else that the plan itself says.
    """
    known = {each.id: each for each in library.procedures()}
    way = None if plan.procedure in USUAL else known.get(plan.procedure)
    if way is None:
        return ""
    spoken = next(each for each in (language, plan.language, "en") if way.speaks(each))
    return rule_words(way, plan.wait_s, spoken)


def rule_words(way: Procedure, wait_s: int, language: str) -> str:
    """The rule of a way of helping in a language that it speaks, its seconds in the right form of number."""
    seconds = family.count("seconds", wait_s, language)
    return way.told(language, wait=seconds, cap=seconds)


def _fixed(plan: HomePlan, language: str, child: str) -> list[Words]:
    levels = set(_offers(plan))
    more = line(tell("help.finish" if levels == {0} else "help.more", language, child=child))
    if own_timing(plan):
        rule = line(way_rule(plan, language), levels=offered(plan, language, child))
        return [line(_say_words(plan, language)), rule, more]
    give = "help.hands_off" if levels == {plan.ladder.top} else "help.give_now"
    return [
        line(_say_words(plan, language)),
        line(tell(give, language, child=child), levels=offered(plan, language, child)),
        line(wait(plan, language)),
        more,
    ]


def offered(plan: HomePlan, language: str, child: str) -> list[Words]:
    """Each level of help that the plan offers, with the steps it is for where levels differ."""
    offers = _offers(plan)
    return [
        {**_level(plan.ladder, level, language, child), "label": _for_label(numbers, offers, language)}
        for level, numbers in offers.items()
    ]


def all_levels(plan: HomePlan, language: str, child: str) -> list[Words]:
    """The levels of the ladder below alone, from the least help to the fullest."""
    return [
        {**_level(plan.ladder, level, language, child), "label": ""}
        for level in range(plan.ladder.top - 1, -1, -1)
    ]


def _offers(plan: HomePlan) -> dict[int, list[int]]:
    """The step numbers that are offered each level of help, in the order the levels come up."""
    offers: dict[int, list[int]] = {}
    for number, step in enumerate(plan.steps, start=1):
        if step.asked and step.help_level is not None:
            offers.setdefault(step.help_level, []).append(number)
    return offers


def _for_label(numbers: list[int], offers: Mapping[int, list[int]], language: str) -> str:
    if len(offers) == 1:
        return ""
    key = "help.for_step" if len(numbers) == 1 else "help.for_steps"
    return tell(key, language, n=family.listed(numbers, language))


def _least_to_most(plan: HomePlan, language: str, child: str) -> list[Words]:
    seconds = family.count("seconds", plan.wait_s, language)
    return [
        line(f"{_say_words(plan, language)} {wait(plan, language)}"),
        line(tell("help.add", language), chain=all_levels(plan, language, child)),
        line(tell("help.wait_each", language, seconds=seconds)),
    ]


def _say_words(plan: HomePlan, language: str) -> str:
    if few(plan):
        return tell("help.say_words", language)
    return f"{tell('say.each', language)} {tell('say.same', language)}"


def few(plan: HomePlan) -> bool:
    """Whether the cue words are few enough to stand very large in a place of their own."""
    return len(plan.asked) <= MOST_LARGE_CUES


def wait(plan: HomePlan, language: str) -> str:
    """How long to wait and how to count it."""
    if plan.wait_s == 0:
        return tell("help.no_wait", language)
    return tell("help.wait", language, seconds=family.count("seconds", plan.wait_s, language))


def line(text: str, *, levels: list[Words] | None = None, chain: list[Words] | None = None) -> Words:
    """One line: its words, the levels it explains, or the chain of levels it names."""
    return {"text": text, "levels": levels or [], "chain": chain or []}


def _level(ladder: Ladder, level: int, language: str, child: str) -> Words:
    name = ladder.name(level)
    return {
        "name": family.level_name(name, language),
        "how": family.level_how(name, language, child),
        "cells": help_bar.cells(level, ladder, right_to_left=family.right_to_left(language)),
        "alt": tell("help.bar", language, filled=level, cells=ladder.top),
    }
