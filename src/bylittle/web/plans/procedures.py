"""Ways of helping as choices of a plan, each spelt out in a parent's words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from bylittle import library
from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.skill.ladder import DEFAULT_LADDER
from bylittle.library.coaching import Procedure
from bylittle.printing.help_words import rule_words
from bylittle.web.plans.models import Plan

HAND_UNDER_HAND = "hand-under-hand"
LEAP_AHEAD = "leap-ahead"
USUAL_LOOK = "least-to-most"
PROGRESSIVE, SIMULTANEOUS = "progressive-time-delay", "simultaneous-prompting"
FEWEST_SECONDS, FEWEST_TURNS = 2, 2
HANDS_ON = ("graduated-guidance", HAND_UNDER_HAND)
BY_HAND = DEFAULT_LADDER.names[:2]
#: Ready words by name, and the text of the plan that each is offered for.
FIELD_OF: Mapping[str, str] = {
    "slip": "when_it_goes_wrong",
    "pulls-away": "when_it_goes_wrong",
    "praise": "praise",
    "bad-day": "bad_days",
}


def ways() -> list[Procedure]:
    """The ways of helping that a plan can choose."""
    return [
        each for each in library.procedures() if each.kind == "order of help" or each.id == HAND_UNDER_HAND
    ]


def named(procedure_id: str) -> Procedure | None:
    """The procedure of this id; None for none, and for one that the library no longer has."""
    return next((each for each in library.procedures() if each.id == procedure_id), None)


def choices() -> list[tuple[str, str]]:
    """The choices of a plan: none, or one of the ways, with the order of help that it belongs to."""
    rest = [(each.id, f"{each.name} ({_order(each)})") for each in ways()]
    return [("", "as the order of help says"), *rest]


def _order(procedure: Procedure) -> str:
    told = procedure.id.replace("-", " ")
    return told if procedure.order in (None, procedure.id) else f"{told}, {procedure.order}"


def clash(procedure_id: str, order_of_help: str, wait_s: int, turns: int = FEWEST_TURNS) -> str:
    """What does not go together, and the mend; empty where all does. `turns`: of a sitting."""
    way = named(procedure_id)
    if way is None:
        return ""
    if way.order not in (None, order_of_help):
        return (
            f"“{way.name}” goes with the order “{way.order}”; this plan says “{order_of_help}”. Change one."
        )
    if way.defaults and wait_s < 1:
        return (
            f"“{way.name}” needs a wait of 1 second or more. Give the seconds to wait, or choose another way."
        )
    if way.id == PROGRESSIVE and wait_s < FEWEST_SECONDS:
        return f"“{way.name}” grows by a second a day: the longest wait is {FEWEST_SECONDS} seconds or more."
    if way.id == SIMULTANEOUS and turns < FEWEST_TURNS:
        return (
            f"“{way.name}” needs {FEWEST_TURNS} turns or more in a sitting: the first is a look without help."
        )
    return ""


def out_of_place(plan: HomePlan) -> str:
    """What the chosen way of helping cannot do with the help that this plan offers; empty where all fits."""
    way, levels = named(plan.procedure), {step.help_level for step in plan.asked}
    if way is None or way.id == USUAL_LOOK:
        return ""
    if levels <= {plan.ladder.top}:
        return f"“{way.name}” says when to help, but every step of this plan is asked alone."
    by_hand = {level for level, name in enumerate(plan.ladder.names) if name in BY_HAND}
    if way.id in HANDS_ON and by_hand and not levels & by_hand:
        return f"“{way.name}” is help by hand, but no step of this plan is helped by hand."
    return ""


@dataclass(frozen=True, slots=True)
class Spelt:
    """A procedure as the page tells it: its words for the family, whom it suits, what a study saw."""

    name: str
    rule: str
    language: str
    suits: str
    evidence: str
    mark: str


def spelt(procedure: Procedure, plan: Plan, language: str) -> Spelt:
    """A procedure with the plan's own numbers."""
    return Spelt(
        name=procedure.name.text(language),
        rule=words(procedure, plan.wait_s, language),
        language=language,
        suits=procedure.suits,
        evidence=procedure.evidence,
        mark=procedure.mark,
    )


def words(procedure: Procedure, wait_s: int, language: str) -> str:
    """The rule for the family, with the plan's seconds."""
    return rule_words(procedure, wait_s, language)


def of_plan(plan: Plan) -> list[Spelt]:
    """How a plan helps and chains, in each language of the home: the way chosen, then the chaining."""
    child = plan.skill.child
    languages = dict.fromkeys(each for each in ("en", child.language, child.second_language) if each)
    ids = (plan.procedure, plan.chaining, LEAP_AHEAD if plan.leap_ahead else "")
    found = [each for each in map(named, ids) if each is not None]
    return [spelt(each, plan, language) for each in found for language in languages]


def offered(plan: Plan) -> dict[str, list[tuple[str, Spelt]]]:
    """Ready words in the family's language by the text that they are offered for: [(name, words)]."""
    found: dict[str, list[tuple[str, Spelt]]] = {}
    for name, field in FIELD_OF.items():
        procedure = named(name)
        if procedure is not None:
            told = spelt(procedure, plan, plan.skill.child.language)
            found.setdefault(field, []).append((name, told))
    return found


def put(text: str, name: str, *, wait_s: int, language: str) -> str:
    """A text of the plan with the ready words of this name after it; the same words are not put twice."""
    procedure = named(name)
    told = words(procedure, wait_s, language) if procedure else ""
    return text if told in text else "\n".join(part for part in (text.strip(), told) if part)


def leaps_ahead(known: Sequence[bool]) -> bool:
    """True for a mixed chain: known steps lie between others, so neither end is the place to begin."""
    return sum(one != other for one, other in pairwise(known)) >= 2
