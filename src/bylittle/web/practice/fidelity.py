"""The fidelity checklist of a signed plan, and what the checks of its adults show. Plain values, no pages."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import combinations

from bylittle import library
from bylittle.core.plan.home_plan import HomePlan
from bylittle.library.coaching import FidelityItem

DONE, PARTLY, NOT, NOT_SEEN = "done", "partly", "not", "not seen"
ANSWERS = [(DONE, "done"), (PARTLY, "partly"), (NOT, "not done"), (NOT_SEEN, "not seen")]
#: Partly counts half: our choice.
WEIGHTS: Mapping[str, float] = {DONE: 1.0, PARTLY: 0.5, NOT: 0.0}
#: A usual bar: common practice, no source.
USUAL_BAR = 0.80
#: Two adults whose shares lie this far apart help in different ways (our choice).
GAP = 0.20
#: Ways of helping in which nobody waits before helping.
NO_WAIT = ("simultaneous-prompting", "graduated-guidance")
#: Where one adult does and another does not, the child meets two ways of helping.
WAY_OF_HELPING = ("cue_words", "wait", "asked_steps", "order_of_help", "error_response")


@dataclass(frozen=True, slots=True)
class PlannedItem:
    """One thing to look for, and what this plan says of it."""

    item: FidelityItem
    planned: str


def checklist(home: HomePlan) -> tuple[PlannedItem, ...]:
    """The items that belong to a plan; the other order of help and what it leaves open are not asked."""
    said = _planned(home)
    return tuple(
        PlannedItem(item, said[item.part])
        for item in library.fidelity_items()
        if item.order in (None, home.order_of_help.value) and item.part in said
    )


def _planned(home: HomePlan) -> dict[str, str]:
    """What the plan says, by its part; a part that it does not speak of is left out."""
    asked = home.asked
    cues = ", ".join(f"“{step.cue}”" for step in asked if step.cue)
    levels = dict.fromkeys(step.help_level for step in asked if step.help_level is not None)
    helps = ", ".join(home.ladder.name(level) for level in levels)
    dose = home.dose
    told = {
        "set_up": "; ".join(home.materials),
        "asked_steps": ", ".join(step.name for step in asked),
        "order_of_help": f"{_way(home)}: {helps}",
        "error_response": home.when_it_goes_wrong,
        "praise": home.praise,
        "stop_sign": ", ".join(home.stop_rule.stop_signs),
        "dose": f"{dose.turns_per_day} turns, {dose.minutes} minutes or less",
        "record": "",
    }
    told |= {"routine": dose.routine} if dose.routine else {}
    told |= {"cue_words": cues} if cues else {}
    waits = home.wait_s and home.procedure not in NO_WAIT
    return told | ({"wait": f"{home.wait_s} seconds"} if waits else {})


def _way(home: HomePlan) -> str:
    """The order of help, with the chosen way of helping where there is one."""
    way = next((each for each in library.procedures() if each.id == home.procedure), None)
    return f"{home.order_of_help.value}, {way.name}" if way else home.order_of_help.value


def share(seen: Mapping[str, str]) -> float | None:
    """Part of what was seen that was done, 0..1, partly counting half; None where nothing was seen."""
    weights = [WEIGHTS[answer] for answer in seen.values() if answer in WEIGHTS]
    return sum(weights) / len(weights) if weights else None


@dataclass(frozen=True, slots=True)
class Check:
    """One check as kept: the day, the adult, the plan's number, what was seen of each item."""

    on: date
    adult: str
    plan: int
    seen: Mapping[str, str]
    note: str = ""
    by: str = ""

    @property
    def share(self) -> float | None:
        return share(self.seen)

    @property
    def things(self) -> int:
        """How many things of the checklist were seen: what the share rests on."""
        return sum(answer in WEIGHTS for answer in self.seen.values())


@dataclass(frozen=True, slots=True)
class AdultChecks:
    """The checks of one adult, oldest first; `name` for people."""

    name: str
    checks: tuple[Check, ...]

    @property
    def latest(self) -> Check:
        return self.checks[-1]

    @property
    def below(self) -> bool:
        """True where the last check lies under the usual bar."""
        return self.latest.share is not None and self.latest.share < USUAL_BAR


@dataclass(frozen=True, slots=True)
class LowFidelity:
    """The adult whose last check lies lowest under the usual bar, and how much of the practice that touches.

    `share`: part of what was seen that was as planned, 0..1, resting on `things` of the checklist.
    `turns`: turns written down for this adult since the plan began, of `all_turns` of every adult.
    """

    name: str
    share: float
    things: int
    turns: int
    all_turns: int


@dataclass(frozen=True, slots=True)
class Coaching:
    """What the checks of a skill show. `apart`: items that one adult did and another did not, in words."""

    adults: tuple[AdultChecks, ...] = ()
    apart: tuple[str, ...] = ()
    gap: float = 0.0

    @property
    def below(self) -> tuple[AdultChecks, ...]:
        return tuple(adult for adult in self.adults if adult.below)

    @property
    def lowest(self) -> AdultChecks | None:
        """Of the adults under the usual bar the one furthest under it; None where nobody is."""
        return min(self.below, key=lambda adult: adult.latest.share or 0.0, default=None)

    @property
    def differ(self) -> bool:
        """True where the last checks of two adults show two ways of helping.

        One does what another does not, they lie far apart, or one lies under the usual bar and another does
        not. One adult alone below the bar is no difference between adults: see `lowest`.
        """
        split = 0 < len(self.below) < len(self.adults)
        return bool(self.apart) or self.gap >= GAP or split


def coaching(checks: Iterable[Check], names: Mapping[str, str]) -> Coaching:
    """What checks show, oldest first. A check in which nothing was seen says nothing and is left out."""
    told: dict[str, list[Check]] = {}
    for check in checks:
        if check.share is not None:
            told.setdefault(check.adult, []).append(check)
    adults = tuple(AdultChecks(names.get(adult, adult), tuple(each)) for adult, each in told.items())
    latest = [adult.latest for adult in adults]
    shares = [each.share for each in latest if each.share is not None]
    return Coaching(adults, _apart(latest), max(shares) - min(shares) if shares else 0.0)


def low_fidelity(shown: Coaching, turns: Mapping[str, int]) -> LowFidelity | None:
    """The lowest adult under the bar, with the turns by adult (initials) that the log holds."""
    lowest = shown.lowest
    if lowest is None or lowest.latest.share is None:
        return None
    last = lowest.latest
    mine = turns.get(last.adult, 0)
    return LowFidelity(lowest.name, lowest.latest.share, last.things, mine, sum(turns.values()))


def _apart(latest: Sequence[Check]) -> tuple[str, ...]:
    """Items of the way of helping that one adult did and another did not."""
    items = [item for item in library.fidelity_items() if item.part in WAY_OF_HELPING]
    pairs = list(combinations(latest, 2))
    return tuple(
        str(item.name)
        for item in items
        if any({one.seen.get(item.id), other.seen.get(item.id)} == {DONE, NOT} for one, other in pairs)
    )


def trend(adult: AdultChecks) -> str:
    """How an adult's checks went, in words."""
    shares = [check.share for check in adult.checks if check.share is not None]
    told = ", ".join(f"{round(100 * each)} %" for each in shares)
    if len(shares) == 1:
        return told
    change = shares[-1] - shares[0]
    way = "about the same" if abs(change) < 0.05 else "up" if change > 0 else "down"
    return f"{told}: {way} over {len(shares)} checks"
