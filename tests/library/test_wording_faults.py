"""Every fault has its words: what is wrong and how to mend it."""

from __future__ import annotations

import ast
import re
from datetime import date
from pathlib import Path

import pytest

import bylittle
from bylittle.core.faults import BadValue, Contradiction, Fault, NotEnoughData
from bylittle.core.plan.home_plan import HomePlan, PlannedStep
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome
from bylittle.library.wording import book, csv_faults, faults

ROOMS = ("core", "library", "look", "charts", "files", "printing", "workflows", "web")
BASES = {"Fault", "BadValue", "NotEnoughData", "Undefined", "Contradiction"}
OTHER_BOOKS = {"wrong_json", "library_file", "line_fault", "faulty_file", "fault"}
"""Told elsewhere: plan files in `wording.sheet`, library files by `library.faults`; two are mere bases."""
NEVER = re.compile(r"\b(fail\w*|complian\w*|patient\w*|error\w*|streak\w*|scor\w*)\b", re.IGNORECASE)


def codes_in_source() -> dict[str, str]:
    """Every plain code given to a fault, and every class's own code, with where it stands."""
    found: dict[str, str] = {}
    root = Path(str(bylittle.__file__)).parent
    for path in (path for room in ROOMS for path in sorted((root / room).rglob("*.py"))):
        place = path.relative_to(root).as_posix()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            for code in _codes(node):
                found.setdefault(code, place)
    return {code: place for code, place in found.items() if "plan_json" not in place}


def _codes(node: ast.AST) -> list[str]:
    if isinstance(node, ast.Call) and getattr(node.func, "id", "") in BASES and node.args:
        first = node.args[0]
        return [str(first.value)] if isinstance(first, ast.Constant) and first.value else []
    if isinstance(node, ast.ClassDef) and {getattr(base, "id", "") for base in node.bases} & BASES:
        own = (each for each in node.body if isinstance(each, ast.Assign))
        return [ast.literal_eval(each.value) for each in own if getattr(each.targets[0], "id", "") == "code"]
    return []


def test_the_search_finds_what_is_there() -> None:
    assert {"no_asked_step", "not_enough_data", "wrong_sheet_id"} <= codes_in_source().keys()


def test_every_code_in_the_source_has_words() -> None:
    known = set(book("faults")["fault"]) | set(csv_faults.codes()) | OTHER_BOOKS
    without = {code: place for code, place in codes_in_source().items() if code not in known}
    assert without == {}, "add them to library/wording/faults.toml"


@pytest.mark.parametrize("code", sorted(book("faults")["fault"]))
def test_every_phrase_can_be_filled_from_a_fault(code: str) -> None:
    values = {"name": "wait_s", "value": 3, "allowed": (1, 12), "step": 2, "version": 1, "n": 1, "needed": 3}
    more = {
        "there": "a",
        "new": "b",
        "reason": "check",
        "weeks": 26,
        "turns": 20,
        "shorten": (("routine", 78, 60),),
        "over_mm": 4,
    }
    told = faults.sentence(Fault(code, **values, **more))
    assert told.what
    assert told.mend.endswith((".", "demo.", "children."))
    assert "{" not in told.what + told.mend
    assert not NEVER.search(told.what + told.mend)


def test_a_range_and_a_name_are_told_in_words() -> None:
    told = faults.sentence(BadValue("out_of_range", name="wait_s", value=90, allowed=(0, 60)))
    assert told.what == "The wait in seconds is 90; allowed: 0 to 60."


def test_an_open_range_says_or_more() -> None:
    assert faults.allowed_words((1, None)) == "1 or more"


def test_a_list_is_told_with_or() -> None:
    told = faults.sentence(
        BadValue("level_not_on_ladder", name="help", value="tap", allowed=("words", "alone"))
    )
    assert (told.what, told.mend) == ("“tap” is no help level of this plan.", "Use one of: words or alone.")


def test_too_few_data_say_how_many_are_needed() -> None:
    assert "2 there, 5 needed" in faults.sentence(NotEnoughData(n=2, needed=5, name="a")).what


def test_a_contradiction_shows_both_entries() -> None:
    there, new = (
        Entry(date(2026, 3, 2), 1, "pull", outcome, adult="M", offered=1)
        for outcome in (Outcome.MANAGED, Outcome.NOT_MANAGED)
    )
    told = faults.sentence(Contradiction("same_row_other_content", there=there, new=new))
    what = told.what.replace("\u00a0", " ")
    assert "There: 2 Mar 2026, turn 1, M: managed." in what
    assert "New: 2 Mar 2026, turn 1, M: not managed." in what


def test_the_plan_that_asks_nothing_is_told_as_a_person_would() -> None:
    plan = HomePlan("P", 1, "Boot", (PlannedStep("a", "Pull up"),))
    with pytest.raises(BadValue) as caught:
        plan.check()
    told = faults.sentence(caught.value)
    assert told.what == "This plan asks no step of the child."
    assert told.mend == "Choose at least one step that the child does."


def test_a_code_without_words_is_named_and_not_hidden() -> None:
    assert "(no_such_code)" in faults.sentence(Fault("no_such_code")).what
