"""Two people scored the same turns: how alike, in all and for each step and kind of turn, and how much of it.

Points are compared as what they say about the child (status and interval on the ladder), so *managed with
words* and *needed words* from alone are told apart, and a mark that only one of the two wrote is no point.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations

from bylittle.core.evidence.agreement import ENOUGH_ALIKE, ENOUGH_SCORED, Scorer, same_turns
from bylittle.core.faults import Fault, NotEnoughData
from bylittle.core.practice.log import Entry, PracticeLog
from bylittle.core.stats.agreement import kappa, point_by_point
from bylittle.core.stats.values import Estimate


@dataclass(frozen=True, slots=True)
class Alike:
    """`n` points scored by both, `alike` of them the same; `kappa` None where it does not exist.

    Kappa (Cohen 1960) takes off what the two people's own habits would give by chance.
    """

    n: int
    alike: int
    kappa: Estimate | None

    @property
    def share(self) -> float:
        """Point-by-point agreement, 0..1."""
        return self.alike / self.n


@dataclass(frozen=True, slots=True)
class Difference:
    """One point that the two scored differently."""

    one: Entry
    other: Entry


@dataclass(frozen=True, slots=True)
class LogAgreement:
    """Agreement of two scorers. `share_scored`: double-scored marks over all marks, each turn counted once.

    `by_step` and `by_phase` (keys: step ids; `probe` or `practice`) hold only what was scored twice.
    """

    whole: Alike
    by_step: tuple[tuple[str, Alike], ...]
    by_phase: tuple[tuple[str, Alike], ...]
    share_scored: float
    differences: tuple[Difference, ...]

    @property
    def enough_scored(self) -> bool:
        """A fifth of the data or more was scored twice (the customary least)."""
        return self.share_scored >= ENOUGH_SCORED

    @property
    def enough_alike(self) -> bool:
        """Four fifths of the points or more are alike (the customary least)."""
        return self.whole.share >= ENOUGH_ALIKE


def agreement_of_log(log: PracticeLog, one: Scorer, other: Scorer, top: int) -> LogAgreement:
    """How far two scorers of the same turns agree; NotEnoughData where they share no point.

    The two must have scored the same turns (a visit or a video that both watched): turn numbers of people
    who were apart do not match, and then nothing here holds.
    """
    standing = {entry.identity: entry for entry in log.entries()}
    pairs = [(standing[a], standing[b]) for a, b in same_turns(log, one, other)]
    if not pairs:
        raise NotEnoughData(n=0, needed=1, name="double_scored")
    seconds = {second.identity for _, second in pairs}
    once = len(standing) - len(seconds)
    return LogAgreement(
        whole=_alike(pairs, top),
        by_step=_grouped(pairs, [first.step_id for first, _ in pairs], top),
        by_phase=_grouped(pairs, [_phase(first) for first, _ in pairs], top),
        share_scored=len(pairs) / once,
        differences=tuple(Difference(a, b) for a, b in pairs if label(a, top) != label(b, top)),
    )


def possible_scorers(log: PracticeLog, fewest: int = 3) -> tuple[tuple[Scorer, Scorer, int], ...]:
    """Pairs of people with marks on equal day, turn and step, most shared points first.

    Only a guess from the numbers: somebody has to say that the turns were the same ones.
    """
    at: dict[tuple[object, ...], set[Scorer]] = {}
    for entry in log.entries():
        if entry.source.observed:
            key = (entry.day, entry.turn, entry.step_id)
            at.setdefault(key, set()).add(Scorer(entry.source, entry.adult))
    shared = Counter(pair for scorers in at.values() for pair in combinations(sorted(scorers, key=_name), 2))
    found = [(one, other, n) for (one, other), n in shared.items() if n >= fewest]
    return tuple(sorted(found, key=lambda each: (-each[2], _name(each[0]), _name(each[1]))))


def label(entry: Entry, top: int) -> str:
    """What a mark says, as one word: two marks with the same label are alike."""
    reach = entry.reach(top)
    return f"{reach.status}:{reach.lo}:{reach.hi}"


def _alike(pairs: Sequence[tuple[Entry, Entry]], top: int) -> Alike:
    first = [label(one, top) for one, _ in pairs]
    second = [label(other, top) for _, other in pairs]
    share = point_by_point(first, second)
    try:
        beyond_chance = kappa(first, second)
    except Fault:
        beyond_chance = None
    return Alike(len(pairs), round(share * len(pairs)), beyond_chance)


def _grouped(
    pairs: Sequence[tuple[Entry, Entry]], keys: Iterable[str], top: int
) -> tuple[tuple[str, Alike], ...]:
    groups: dict[str, list[tuple[Entry, Entry]]] = {}
    for key, pair in zip(keys, pairs, strict=True):
        groups.setdefault(key, []).append(pair)
    return tuple((key, _alike(group, top)) for key, group in groups.items())


def _phase(entry: Entry) -> str:
    return "probe" if entry.source.value in ("probe", "baseline") else "practice"


def _name(scorer: Scorer) -> tuple[str, str]:
    return scorer.source.value, scorer.adult
