"""Sources and their marks, red flags, readiness, warm-ups, coaching, milestones, screen sentences.

Outside checks: CDC Learn the Signs 2022 (75 % basis, Zubler et al. 2022; twelve checklist ages; stacks 2
things at 15 months, read in agreeing copies), 16 CFR 1501.4, 1500.19, 1262.3 (limits), the marks as the
sources were seen.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from bylittle import library
from bylittle.core.faults import BadValue
from bylittle.core.skill import cylinder, materials
from bylittle.library import readability
from bylittle.library.catalogue import MARKS
from bylittle.library.text import Text
from bylittle.printing.help_words import USUAL

SOURCES = library.sources()
BANNED = re.compile(r"\b(failed|failure|compliance|patient|error|streak|score)\b", re.IGNORECASE)


def family_texts() -> Iterator[tuple[str, Text]]:
    for game in library.warmups():
        yield from ((game.id, text) for text in (game.name, game.how, game.caution))
    for flag in library.red_flags():
        yield from ((flag.id, text) for text in (flag.question, flag.family))
    for item in library.readiness():
        yield from ((item.id, text) for text in (item.name, item.look, item.adaptation))
    for one in (*library.fidelity_items(), *library.teach_back(), *library.talk(), *library.milestones()):
        yield one.id, one.name
    for way in library.procedures():
        yield from ((way.id, text) for text in (way.name, way.rule))
    yield "caveat", library.milestones().caveat
    yield from library.screen_words().by_code.items()
    yield "closing", library.screen_words().closing


FAMILY = list(family_texts())


def test_every_text_is_there_in_both_languages() -> None:
    for where, text in FAMILY:
        assert text.strip(), where
        assert text.es.strip(), where
        assert text != text.es, where


def test_no_word_of_blame_is_used() -> None:
    for where, text in FAMILY:
        assert not BANNED.search(text), (where, text)
    for skill in library.skills():
        assert not BANNED.search(" ".join((skill.why, skill.chaining.why))), skill.id


def test_long_texts_stay_at_grade_five() -> None:
    hard = []
    for where, text in FAMILY:
        told = readability.counts(text)
        if told.words >= 8 and readability.flesch_kincaid_grade(told) > readability.FAMILY_GRADE:
            hard.append((where, str(text)))
    assert hard == []


def test_spanish_texts_are_easy_as_a_whole() -> None:
    told = readability.counts_of((text.es for _, text in FAMILY), "es")
    assert readability.inflesz(told) >= readability.FAMILY_INFLESZ


# --- sources ---------------------------------------------------------------------------------------


def test_every_mark_is_one_of_three() -> None:
    assert {source.mark for source in SOURCES.values()} == set(MARKS)


@pytest.mark.parametrize(
    ("source", "mark"),
    [
        ("cdc-checklists-2022", "published"),
        ("16-cfr-1501-4", "published"),
        ("16-cfr-1500-19", "published"),
        ("16-cfr-1262-3", "published"),
        ("aap-motor-2013", "published"),
        ("aap-choking-2010", "published"),
        ("cdc-items", "common practice, no source"),
        ("dressing-sequence", "common practice, no source"),
        ("scissor-sequence", "common practice, no source"),
        ("food-choking-lists", "common practice, no source"),
        ("en-71-1-cords", "common practice, no source"),
        ("cord-caution", "common practice, no source"),
        ("small-parts-floor", "from memory"),
        ("astm-f963-cords", "from memory"),
    ],
)
def test_marks_as_the_sources_were_seen(source: str, mark: str) -> None:
    assert SOURCES[source].mark == mark


def test_what_says_it_is_from_memory_is_not_shown_as_published() -> None:
    for way in library.procedures():
        assert ("from memory" in way.evidence) <= (way.mark != "published"), way.id
    for source in SOURCES.values():
        hearsay = re.search(r"secondary cop|not on the CDC|from memory|was not seen", source.title)
        assert not (hearsay and source.mark == "published"), source.id


def test_the_published_limits() -> None:
    """1.25 in and 1.75 in; 50 kG² mm²; the floor 1 in and 2.25 in (from memory)."""
    assert pytest.approx(1.25 * 25.4) == cylinder.WIDTH_MM
    assert cylinder.SHALLOW_MM == 25.4
    assert pytest.approx(2.25 * 25.4) == cylinder.DEEP_MM
    assert pytest.approx(1.75 * 25.4) == materials.SMALL_BALL_MM
    assert materials.MAGNET_FLUX == 50
    assert (materials.CORD_MM, materials.LOOP_MM) == (220, 360)


def test_every_finding_of_the_screen_has_a_source_with_the_same_mark_and_a_sentence() -> None:
    words = library.screen_words()
    seen = set()
    for thing, child in every_thing():
        for finding in materials.screen(thing, child).findings:
            seen.add(finding.code)
            assert finding.mark in (SOURCES[finding.source].mark, materials.COMMON)
            for language in library.LANGUAGES:
                told = words.told(finding, language)
                assert "{" not in told
                assert "?" not in told.replace("¿", "?"), told
    assert seen == set(words.by_code)


def test_every_finding_names_its_limit_with_a_unit_or_says_that_there_is_no_number() -> None:
    words = library.screen_words()
    assert set(words.limits) == set(words.by_code)
    for code in words.limits:
        told = words.limit(code)
        assert "{" not in told
        assert re.search(r"\d (mm|months|°C|kG² mm²)", told) or told.startswith("no number"), code
        assert told.endswith("."), code


def test_the_limit_of_a_finding_with_a_number_is_told_with_that_number() -> None:
    words = library.screen_words()
    for thing, child in every_thing():
        for finding in materials.screen(thing, child).findings:
            if finding.limit is not None and finding.unit:
                amount = f"{finding.limit:.4g} " + ("kG² mm²" if finding.unit == "kG2 mm2" else finding.unit)
                assert amount in words.limit(finding.code), finding.code


def test_an_inch_beside_millimetres_is_the_same_length() -> None:
    for told in map(library.screen_words().limit, library.screen_words().limits):
        for mm, inch in re.findall(r"([\d.]+) mm \(([\d.]+) in\)", told):
            assert float(mm) == pytest.approx(25.4 * float(inch))


def every_thing() -> Iterator[tuple[materials.Thing, materials.Child]]:
    small = {"shape": "sphere", "sizes_mm": {"diameter_mm": 20.0}}
    things = [
        materials.Thing(**small, ball=True, marble=True, cord_mm=300, loop_mm=400, loose_magnet=True),
        materials.Thing(loose_magnet=True, cord_mm=30, loop_mm=40, height_mm=100),
        materials.Thing(loose_magnet=True, magnet_flux=70, coin_cell=True, latex_balloon=True, sharp=True),
        materials.Thing(heat=True, water=True, water_c=40, height_mm=900),
        materials.Thing(**small, exempt=True, height_mm=1000, made_to_climb=True),
        materials.Thing(food=True, choking_food=True, food_is_reward=True),
    ]
    children = [
        materials.Child(30, mouths=False),
        materials.Child(60),
        materials.Child(60, mouths=False, food_allergy=True, swallow_concern=True),
    ]
    return ((thing, child) for thing in things for child in children)


def test_numbers_follow_the_language() -> None:
    finding = materials.Finding("small_ball", "warn", "16-cfr-1500-19", "published", 40.5, 44.45, "mm")
    words = library.screen_words()
    assert "44.45 mm" in words.told(finding, "en")
    assert "40,5 mm" in words.told(finding, "es")


# --- gate, readiness, warm-ups ---------------------------------------------------------------------


def test_the_gate_asks_what_must_be_asked() -> None:
    asked = {flag.id for flag in library.red_flags()}
    assert asked >= {
        "lost-skill",
        "one-side",
        "tone",
        "pain",
        "seizure",
        "swallow",
        "hearing",
        "vision",
        "safeguarding",
    }


def test_the_family_is_sent_to_someone_and_told_no_illness() -> None:
    illness = re.compile(
        r"palsy|dystrophy|epilep|autis|tumou?r|cancer|stroke|syndrome|parális|cáncer", re.IGNORECASE
    )
    for flag in library.red_flags():
        assert not illness.search(flag.family + flag.family.es), flag.id
        if flag.ask == "family":
            assert re.search(r"doctor|emergency|clinic|looked at|check", flag.family), flag.id
        if flag.urgency == "now":
            assert "emergency number" in flag.family


def test_what_only_the_therapist_answers_is_marked() -> None:
    assert {flag.id for flag in library.red_flags() if flag.ask == "therapist"} == {
        "safeguarding",
        "carer-crisis",
    }


def test_every_readiness_item_brings_an_adaptation() -> None:
    assert len(library.readiness()) >= 15
    assert all(item.adaptation for item in library.readiness())


def test_warm_ups_are_many_varied_and_each_prepares_a_skill() -> None:
    games = library.warmups()
    assert len(games) >= 20
    assert {game.kind for game in games} == {
        "heavy work",
        "naming and moving",
        "copying poses",
        "crossing the middle",
        "two hands together",
        "balance",
    }
    for game in games:
        assert game.prepares, game.id
        assert all(game.id in library.skill(name).warmups for name in game.prepares)


def test_no_latex_balloon_in_any_game() -> None:
    assert all("balloon" not in game.how for game in library.warmups())


# --- breakdown finder ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("seen", "kind", "strength"),
    [
        (["few-ideas", "copy-much-better", "guided-then-fine"], "idea", "fairly clear"),
        (["has-idea", "copy-muddled", "new-much-worse", "guided-slow-gain"], "plan", "fairly clear"),
        (["has-idea", "copy-clumsy", "both-poor", "easier-large"], "doing", "fairly clear"),
        (["copy-muddled", "new-much-worse"], "plan", "leans"),
        (["few-ideas", "copy-muddled"], None, "mixed"),
        (["few-ideas", "copy-muddled", "easier-large"], None, "mixed"),
        (["guided-then-fine", "has-idea", "copy-clumsy", "easier-some"], None, "mixed"),
        (["copy-clumsy"], None, "too little seen"),
        ([], None, "too little seen"),
    ],
)
def test_the_finder_grades_what_it_suggests(seen: list[str], kind: str | None, strength: str) -> None:
    told = library.breakdown().suggest(seen)
    assert (told.kind.id if told.kind else None, told.strength) == (kind, strength)
    assert bool(told.because) == bool(kind)


def test_the_finder_does_not_mind_the_order_of_looks() -> None:
    seen = ["has-idea", "copy-clumsy", "both-poor"]
    assert library.breakdown().suggest(seen).shares == library.breakdown().suggest(seen[::-1]).shares


def test_the_finder_refuses_what_it_does_not_know_and_two_answers_to_one_look() -> None:
    with pytest.raises(BadValue):
        library.breakdown().suggest(["no-such-sight"])
    with pytest.raises(BadValue):
        library.breakdown().suggest(["copy-muddled", "copy-clumsy"])


def test_the_finder_says_it_is_no_test() -> None:
    assert "not a test" in library.breakdown().caveat


# --- coaching --------------------------------------------------------------------------------------


def test_the_checklist_covers_the_plan() -> None:
    parts = {item.part for item in library.fidelity_items()}
    assert parts >= {
        "set_up",
        "cue_words",
        "wait",
        "order_of_help",
        "error_response",
        "praise",
        "stop_sign",
        "record",
    }
    for order in ("fixed offer", "least-to-most"):
        fitting = [item for item in library.fidelity_items() if item.order in (None, order)]
        assert sum(item.part == "order_of_help" for item in fitting) == 1
        assert 6 <= len(fitting) <= 12


def test_every_way_asked_for_is_there() -> None:
    assert {way.id for way in library.procedures()} >= {
        "most-to-least",
        "least-to-most",
        "graduated-guidance",
        "constant-time-delay",
        "progressive-time-delay",
        "simultaneous-prompting",
        "backward",
        "forward",
        "whole",
        "leap-ahead",
        "slip",
        "praise",
        "hand-under-hand",
        "pulls-away",
        "bad-day",
    }


def test_a_rule_takes_the_numbers_of_the_plan() -> None:
    way = next(way for way in library.procedures() if way.id == "constant-time-delay")
    assert "wait 5 seconds" in way.told("en", wait="5 seconds")
    assert "espere 3 segundos" in way.told("es", wait="3 segundos")
    for one in library.procedures():
        assert "{" not in one.told("en") + one.told("es")


def test_a_child_who_pulls_away_is_let_go() -> None:
    way = next(way for way in library.procedures() if way.id == "pulls-away")
    assert way.rule.startswith("Let go at once.")


# --- milestones ------------------------------------------------------------------------------------


def test_milestones_hold_what_the_checklists_say() -> None:
    told = library.milestones()
    assert told.basis_percent == 75
    assert SOURCES[told.basis_source].mark == "published"
    assert told.ages_months == (2, 4, 6, 9, 12, 15, 18, 24, 30, 36, 48, 60)
    assert {item.months for item in told} == set(told.ages_months)
    (stack,) = (item for item in told if "Stacks" in item.name)
    assert (stack.months, "at least 2" in stack.name) == (15, True)
    assert {str(item.name) for item in told if item.months == 60} == {
        "Closes some buttons",
        "Hops on one foot",
    }


def test_milestones_carry_their_caveat_and_no_item_claims_to_be_published() -> None:
    told = library.milestones()
    assert "not a test" in told.caveat
    assert {item.mark for item in told} == {"common practice, no source"}
    assert max(item.months for item in told) <= 60


def test_every_way_whose_rule_stands_on_the_home_plan_is_in_arabic() -> None:
    """The others are told by the pages' own lines; no rule asks for a value that the English lacks."""
    ways = [each for each in library.procedures() if each.kind == "order of help"]
    printed = {each.id for each in ways} - USUAL | {"hand-under-hand"}
    spoken = {each.id: each for each in library.procedures() if each.speaks("ar")}
    assert set(spoken) == printed
    for way in spoken.values():
        assert set(re.findall(r"\{\w+\}", way.rule_ar)) == set(re.findall(r"\{\w+\}", str(way.rule)))
        assert not re.search(r"[A-Za-z]", re.sub(r"\{\w+\}", "", way.rule_ar))
