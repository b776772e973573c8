"""The words that stand on every page a family takes home: child, call, signs, signature, version."""

from __future__ import annotations

from typing import Any

from bylittle.core.faults import BadValue, Fault, raise_all
from bylittle.core.plan.home_plan import HomePlan
from bylittle.library.wording import family
from bylittle.library.wording.family import tell
from bylittle.printing.setting import PageSetting

WRITTEN_FROM_THE_RIGHT = frozenset({"ar", "fa", "he", "ps", "ur"})
Words = dict[str, Any]
Spoken = list[tuple[str, HomePlan]]
"""Each language of a page with the plan whose words it uses."""


def check_signed_page(plan: HomePlan, setting: PageSetting) -> None:
    """Refuse a signed page without precautions or allergies, the child's own signs or whom to call."""
    if setting.signed:
        raise_all([*_missing(plan, setting)])
        plan.check()


def _missing(plan: HomePlan, setting: PageSetting) -> list[Fault]:
    there = {
        "precautions": any(text.strip() for text in (*plan.precautions, *setting.allergies)),
        "stop_signs": bool(plan.stop_rule.stop_signs),
        "yes_signs": bool(plan.stop_rule.yes_signs),
        "call": bool(plan.stop_rule.call.strip()),
    }
    return [
        BadValue("signed_page_incomplete", name=name, value="", allowed="what the safety gate asked")
        for name, is_there in there.items()
        if not is_there
    ]


def in_languages(plan: HomePlan, setting: PageSetting, also: HomePlan | None) -> Spoken:
    """Each language of the page with the plan whose words it uses.

    `also` is the same plan with its words in another language; BadValue when it asks for something else.
    """
    if also is not None and _substance(also) != _substance(plan):
        raise BadValue(
            "translation_differs", name="also", value=also.number, allowed="the same plan in other words"
        )
    wanted = [setting.language]
    if setting.second_language and setting.second_language != setting.language:
        wanted.append(setting.second_language)
    return [(language, _best(plan, also, language)) for language in wanted]


def other_cue(plan: HomePlan, place: int, spoken: Spoken) -> Words:
    """The cue words of a step in the page's other language, to stand beside the first; else empty."""
    cue = plan.steps[place].cue
    for language, other in spoken:
        if other.language != plan.language and (told := other.steps[place].cue) and told != cue:
            return {"other": told, "other_lang": language}
    return {"other": "", "other_lang": plan.language}


def _best(plan: HomePlan, also: HomePlan | None, language: str) -> HomePlan:
    return also if also is not None and also.language == language != plan.language else plan


def _substance(plan: HomePlan) -> tuple[Any, ...]:
    steps = tuple((step.step_id, step.asked, step.help_level, step.adult_only) for step in plan.steps)
    dose = (plan.dose.turns_per_day, plan.dose.days, plan.dose.minutes)
    return plan.plan_id, plan.number, steps, dose, plan.wait_s, _way(plan), len(plan.ladder)


def _way(plan: HomePlan) -> tuple[str, str, bool]:
    return plan.order_of_help, plan.procedure, plan.leap_ahead


def shared(plan: HomePlan, setting: PageSetting, language: str) -> Words:
    """What each page says at its edges: band, whom to call, signature, version, review of the language."""
    child = family.child_name(plan.child, language)
    return {
        "lang": language,
        "dir": tell("language.direction", language),
        "own_lang": plan.language,
        "child": child,
        "skill": plan.skill_name,
        "call_heading": tell("call.heading", language),
        "call": plan.stop_rule.call or tell("stop.not_asked", language),
        "emergency": tell("call.emergency", language),
        "signed": setting.signed,
        "signature": signature(setting, language),
        "version": version(plan, language),
        "unreviewed": unreviewed(plan, setting, language),
    }


def band(setting: PageSetting) -> str:
    """The words of the draft band, in each language of the page; empty when signed."""
    if setting.signed:
        return ""
    languages = dict.fromkeys(filter(None, (setting.language, setting.second_language)))
    return "  /  ".join(tell("draft.band", language) for language in languages)


def signature(setting: PageSetting, language: str) -> str:
    """Who signed and when, or that nobody did."""
    if not setting.signed or setting.signed_on is None:
        return tell("draft.foot", language)
    day = family.told_day(setting.signed_on, language)
    return tell("foot.signed", language, who=setting.signed_by, day=day)


def version(plan: HomePlan, language: str) -> str:
    """Plan, version, first day and length in days."""
    days = family.count("days", plan.dose.days, language)
    told = tell("foot.plan", language, plan=plan.plan_id, number=plan.number)
    if plan.start is None:
        span = tell("foot.for_days", language, days=days)
    else:
        span = tell("foot.from", language, day=family.told_day(plan.start, language, form="short"), days=days)
    return f"{told}, {span}" if language != "ar" else f"{told}، {span}"


def unreviewed(plan: HomePlan, setting: PageSetting, language: str) -> str:
    """That nobody who speaks the language has checked it, and that the plan's own words are in another."""
    told = [] if language in setting.reviewed else [tell("language.unreviewed", language)]
    if plan.language != language and plan.language in family.LANGUAGES:
        name = tell("language.name", plan.language)
        told.append(tell("language.other_words", language, tongue=name))
    return " ".join(told)


def signs(plan: HomePlan, language: str, child: str) -> list[Words]:
    """The child's own stop and yes signs; on a draft, that they were not asked yet."""
    rule = plan.stop_rule
    pairs = (("stop.stop_signs", rule.stop_signs), ("stop.yes_signs", rule.yes_signs))
    return [
        {"label": tell(key, language, child=child), **_asked_words(list_of_signs, language)}
        for key, list_of_signs in pairs
    ]


def _asked_words(told: tuple[str, ...], language: str) -> Words:
    if not told:
        return {"text": tell("stop.not_asked", language), "own": False}
    return {"text": family.listed(told, language, last="either") + ".", "own": True}


def stop_lines(plan: HomePlan, language: str) -> list[str]:
    """What to do at a stop sign, when a sitting ends and when to call."""
    rule = plan.stop_rule
    return [
        tell("stop.now", language),
        family.count("stops_end", rule.stops_in_a_sitting, language),
        family.count("stop_days", rule.days_running, language),
    ]


def short_safety(plan: HomePlan, setting: PageSetting, language: str, child: str) -> Words:
    """What must stand on every page that goes home where room is small: stop signs and cautions."""
    told = care(plan, setting, language, child)
    stop = signs(plan, language, child)[0]
    own_lines = [line for line in told if line["label"] or line["own"]]
    return {
        "stop_label": stop["label"],
        "stop_signs": stop["text"],
        "stop_now": tell("stop.now", language),
        "care": [f"{line['label']} {family.without_stop(line['text'])}.".strip() for line in own_lines],
    }


def care(plan: HomePlan, setting: PageSetting, language: str, child: str) -> list[Words]:
    """Allergies, precautions, each step's hazard, the skill's cautions and the usual ones."""

    def line(label: str, text: str) -> Words:
        return _line(label, str(family.isolated(text.strip(), language)))

    lines = [line(tell("care.allergies", language), text) for text in setting.allergies if text.strip()]
    lines += [line(tell("care.precautions", language), text) for text in plan.precautions if text.strip()]
    for number, step in enumerate(plan.steps, start=1):
        if step.hazard.strip():
            lines.append(line(tell("care.step", language, n=number), step.hazard))
    lines += [line("", text) for text in setting.cautions if text.strip()]
    usual = (tell("care.close", language), tell("care.pain", language, child=child))
    if not plan.precautions and not setting.allergies:
        label = tell("care.precautions", language)
        lines.insert(0, {"label": label, "text": tell("stop.not_asked", language), "own": False})
    return lines + [{"label": "", "text": text, "own": False} for text in usual]


def _line(label: str, text: str) -> dict[str, Any]:
    return {"label": label, "text": text.strip(), "own": True}
