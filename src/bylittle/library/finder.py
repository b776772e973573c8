"""Where does it break down: the idea, the plan or the doing? Clinical reasoning, not a test."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bylittle.core.faults import BadValue
from bylittle.library.catalogue import opened
from bylittle.library.datafile import Reader, tell_duplicates
from bylittle.library.faults import FileFault

KINDS = ("idea", "plan", "doing")
LEAST_LOOKS = 2
STRENGTHS = ("too little seen", "mixed", "leans", "fairly clear")


@dataclass(frozen=True, slots=True)
class Sight:
    """One thing that may be seen at a look, and how strongly it points to idea, plan and doing."""

    id: str
    says: str
    weights: tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Look:
    """A quick look of a minute or two, and what may be seen."""

    id: str
    ask: str
    sights: tuple[Sight, ...]


@dataclass(frozen=True, slots=True)
class Kind:
    """One of the three kinds, its name and the lever to pull first."""

    id: str
    name: str
    lever: str


@dataclass(frozen=True, slots=True)
class Suggestion:
    """What the looks point to. `kind` is None where too little or too mixed was seen.

    `shares`: part of the weight on idea, plan and doing, 0..1. `because`: the sights that point there.
    """

    strength: str
    kind: Kind | None
    shares: tuple[float, float, float]
    looks: int
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Finder:
    """The quick looks, what each sight points to, and the caveat that goes with every suggestion."""

    looks: tuple[Look, ...]
    kinds: tuple[Kind, ...]
    caveat: str
    source: str = "practice-reasoning"

    def suggest(self, seen: Iterable[str]) -> Suggestion:
        """A graded suggestion from the ids of what was seen, at most one for each look.

        "fairly clear": at least three looks and six tenths of the weight; "leans": half of the weight;
        "mixed": less; "too little seen": fewer than two looks. The bars are ours and adjustable.
        """
        picked = self._picked(tuple(seen))
        weights = [sum(sight.weights[place] for sight in picked) for place in range(3)]
        total = sum(weights) or 1
        shares = (weights[0] / total, weights[1] / total, weights[2] / total)
        best = shares.index(max(shares))
        strength = _strength(len(picked), shares)
        kind = self.kinds[best] if strength in STRENGTHS[2:] else None
        because = tuple(sight.says for sight in picked if kind and sight.weights[best])
        return Suggestion(strength, kind, shares, len(picked), because)

    def _picked(self, seen: tuple[str, ...]) -> list[Sight]:
        known = {sight.id: (look.id, sight) for look in self.looks for sight in look.sights}
        if unknown := [name for name in seen if name not in known]:
            raise BadValue(name="seen", value=unknown[0], allowed=tuple(known))
        looks = [known[name][0] for name in seen]
        if len(set(looks)) < len(looks):
            raise BadValue(name="seen", value=seen, allowed="one for each look")
        return [known[name][1] for name in seen]


def _strength(looks: int, shares: tuple[float, float, float]) -> str:
    if looks < LEAST_LOOKS:
        return STRENGTHS[0]
    first, second = sorted(shares, reverse=True)[:2]
    if first < 0.5 or first == second:
        return STRENGTHS[1]
    return STRENGTHS[3] if looks >= 3 and first >= 0.6 else STRENGTHS[2]


def read_breakdown(faults: list[FileFault]) -> Finder:
    """The finder with its looks."""
    reader = opened("breakdown.toml", faults)
    looks = tuple(_look(part) for part in reader.each("looks", at_least=LEAST_LOOKS))
    kinds = tuple(_kind(part) for part in reader.each("kinds", at_least=3))
    sights = [sight.id for look in looks for sight in look.sights]
    tell_duplicates(sights, "looks.seen", reader.file, faults)
    made = Finder(looks, kinds, reader.words("caveat"))
    reader.close(ignore=("mark",))
    return made


def _look(part: Reader) -> Look:
    made = Look(
        part.words("id"), part.words("ask"), tuple(_sight(row) for row in part.each("seen", at_least=2))
    )
    part.close()
    return made


def _sight(part: Reader) -> Sight:
    weights = (part.whole("idea", 0), part.whole("plan", 0), part.whole("doing", 0))
    made = Sight(part.words("id"), part.words("says"), weights)
    part.close()
    return made


def _kind(part: Reader) -> Kind:
    made = Kind(part.choice("id", KINDS), part.words("name"), part.words("lever"))
    part.close()
    return made
