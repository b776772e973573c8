"""The kinds of children, by name: how to make one, and what its family is like."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from zlib import crc32

import numpy as np

from benchmarks.children import logistic, otherwise
from benchmarks.children.child import Child
from benchmarks.children.family import Adult, Family, even


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind: `family` A (a logistic curve over a hidden skill) or B (nothing of the sort)."""

    name: str
    family: str
    make: Callable[[np.random.Generator], Child]
    adults: tuple[Adult, ...] = (even("M"), even("D"))


EAGER = (even("M"), Adult("D", 0.45, 0.02, 0.5))
MISREADS = (even("M"), Adult("D", 0.02, 0.40, 0.5))


def of(cls: Callable[..., Child], **settings: object) -> Callable[[np.random.Generator], Child]:
    """A maker of children of this class."""
    return partial(cls, **settings)


KINDS: tuple[Kind, ...] = (
    Kind("average", "A", of(logistic.Logistic)),
    Kind("slow", "A", of(logistic.Logistic, gain=0.08)),
    Kind("fast", "A", of(logistic.Logistic, gain=0.22)),
    Kind("day swings", "A", of(logistic.Swinging)),
    Kind("prompt leaner", "A", of(logistic.PromptLeaner)),
    Kind("help stays behind", "A", of(logistic.HelpStaysBehind)),
    Kind("all or none", "A", of(logistic.AllOrNone)),
    Kind("power law", "A", of(logistic.PowerLaw)),
    Kind("plateau", "A", of(logistic.Plateau)),
    Kind("illness and loss", "A", of(logistic.IllnessAndLoss)),
    Kind("over-reporting", "A", of(logistic.Logistic), EAGER),
    Kind("misread scale", "A", of(logistic.Logistic), MISREADS),
    Kind("two states", "B", of(otherwise.States)),
    Kind("three states", "B", of(otherwise.ThreeStates)),
    Kind("thresholds", "B", of(otherwise.Thresholds)),
    Kind("exemplars", "B", of(otherwise.Exemplars)),
    Kind("needed help", "B", of(otherwise.NeededHelp)),
    Kind("moods", "B", of(otherwise.Moody)),
    Kind("warms up, tires", "B", of(otherwise.WarmsUpAndTires)),
    Kind("neighbours", "B", of(otherwise.Neighbours)),
    Kind("eager parent, states", "B", of(otherwise.ThreeStates), EAGER),
)
BY_NAME = {kind.name: kind for kind in KINDS}


def stream(seed: int, kind: str, child: int, purpose: str) -> np.random.Generator:
    """A stream of chance of its own for each kind, child and purpose."""
    return np.random.default_rng([seed, crc32(kind.encode()), child, crc32(purpose.encode())])


def make(kind: Kind, seed: int, number: int) -> tuple[Child, Family]:
    """Child `number` of a kind, and its family; the same numbers give the same child."""
    rng = stream(seed, kind.name, number, "family")
    return kind.make(stream(seed, kind.name, number, "child")), Family(kind.adults, rng.random() < 0.5)
