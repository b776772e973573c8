"""The de-identified export: no word that a person typed, no date, no name; days apart stay as they were."""

from __future__ import annotations

import dataclasses
import json
import re
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bylittle.core.evidence.child_record import ChildRecord
from bylittle.core.faults import BadValue
from bylittle.core.plan.home_plan import HomePlan
from bylittle.files.deidentified import write_deidentified
from tests.child_records import demo_records, example, full

ID = "K7Q2X9TB"
KEPT_WORDS = re.compile(
    r"bylittle de-identified|K7Q2X9TB|skill \d+|adult \d+|place \d+|material \d+|active|parked|paused|lasting"
    r"|closed|backward|forward|whole|fixed offer|least-to-most|managed|not managed|needed|done by adult"
    r"|stopped|missing|single|multiple|home|visit|probe|baseline|paper|refer|pause|more data|done|move on"
    r"|step back|check fidelity|change material|fade help|hold|therapist|caregiver|child|pour-from-jug|"
)


def strings(value: Any) -> list[str]:
    """Every text of some JSON data that is no key."""
    if isinstance(value, dict):
        return [text for item in value.values() for text in strings(item)]
    if isinstance(value, list):
        return [text for item in value for text in strings(item)]
    return [value] if isinstance(value, str) else []


@pytest.mark.parametrize("name", sorted(demo_records()))
def test_only_words_of_fixed_sets_are_left(name: str) -> None:
    told = json.loads(write_deidentified(example(name), ID, ["pour-from-jug"]))
    left = {text for text in strings(told) if not KEPT_WORDS.fullmatch(text)}
    assert left == set()


def test_no_date_is_left() -> None:
    assert not re.search(r"\d{4}-\d{2}-\d{2}|\b20\d\d\b", write_deidentified(full(), ID))


def marked(value: Any, word: str) -> Any:
    """A record whose every free text holds a word; words of fixed sets stay."""
    if isinstance(value, tuple):
        return tuple(marked(item, word) for item in value)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fixed = {"state", "advised", "decided", "step_id", "id", "library_id", "_standing"}
        fields = {f.name: getattr(value, f.name) for f in dataclasses.fields(value) if f.name not in fixed}
        if isinstance(value, HomePlan):
            fields.pop("ladder")
        return replace(value, **{name: marked(item, word) for name, item in fields.items()})
    return word + value[:10] if type(value) is str else value


@settings(max_examples=5, deadline=None)
@given(word=st.sampled_from(["Zebedee", "12 Harbour Rd", "Zürich", "zz@example.org", "555-0199"]))
def test_whatever_people_typed_is_not_there(word: str) -> None:
    record = marked(full(), word)
    assert record.skills[0].practice[0].by.startswith(word)
    assert word not in write_deidentified(record, ID)


def test_days_apart_stay_as_they_were_whenever_it_was() -> None:
    """Moved in time by any number of days the export is the same, birthday and age moved along."""

    def moved(value: Any, days: int) -> Any:
        if isinstance(value, tuple):
            return tuple(moved(item, days) for item in value)
        if dataclasses.is_dataclass(value) and not isinstance(value, type):
            names = [f.name for f in dataclasses.fields(value) if not f.name.startswith("_")]
            return replace(value, **{name: moved(getattr(value, name), days) for name in names})
        return value + timedelta(days=days) if type(value) is date else value

    record: ChildRecord = example("Pip")
    assert write_deidentified(moved(record, 1461), ID) == write_deidentified(record, ID)


def test_day_one_is_the_first_day() -> None:
    marks = json.loads(write_deidentified(example("Wren"), ID))["skills"][0]["marks"]
    assert marks[0]["day"] == 1
    first, last = example("Wren").days[0], example("Wren").days[-1]
    assert max(mark["day"] for mark in marks) <= (last - first).days + 1


@pytest.mark.parametrize("told", ["", "wren1234", "WREN0001", "short", "A B C D E F", "K7Q2X9TB-1"])
def test_an_id_that_tells_something_or_has_another_form_is_refused(told: str) -> None:
    with pytest.raises(BadValue):
        write_deidentified(example("Wren"), told)
