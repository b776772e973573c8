"""The ten decisions in their order, from contexts made by hand: the first that holds, with its numbers.

The order is the tool's own rule (docs/methods/learning-model.md); no outside source.
"""

from __future__ import annotations

import ast
import inspect
import re
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from typing import Any

import pytest

from bylittle.core.advice import decision as decision_rules
from bylittle.core.advice.challenge import Challenge
from bylittle.core.advice.decision import Context, decide
from bylittle.core.advice.facts import Facts, LowFidelity, StepFacts, Stops
from bylittle.core.advice.patterns import Pattern, PatternKind
from bylittle.core.advice.plan import Teaching
from bylittle.core.advice.words import Decision
from bylittle.core.learning.forecast import Chance
from bylittle.core.learning.mastery import Standing
from bylittle.library.wording import advice as words

TOP = 5
Change = Callable[[dict[str, Any]], None]


def plain() -> dict[str, Any]:
    """Two steps asked with words, one done by the adult; enough marks, nothing that stands out."""
    steps = [{"offered": 4}, {"offered": 4}, {"offered": None}]
    enough = {"marks": 60, "practice_days": 12, "last_day": 20, "day": 21}
    calm = Stops((19, 20), (0, 0), (4, 4))
    return {"steps": steps, "facts": {}, "patterns": [], "stops": calm, "new": (0, 1), **enough}


def context(*changes: Change) -> Context:
    told = plain()
    for change in changes:
        change(told)
    return Context(
        day=told["day"],
        plan=Teaching(),
        facts=Facts(**told["facts"]),
        steps=tuple(step_facts(i, **step) for i, step in enumerate(told["steps"])),
        challenge=Challenge((4, 4, 3), (0.8, 0.8, 0.75), told["new"]),
        stops=told["stops"],
        marks=told["marks"],
        practice_days=told["practice_days"],
        last_day=told["last_day"],
        top=TOP,
        patterns=tuple(told["patterns"]),
    )


def step_facts(
    step: int,
    offered: int | None,
    met: bool = False,
    too_hard: float = 0.1,
    too_easy: float = 0.1,
    share: float = 0.5,
) -> StepFacts:
    return StepFacts(
        step=step,
        offered=offered,
        chance=Chance(0.8, 0.7, 0.9),
        too_hard=too_hard,
        too_easy=too_easy,
        turns=10,
        managed=8,
        days=5,
        standing=Standing(step, 0.95 if met else share, 4 if met else 1, met),
    )


def facts(**told: Any) -> Change:
    return lambda spec: spec["facts"].update(told)


def fields(**told: Any) -> Change:
    return lambda spec: spec.update(told)


def step(which: int, **told: Any) -> Change:
    return lambda spec: spec["steps"][which].update(told)


def found(kind: PatternKind, steps: tuple[int, ...] = (), **values: object) -> Change:
    return lambda spec: spec["patterns"].append(Pattern(kind, steps, 0.001, values))


def both(*changes: Change) -> Change:
    def change(spec: dict[str, Any]) -> None:
        for each in changes:
            each(spec)

    return change


FLAT = found(PatternKind.PLATEAU, (1,), days=12, gain=0.2, level=0.01)
RED_FLAG = facts(red_flags=("pain",))
TWO_STOPS = fields(stops=Stops((19, 20), (2, 3), (4, 4)))
FEW = fields(marks=2, practice_days=1)
ALL_MET = both(*(step(k, met=True) for k in range(3)))
ONE_CALLED = both(step(0, met=True), fields(new=(1, 2)))
HARD = step(1, too_hard=0.95)
AHEAD = found(
    PatternKind.REPORTED_AHEAD,
    (0,),
    reported=0.9,
    reported_n=20,
    observed=0.4,
    observed_n=10,
    gap=0.5,
    low=0.2,
    high=0.8,
    level=0.01,
)
DOING = both(FLAT, facts(doing_breaks_down=True))
EASY = step(0, too_easy=0.95)

HOLDS: dict[Decision, Change] = {
    Decision.REFER: RED_FLAG,
    Decision.PAUSE: TWO_STOPS,
    Decision.MORE_DATA: FEW,
    Decision.DONE: ALL_MET,
    Decision.MOVE_ON: ONE_CALLED,
    Decision.STEP_BACK: HARD,
    Decision.CHECK_FIDELITY: AHEAD,
    Decision.CHANGE_MATERIAL: DOING,
    Decision.FADE_HELP: EASY,
    Decision.HOLD: fields(),
}
ORDER = [
    "refer",
    "pause",
    "more data",
    "done",
    "move on",
    "step back",
    "check fidelity",
    "change material",
    "fade help",
    "hold",
]


@pytest.mark.parametrize("word", ORDER)
def test_each_decision_can_be_reached_alone(word: str) -> None:
    assert decide(context(HOLDS[Decision(word)])).decision == word


@pytest.mark.parametrize(("earlier", "later"), list(combinations(ORDER, 2)))
def test_where_two_hold_the_earlier_is_the_advice(earlier: str, later: str) -> None:
    one, other = HOLDS[Decision(earlier)], HOLDS[Decision(later)]
    assert decide(context(one, other)).decision == earlier
    assert decide(context(other, one)).decision == earlier


def test_where_all_hold_a_red_flag_comes_first_and_taking_one_away_gives_the_next() -> None:
    for place, word in enumerate(ORDER):
        assert decide(context(*(HOLDS[Decision(each)] for each in ORDER[place:]))).decision == word


# rule, decision, code, and the numbers its reason must carry with their values
REASONS: list[tuple[str, Change, str, str, dict[str, object]]] = [
    ("red flag", RED_FLAG, "refer", "red_flag_yes", {"flags": ("pain",), "n": 1, "bar": 1}),
    ("told loss", facts(lost_steps=(1,)), "refer", "mastered_step_lost", {"steps": (1,)}),
    (
        "found loss",
        found(PatternKind.LOSS, (0,), before=0.95, now=0.3, level=0.001),
        "refer",
        "mastered_step_lost",
        {"steps": (0,), "before": 0.95, "now": 0.3},
    ),
    ("stops", TWO_STOPS, "pause", "stops_on_two_days", {"stops": (2, 3), "days": (19, 20), "bar": 2}),
    (
        "stops rise",
        found(PatternKind.STOPS_RISING, late=9, late_turns=20, early=2, early_turns=60, days=10, level=0.01),
        "pause",
        "stops_rising",
        {"late": 9, "early": 2, "late_turns": 20, "early_turns": 60},
    ),
    ("nothing", fields(last_day=None), "more data", "nothing_logged", {"needed": 6, "needed_days": 3}),
    ("silence", fields(day=35), "more data", "silent_for_days", {"days": 15, "bar": 14}),
    ("few", FEW, "more data", "few_marks", {"marks": 2, "needed": 6, "days": 1, "needed_days": 3}),
    (
        "short baseline",
        facts(baseline=(0.2, 0.2)),
        "more data",
        "baseline_short",
        {"n": 2, "needed": 3, "wanted": 5},
    ),
    (
        "rising baseline",
        facts(baseline=(0.1, 0.2, 0.3, 0.4)),
        "more data",
        "baseline_rising",
        {"n": 4, "share_rising": 1.0, "gain": pytest.approx(0.3), "bar": 0.6, "gain_bar": 0.1},
    ),
    (
        "all mastered",
        ALL_MET,
        "done",
        "every_step_mastered",
        {"steps": 3, "least_share": 0.95, "least_days": 4, "mastery_bar": 0.9, "days_needed": 3},
    ),
    ("one called", ONE_CALLED, "move on", "asked_step_called", {"step": 0, "next": (2,), "called": (0,)}),
    (
        "too hard",
        HARD,
        "step back",
        "asked_step_too_hard",
        {"step": 1, "too_hard": 0.95, "sure_bar": 0.9, "band_low": 0.7, "managed": 8, "turns": 10},
    ),
    ("ahead", AHEAD, "check fidelity", "reported_ahead_of_observed", {"reported": 0.9, "observed": 0.4}),
    (
        "adults told",
        both(FLAT, facts(adults_differ=True)),
        "check fidelity",
        "flat_while_adults_differ",
        {"steps": (1,), "days": 12, "gain": 0.2},
    ),
    (
        "adults found",
        both(FLAT, found(PatternKind.ADULTS_DIFFER, (), adults=("M", "D"), shares=(0.9, 0.5))),
        "check fidelity",
        "flat_while_adults_differ",
        {"steps": (1,), "adults": ("M", "D"), "shares": (0.9, 0.5)},
    ),
    (
        "help off plan",
        both(FLAT, facts(low_fidelity=LowFidelity("D", 0.55, 20, 60))),
        "check fidelity",
        "flat_while_help_is_off_plan",
        {"adult": "D", "share": 0.55, "adult_turns": 20, "all_turns": 60, "steps": (1,)},
    ),
    ("doing", DOING, "change material", "flat_and_doing_breaks_down", {"steps": (1,), "days": 12}),
    (
        "easier material",
        both(facts(easier_material=True), step(0, share=0.85), step(1, share=0.82)),
        "change material",
        "easier_material_done",
        {"steps": (0, 1), "share": 0.82, "bar": 0.8},
    ),
    (
        "too easy",
        EASY,
        "fade help",
        "asked_step_too_easy",
        {"step": 0, "too_easy": 0.95, "sure_bar": 0.9, "band_high": 0.9, "proposed": 4},
    ),
    ("hold", fields(), "hold", "just_right", {"chance": 0.8, "low": 0.7, "high": 0.9, "band_low": 0.7}),
    (
        "nothing asked",
        both(step(0, offered=None), step(1, offered=None), fields(new=())),
        "hold",
        "nothing_asked",
        {"marks": 60, "days": 12, "bar": 1},
    ),
    (
        "nothing asked, something to ask",
        both(step(0, offered=None), step(1, offered=None)),
        "hold",
        "nothing_asked",
        {"step": 0, "proposed": 4, "proposed_chance": 0.8},
    ),
]


@pytest.mark.parametrize(
    ("change", "word", "code", "numbers"), [each[1:] for each in REASONS], ids=[each[0] for each in REASONS]
)
def test_a_reason_carries_its_numbers_and_the_bar_that_would_change_it(
    change: Change, word: str, code: str, numbers: dict[str, object]
) -> None:
    decided = decide(context(change))
    assert decided.decision == word
    assert decided.why[0].code == code
    assert {name: decided.why[0].values.get(name) for name in numbers} == numbers


@pytest.mark.parametrize(
    "change",
    [
        fields(stops=Stops((19, 20), (2, 1), (4, 4))),
        fields(day=34),
        fields(marks=6, practice_days=3),
        facts(baseline=(0.3, 0.3, 0.3)),
        facts(baseline=(0.3, 0.2, 0.3, 0.25)),
        step(1, too_hard=0.89),
        step(0, too_easy=0.89),
        step(0, too_easy=0.99, offered=TOP),
        FLAT,
        both(FLAT, facts(low_fidelity=LowFidelity("D", 0.55, 14, 60))),
        both(facts(easier_material=True), step(0, share=0.85), step(1, share=0.79)),
        both(step(0, met=True), fields(new=(1,))),
    ],
)
def test_just_short_of_a_bar_the_plan_is_held(change: Change) -> None:
    assert decide(context(change)).decision is Decision.HOLD


def test_mastered_with_an_easier_material_is_not_done() -> None:
    decided = decide(context(ALL_MET, facts(easier_material=True)))
    assert decided.decision is Decision.CHANGE_MATERIAL


def test_reasons_of_one_decision_stand_together() -> None:
    why = decide(context(RED_FLAG, facts(lost_steps=(2,)))).why
    assert [each.code for each in why] == ["red_flag_yes", "mastered_step_lost"]


@pytest.mark.parametrize("word", ORDER)
def test_steps_leapt_over_are_told_beside_every_decision_that_lets_practice_go_on(word: str) -> None:
    there = context(HOLDS[Decision(word)])
    why = decide(replace(there, challenge=replace(there.challenge, leapt=(1,)))).why
    assert why[0].code != "leapt_ahead"
    assert (why[-1].code == "leapt_ahead") == (word not in ("refer", "pause", "done"))


def codes_in_source() -> set[str]:
    """Every code that a rule can give, read from the source of the rules."""
    tree = ast.parse(inspect.getsource(decision_rules))
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    told = [call.args[0] for call in calls if getattr(call.func, "id", "") == "Why"]
    assert all(isinstance(code, ast.Constant) for code in told)
    return {code.value for code in told if isinstance(code, ast.Constant)}


def test_every_reason_of_every_decision_is_tried_here() -> None:
    assert {code for _, _, _, code, _ in REASONS} == codes_in_source() - {"leapt_ahead"}
    assert {word for _, _, word, _, _ in REASONS} == set(ORDER)


NAMES = words.Names(("Open the boot", "Point the toes", "Pull up"), child="Wren")
FIGURE = re.compile(r"\d")


@pytest.mark.parametrize("change", [each[1] for each in REASONS], ids=[each[0] for each in REASONS])
def test_every_reason_tells_its_numbers_what_would_change_it_and_both_sentences(change: Change) -> None:
    (why, *_) = decide(context(change)).why
    assert set(why.values) & BARS, "nothing in it says what would change the advice"
    told, changing = words.sentence(why, names=NAMES), words.what_would_change(why, names=NAMES)
    assert FIGURE.search(told) or set(why.values) & {"flags", "steps"}
    assert changing != told
    assert changing.endswith(".")
    for language in ("en", "es"):
        family = words.sentence(why, language, "family", NAMES)
        assert family.endswith((".", "!", "?"))
        assert not FIGURE.search(family), "a family is told no figures"
    for sentence in (told, changing):
        assert not re.search(r"[{}]|None", sentence)


#: Values that hold a reason's bar: the figure at which the rule would not hold any more.
BARS = {"bar", "needed", "sure_bar", "mastery_bar", "level"}


@pytest.mark.parametrize("rule", [rule for _, rules in decision_rules.RULES for rule in rules])
def test_no_rule_speaks_where_nothing_stands_out(rule: decision_rules.Rule) -> None:
    assert rule(context()) is None
