"""How the adults help: what was seen of them at visits, and whether the child's marks differ between them.

A check is one sitting seen by one observer. Marks of different adults lie on different days, in other moods
and at other times of learning: a difference is a reason to look together, never a verdict on somebody.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations

from bylittle.core.evidence.agreement import difference
from bylittle.core.evidence.kept_parts import KeptFidelity
from bylittle.core.evidence.record_facts import Asked, RecordFact, Where
from bylittle.core.evidence.series import PROBES, managed_with_offer
from bylittle.core.plan.order_of_help import OrderOfHelp
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Status

DONE, NOT = "done", "not"
WEIGHTS: Mapping[str, float] = {DONE: 1.0, "partly": 0.5, NOT: 0.0}
"""Partly counts half: our choice. What was not seen counts for nothing."""
FEWEST_MARKS = 8
"""Fewest marks of an adult on the cells that both have before two are compared: our choice."""
LEVEL = 0.95

Cell = tuple[str, int | None, OrderOfHelp]


def coaching_facts(asked: Asked) -> list[RecordFact]:
    """All of it, up to the end of the period: what was noted, seen at visits, and measured from the marks."""
    noted = [RecordFact("adults_differ", {}, asked.ref(Where.STEPS))] if asked.skill.adults_differ else []
    return [*noted, *seen_at_visits(asked), *measured(asked)]


def checks_of(asked: Asked) -> dict[str, tuple[KeptFidelity, ...]]:
    """{adult: checks up to the end of the period in which anything was seen, oldest first}."""
    told: dict[str, list[KeptFidelity]] = {}
    for check in sorted(asked.skill.coaching, key=lambda check: check.on):
        if check.on <= asked.period.last and share_of(check) is not None:
            told.setdefault(check.adult, []).append(check)
    return {adult: tuple(checks) for adult, checks in told.items()}


def share_of(check: KeptFidelity) -> float | None:
    """Part of what was seen that was done as agreed, 0..1; None where nothing was seen."""
    weights = [WEIGHTS[answer] for _, answer in check.seen if answer in WEIGHTS]
    return sum(weights) / len(weights) if weights else None


def seen_at_visits(asked: Asked) -> list[RecordFact]:
    """Each adult's last check beside the first, and where one adult does what another does not."""
    checks = checks_of(asked)
    if not checks:
        return [RecordFact("no_fidelity_check", {}, asked.ref(Where.COACHING))]
    found = [_of_adult(asked, adult, each) for adult, each in checks.items()]
    return [*found, *_apart(asked, [each[-1] for each in checks.values()])]


def _of_adult(asked: Asked, adult: str, checks: Sequence[KeptFidelity]) -> RecordFact:
    last = checks[-1]
    values: dict[str, object] = {"adult": name_of(asked, adult), "on": last.on, "share": share_of(last)}
    values |= {
        "items": sum(answer in WEIGHTS for _, answer in last.seen),
        "plan": last.plan,
        "n": len(checks),
    }
    if len(checks) > 1:
        values |= {"first": share_of(checks[0]), "first_on": checks[0].on}
    return RecordFact("fidelity_of_adult", values, asked.ref(Where.COACHING, [check.on for check in checks]))


def _apart(asked: Asked, latest: Sequence[KeptFidelity]) -> list[RecordFact]:
    """Items that one adult did and another did not at their last checks. `items`: their ids."""
    answers = [check.answers() for check in latest]
    items = sorted({item for told in answers for item in told})
    apart = [
        item
        for item in items
        if any({a.get(item), b.get(item)} == {DONE, NOT} for a, b in combinations(answers, 2))
    ]
    ref = asked.ref(Where.COACHING, [check.on for check in latest])
    return [RecordFact("adults_seen_apart", {"items": tuple(apart)}, ref)] if apart else []


def measured(asked: Asked) -> list[RecordFact]:
    """The marks of two adults on the steps and helps that both have marks of, in this period.

    Shares managed, their difference with its interval (Newcombe 1998, method 10; the level shared among the
    pairs of adults, Bonferroni). The pair that is furthest apart is told. Nothing where one adult writes.
    """
    by_adult = _marks(asked)
    pairs = list(combinations(sorted(by_adult), 2))
    if not pairs:
        return []
    compared = [
        found for one, other in pairs if (found := _compared(asked, by_adult, (one, other), len(pairs)))
    ]
    if not compared:
        values = {
            "needed": FEWEST_MARKS,
            "adults": tuple(name_of(asked, adult) for adult in sorted(by_adult)),
        }
        return [RecordFact("adults_too_few_marks", values, asked.ref(Where.PRACTICE))]
    return [max(compared, key=lambda fact: abs(_number(fact.values["gap"])))]


def _marks(asked: Asked) -> dict[str, list[tuple[Entry, bool]]]:
    """{adult: home marks with whether the help was enough}; probes and unnamed adults are left out."""
    top = asked.skill.ladder.top
    told: dict[str, list[tuple[Entry, bool]]] = {}
    for entry in asked.entries:
        reach = entry.reach(top)
        if (
            entry.source in PROBES
            or entry.source.observed
            or not entry.adult
            or reach.status is not Status.DONE
        ):
            continue
        managed = managed_with_offer(entry, reach, top)
        if managed is not None:
            told.setdefault(entry.adult, []).append((entry, managed))
    return told


def _compared(
    asked: Asked, by_adult: Mapping[str, Sequence[tuple[Entry, bool]]], pair: tuple[str, str], pairs: int
) -> RecordFact | None:
    """The two adults' marks on common ground; None where either has too few there."""
    common = _cells(by_adult[pair[0]]) & _cells(by_adult[pair[1]])
    rows = [[(e, ok) for e, ok in by_adult[adult] if _cell(e) in common] for adult in pair]
    if min(map(len, rows)) < FEWEST_MARKS:
        return None
    (k1, n1), (k2, n2) = [(sum(ok for _, ok in each), len(each)) for each in rows]
    low, high = difference(k1, n1, k2, n2, 1 - (1 - LEVEL) / pairs)
    values: dict[str, object] = {
        "adults": tuple(name_of(asked, adult) for adult in pair),
        "first": k1 / n1,
        "first_n": n1,
        "second": k2 / n2,
        "second_n": n2,
        "gap": k1 / n1 - k2 / n2,
        "gap_low": low,
        "gap_high": high,
    }
    code = "adults_marks_alike" if low <= 0 <= high else "adults_marks_apart"
    return RecordFact(code, values, asked.ref(Where.PRACTICE, [e.day for each in rows for e, _ in each]))


def _cells(marks: Iterable[tuple[Entry, bool]]) -> set[Cell]:
    return {_cell(entry) for entry, _ in marks}


def _cell(entry: Entry) -> Cell:
    return entry.step_id, entry.offered, entry.order


def _number(value: object) -> float:
    assert isinstance(value, float)
    return value


def name_of(asked: Asked, initials: str) -> str:
    """The adult's name; the initials where nobody is known by them."""
    return next((adult.name for adult in asked.record.adults if adult.initials == initials), initials)
