"""The evidence in words: every fact has its sentence, its data and its honesty."""

from __future__ import annotations

import ast
import re
from datetime import date
from pathlib import Path

import pytest

import bylittle.core.evidence as evidence_room
from bylittle.core.evidence.facts import Fact, Kind, Source
from bylittle.core.faults import BadValue
from bylittle.library.wording import book
from bylittle.library.wording.evidence import codes, paragraph, text

NEVER = re.compile(
    r"\b(fail\w*|complian\w*|patient\w*|error\w*|streak\w*|scor(e|es|ing)|prov\w+)\b", re.IGNORECASE
)
COMPOSED = {
    "trend_before_level", "trend_before_rising", "trend_before_falling", "trend_since_level",
    "trend_since_rising", "trend_since_falling", "overlap", "overlap_less_trend", "overlap_too_few",
    "overlap_less_trend_too_few", "overlap_undefined", "overlap_less_trend_undefined", "level_since",
    "level_before", "help_same", "help_course", "reported_ahead", "reported_behind", "reported_alike",
    "baseline_too_short", "baseline_short", "design_staggered", "design_ab",
}  # fmt: skip
"""Codes that the source puts together or chooses between, so that they do not stand as a plain argument."""


def codes_in_source() -> set[str]:
    found = set()
    for path in Path(str(evidence_room.__file__)).parent.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Fact":
                first = node.args[0]
                found |= {first.value} if isinstance(first, ast.Constant) else set()
    return found


def plain(fact: Fact, child: str = "Juno") -> str:
    return text(paragraph([fact], child=child)).replace("\u00a0", " ")


def test_every_fact_has_words_and_no_words_are_left_over() -> None:
    assert "missing" in codes_in_source()
    assert codes_in_source() | COMPOSED | {"level_change_steps"} == set(codes())


def test_words_that_are_never_said() -> None:
    """A score is not the child's; neither is proof claimed."""
    told = {
        code: phrases
        for code, languages in book("evidence")["fact"].items()
        for phrases in languages.values()
    }
    assert {code for code, phrases in told.items() if any(NEVER.search(words) for words in phrases)} == set()


def test_each_sentence_names_its_data() -> None:
    source = Source(Kind.PROBES, date(2026, 3, 2), date(2026, 3, 9))
    (sentence,) = paragraph([Fact("no_baseline", {"after": 2}, (source,))])
    assert (sentence.refers_to, sentence.code) == ((source,), "no_baseline")


def test_overlap_tells_its_interval_and_what_no_difference_would_be() -> None:
    values = {"estimate": 0.94, "low": 0.51, "high": 0.99, "n_before": 4, "n_after": 4}
    told = plain(Fact("overlap", values))
    assert "NAP 0.94, 95 % interval 0.51 to 0.99" in told
    assert "0.50 would be no difference" in told


def test_the_plain_design_claims_no_cause() -> None:
    assert "not its cause" in plain(Fact("design_ab", {"starts": 0}))


def test_blanks_are_called_missing() -> None:
    only_marks = plain(Fact("missing", {"marks": 1}))
    assert only_marks == "1 mark is blank; blanks are missing, not zero."
    assert "0 marks" not in plain(Fact("missing", {"blank": 3, "longest": 2, "since": date(2026, 3, 2)}))


def test_the_child_is_named_and_the_sentence_begins_with_a_capital() -> None:
    assert plain(Fact("stops", {"stops": 3, "days": 2})).startswith("Juno stopped 3 times, on 2 days")
    assert plain(Fact("stops", {"stops": 1, "days": 1}), child="").startswith("The child stopped 1 time")


def test_a_skill_written_small_still_begins_its_sentence_with_a_capital() -> None:
    assert plain(Fact("not_taught_yet", {"skill": "put on a hat", "steps": 4})).startswith(
        "Put on a hat, in 4 steps"
    )


def test_a_change_of_steps_is_told_in_shares() -> None:
    change = Fact("level_change", {"n_before": 3, "n_after": 3, "share_before": 0.25, "share_after": 0.8})
    steps = Fact("steps_changed", {"before": 4, "after": 5, "on": date(2026, 3, 2)})
    assert "25 % of the steps" in text(paragraph([change, steps])).replace("\u00a0", " ")


def test_a_fact_without_words_is_a_fault() -> None:
    with pytest.raises(BadValue):
        paragraph([Fact("no_such_fact")])
