"""The home plan on paper: one page, all that must stand on it, in reading order, in three languages."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pikepdf
import pytest

from bylittle.core.faults import BadValue, Fault, ManyFaults
from bylittle.core.plan.home_plan import Chaining, HomePlan, StopRule
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.library.wording import family
from bylittle.printing.home_plan import home_plan_data, home_plan_pdf
from bylittle.printing.page_fit import PageTooFull
from bylittle.printing.press import UnprintablePage, press
from bylittle.printing.setting import PageSetting
from tests.printed_plans import (
    BRAM,
    BRAM_ES,
    DRAFT,
    EIGHT,
    ONE,
    SIGNED,
    WREN,
    WREN_ES,
    page_count,
    plan_of,
    text_of,
)

PLANS = {"one step": ONE, "six steps": WREN, "seven asked": BRAM, "eight asked": EIGHT}


def printed(plan: HomePlan = WREN, setting: PageSetting = SIGNED, also: HomePlan | None = None) -> bytes:
    return home_plan_pdf(plan, setting, press(), also=also)


@pytest.mark.parametrize("plan", PLANS.values(), ids=PLANS)
@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("size", [14.0, 18.0])
def test_exactly_one_page_under_two_megabytes(plan: HomePlan, paper: str, size: float) -> None:
    pdf = printed(plan, replace(SIGNED, paper=paper, text_size=size))
    assert page_count(pdf) == 1
    assert len(pdf) < 2_000_000


def test_the_page_reads_in_the_order_it_is_used() -> None:
    told = text_of(printed())
    order = [
        "Home plan for Wren",
        "Pull on a rain boot",
        "When:",
        "4 turns, 5 minutes or less. Stop while it is fun. A hard day? Skip it.",
        "Who does what",
        "Wren does steps 5 and 6. You do the rest.",
        "Say just this",
        "Pull up",
        "How to help",
        "light touch",
        "Wait 5 seconds",
        "one elephant",
        "If it goes wrong",
        "When it works",
        "When to stop",
        "Wren says stop: turns away or goes stiff.",
        "Wren says yes: reaches for it or smiles.",
        "Two stops end it for today.",
        "Two days in a row? Call us.",
        "Take care",
        "Allergies: none known",
        "Sit to do it, back to a wall.",
        "Call Tern Bay Children's Therapy, 555-0100",
        "Signed by Ines Falk, OT, 28 November 2026",
        "Plan 7F3A9C, version 3, from 30 November, for 7 days",
    ]
    places = [told.find(words) for words in order]
    assert -1 not in places, order[places.index(-1)]
    at = 0
    for words in order:
        at = told.find(words, at)
        assert at >= 0, f"{words!r} comes too early"


def test_every_word_of_the_plan_stands_on_the_page() -> None:
    plan = replace(
        WREN, praise="Say “Boots on!”", when_it_goes_wrong="Rest, then try one.", grade="wide boot"
    )
    told = text_of(printed(plan))
    for step in plan.steps:
        assert step.name in told
        assert step.cue in told
        assert step.hazard in told
    for words in ("Say “Boots on!”", "Rest, then try one.", "wide boot", "Mum and Nana"):
        assert words in told


RULES = {
    "constant-time-delay": "On the first days of a new step help at once. After that, say the words",
    "progressive-time-delay": "Each day after, wait 1 second more, up to 4 seconds.",
    "simultaneous-prompting": "Each day, let your child try once with no help. Just watch and mark it.",
    "graduated-guidance": "Touch only as much as your child needs now.",
    "hand-under-hand": "Put your hand under your child's hand.",
}


@pytest.mark.parametrize("way", RULES)
@pytest.mark.parametrize("plan", [WREN, EIGHT], ids=["six steps", "eight asked"])
def test_the_chosen_way_of_helping_is_spelt_out_with_the_plans_seconds(way: str, plan: HomePlan) -> None:
    pdf = printed(replace(plan, procedure=way, wait_s=4), replace(SIGNED, text_size=14.0))
    assert page_count(pdf) == 1
    told = text_of(pdf)
    assert RULES[way] in told
    assert "light touch" in told or plan is EIGHT
    # A way that says itself when help comes never stands beside a line that says otherwise.
    assert ("right away" in told) == (way == "hand-under-hand")


def test_the_usual_ways_are_spelt_out_by_the_lines_of_help_alone() -> None:
    assert text_of(printed(replace(WREN, procedure="most-to-least"))) == text_of(printed())


def test_the_way_is_told_in_the_language_of_the_page() -> None:
    plan = replace(WREN_ES, procedure="constant-time-delay", wait_s=4)
    assert "espere 4 segundos («un elefante, dos elefantes») y ayude" in text_of(
        printed(plan, replace(SIGNED, language="es"))
    )


@pytest.mark.parametrize("way", [*RULES, "least-to-most", "most-to-least", ""])
def test_no_rule_stands_in_english_on_an_arabic_page(way: str) -> None:
    """The plan's own words may be in another language; the ways of helping are ours and are in Arabic."""
    order = OrderOfHelp.LEAST_TO_MOST if way == "least-to-most" else OrderOfHelp.FIXED_OFFER
    plan = replace(WREN, procedure=way, order_of_help=order, wait_s=4)
    data = home_plan_data(plan, replace(SIGNED, language="ar"))["tellings"][0]
    said = [line["text"] for line in data["help"]] + [data["who_does"], *(n["text"] for n in data["notes"])]
    for words in said:
        assert not re.search(r"[A-Za-z]", words.replace("Wren", "")), words
    assert printed(plan, replace(SIGNED, language="ar"))
    assert any("4 ثوانٍ" in words for words in said) == (
        way not in ("graduated-guidance", "simultaneous-prompting")
    )


@pytest.mark.parametrize(
    ("chaining", "asked", "words"),
    [
        (Chaining.BACKWARD, {4, 5}, "Once it is easy, we add the step before."),
        (Chaining.FORWARD, {0, 1}, "Once it is easy, we add the next step."),
        (Chaining.WHOLE, {0, 1, 2, 3, 4, 5}, "Wren tries each step."),
    ],
)
def test_how_the_chain_grows_is_told(chaining: Chaining, asked: set[int], words: str) -> None:
    plan = replace(plan_of("pull-on-rain-boot", asked, 1), chaining=chaining)
    told = text_of(printed(plan))
    assert words in told
    assert told.count("Once it is easy") == (chaining is not Chaining.WHOLE)


@pytest.mark.parametrize(
    ("chaining", "asked", "words"),
    [
        (
            Chaining.BACKWARD,
            {4, 5},
            "we look at the step before. Can Wren do that one? Then we leap to the next",
        ),
        (
            Chaining.FORWARD,
            {0, 1},
            "we look at the next step. Can Wren do that one? Then we leap to the next",
        ),
    ],
)
def test_leaping_ahead_is_told_in_a_parents_words(chaining: Chaining, asked: set[int], words: str) -> None:
    plan = replace(plan_of("pull-on-rain-boot", asked, 1), chaining=chaining, leap_ahead=True)
    told = text_of(printed(plan))
    assert words in told
    assert told.count("Once it is easy") == 1
    assert words not in text_of(printed(replace(plan, leap_ahead=False)))


@pytest.mark.parametrize("language", ["en", "es", "ar"])
@pytest.mark.parametrize("name", ["WREN", "BRAM"])
def test_praise_grows_thin_once_every_asked_step_goes_alone(name: str, language: str) -> None:
    plan = {"WREN": WREN, "BRAM": BRAM}[name]
    setting = replace(SIGNED, language=language)
    alone = replace(plan, steps=tuple(replace(s, help_level=5 if s.asked else None) for s in plan.steps))
    words = family.tell("praise.fade", language)
    [praise] = [n["text"] for n in home_plan_data(alone, setting)["tellings"][0]["notes"][1:2]]
    assert praise.endswith(words)
    assert page_count(printed(alone, setting)) == 1
    assert all(words not in n["text"] for n in home_plan_data(plan, setting)["tellings"][0]["notes"])
    own = home_plan_data(replace(alone, praise="Boots on!"), setting)["tellings"][0]["notes"]
    assert own[1]["text"] == "Boots on!"


def test_what_was_agreed_for_a_hard_day_stands_on_the_page() -> None:
    assert "On a hard day Only the last step, then a cuddle." in text_of(
        printed(replace(WREN, bad_days="Only the last step, then a cuddle."))
    )
    assert "On a hard day" not in text_of(printed())
    assert "A hard day? Skip it." in text_of(printed())


def test_a_draft_says_so_and_bears_no_signature() -> None:
    told = text_of(printed(setting=DRAFT))
    assert "DRAFT · NOT SIGNED · do not use at home yet" in told
    assert "Not signed by a therapist." in told
    assert "Signed by" not in told
    assert "DRAFT" not in text_of(printed())


def test_a_draft_tells_what_the_gate_has_not_asked() -> None:
    bare = replace(WREN, stop_rule=StopRule(), precautions=())
    told = text_of(printed(bare, DRAFT))
    assert told.count("Not asked yet.") == 4


def test_a_signed_page_without_the_childs_signs_is_refused_with_all_that_is_missing() -> None:
    bare = replace(WREN, stop_rule=StopRule(), precautions=())
    with pytest.raises(ManyFaults) as told:
        printed(bare, replace(SIGNED, allergies=()))
    names = [fault.values["name"] for fault in told.value.faults]
    assert names == ["precautions", "stop_signs", "yes_signs", "call"]


@pytest.mark.parametrize("level", range(6))
def test_each_help_level_is_told_with_its_share(level: int) -> None:
    plan = replace(WREN, steps=tuple(replace(step, help_level=level) for step in WREN.steps))
    data = home_plan_data(plan, SIGNED)["tellings"][0]
    [told] = [each for line in data["help"] for each in line["levels"]]
    assert sum(told["cells"]) == level
    assert told["name"] == plan.ladder.name(level)
    assert told["how"]


def test_least_to_most_names_every_help_from_words_to_hand_over_hand() -> None:
    told = text_of(printed(replace(BRAM, order_of_help=OrderOfHelp.LEAST_TO_MOST)))
    places = [told.find(name, told.find("Add a little help")) for name in reversed(BRAM.ladder.names[:-1])]
    assert places == sorted(places)
    assert -1 not in places


def test_a_page_that_cannot_hold_its_words_names_what_to_shorten() -> None:
    wordy = replace(WREN, praise="Say it was well pulled. " * 60)
    with pytest.raises(PageTooFull) as told:
        printed(wordy)
    name, length, comfortable = told.value.values["shorten"][0]
    assert name == "praise"
    assert length > comfortable
    assert told.value.values["over_mm"] > 0


def test_too_many_wordy_steps_are_refused_and_never_dropped() -> None:
    wordy = "Rub the soap all over your hands and between the fingers too"
    steps = tuple(replace(step, step_id=f"s{n}", name=wordy) for n, step in enumerate(BRAM.steps * 3))
    assert text_of(printed(replace(BRAM, steps=steps[:6]))).count("between") == 6
    with pytest.raises(PageTooFull) as told:
        printed(replace(BRAM, steps=steps[:20]), DRAFT)
    assert any(name.endswith(": name") for name, *_ in told.value.values["shorten"])


def test_a_long_cue_word_is_set_smaller_and_stays_whole() -> None:
    cue = "Schnellverschlussgriffknopf"
    plan = replace(WREN, steps=tuple(replace(step, cue=cue) for step in WREN.steps))
    assert text_of(printed(plan)).count(cue) == len(plan.steps) + len(plan.asked)


def test_a_script_without_a_font_stops_the_page() -> None:
    with pytest.raises(UnprintablePage) as told:
        printed(replace(WREN, praise="すごい"))
    assert "す" in told.value.values["reason"]


def test_a_language_without_words_is_named_with_those_there_are() -> None:
    with pytest.raises(BadValue) as told:
        PageSetting(language="fi")
    assert told.value.code == "language_without_words"
    assert told.value.values["allowed"] == ("en", "es", "ar")


@pytest.mark.parametrize(
    ("setting", "code"),
    [
        ({"text_size": 12.0}, "text_size"),
        ({"text_size": 20.0}, "text_size"),
        ({"paper": "a5"}, "paper"),
        ({"signed_by": "Ines Falk"}, "half_a_signature"),
    ],
)
def test_a_setting_outside_its_bounds_is_refused(setting: dict[str, object], code: str) -> None:
    with pytest.raises(Fault) as told:
        replace(DRAFT, **setting)
    assert told.value.code == code


def test_the_page_is_tagged_and_speaks_its_languages() -> None:
    """ISO 14289-1 (PDF/UA-1): marks, language, title, part; a description for each of the six drawings."""
    pdf = pikepdf.open(io.BytesIO(printed(WREN_ES, replace(SIGNED, language="es"))))
    assert pdf.Root.MarkInfo.Marked
    assert str(pdf.Root.Lang) == "es"
    with pdf.open_metadata() as meta:
        assert meta["pdfuaid:part"] == "1"
        assert meta["dc:title"] == "Plan para casa: Wren"
    alts = [str(thing["/Alt"]) for thing in pdf.objects if _is_figure(thing)]
    assert len(alts) == len(WREN_ES.steps)
    assert "Dos manos suben la bota tirando." in alts


def _is_figure(thing: pikepdf.Object) -> bool:
    return isinstance(thing, pikepdf.Dictionary) and thing.get("/S") == "/Figure" and "/Alt" in thing


def test_spanish_is_spanish_throughout() -> None:
    told = text_of(printed(WREN_ES, replace(SIGNED, language="es")))
    for english in ("step", "Step", "When", "Wait", "Call", "Signed", "hand", "You "):
        assert english not in told.replace("Children's", "").replace("Tern Bay", "")
    assert "Nadie que hable bien español ha revisado" in told


def test_a_reviewed_language_carries_no_warning() -> None:
    reviewed = replace(SIGNED, language="es", reviewed=frozenset({"es"}))
    assert "Nadie que hable" not in text_of(printed(WREN_ES, reviewed))


def test_words_of_the_plan_in_another_language_are_announced() -> None:
    assert "Las palabras propias del plan están en English." in text_of(
        printed(WREN, replace(SIGNED, language="es"))
    )


def test_arabic_runs_from_the_right() -> None:
    data = home_plan_data(WREN, replace(SIGNED, language="ar"))["tellings"][0]
    [level] = data["help"][1]["levels"]
    assert data["dir"] == "rtl"
    assert level["cells"] == (False, False, False, False, True)
    pdf = pikepdf.open(io.BytesIO(printed(WREN, replace(SIGNED, language="ar"))))
    assert str(pdf.Root.Lang) == "ar"


def test_two_languages_give_a_page_each_with_both_cues_side_by_side() -> None:
    pdf = printed(BRAM, replace(SIGNED, second_language="es"), also=BRAM_ES)
    assert page_count(pdf) == 2
    for page in (0, 1):
        told = text_of(pdf, page)
        for step, other in zip(BRAM.steps, BRAM_ES.steps, strict=True):
            assert step.cue in told
            assert other.cue in told
    assert "How to help" in text_of(pdf, 0)
    assert "Cómo ayudar" in text_of(pdf, 1)


def test_another_plan_cannot_pass_for_a_translation() -> None:
    with pytest.raises(BadValue) as told:
        printed(WREN, also=replace(WREN_ES, number=4))
    assert told.value.code == "translation_differs"


def test_equal_plans_give_equal_bytes() -> None:
    assert printed() == printed()
    assert printed() != printed(replace(WREN, number=4))
