"""A text knows its translation and never stands in for a language that it has not."""

from __future__ import annotations

import copy
import pickle

import pytest

from bylittle.core.faults import BadValue
from bylittle.library.text import Text

PULL = Text("Pull up", "Tira hacia arriba")


def test_it_is_its_english_and_gives_its_spanish() -> None:
    assert PULL == "Pull up"
    assert f"{PULL}!" == "Pull up!"
    assert (PULL.text("en"), PULL.text("es"), PULL.es) == (
        "Pull up",
        "Tira hacia arriba",
        "Tira hacia arriba",
    )


def test_another_language_is_refused_unless_something_is_given() -> None:
    with pytest.raises(BadValue) as caught:
        PULL.text("fr")
    assert caught.value.values["allowed"] == ("en", "es")
    assert PULL.text("fr", otherwise="?") == "?"


def test_it_survives_copying_and_pickling() -> None:
    assert copy.deepcopy(PULL).es == pickle.loads(pickle.dumps(PULL)).es == PULL.es
