"""What was taught, how often it was practised, what is missing, how often the child stopped."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import pairwise

from bylittle.core.evidence.facts import Fact, Material, plans_source, practice_source
from bylittle.core.evidence.phases import Phase
from bylittle.core.evidence.series import PracticeDay

LAST_DAYS = 5


def amount_facts(material: Material) -> list[Fact]:
    """In the order in which a report tells them."""
    found = [taught(material)]
    if material.series.practice:
        found += [practised(material.series.practice), *missing(material.series.practice)]
        found += [*help_course(material), *stops(material.series.practice)]
    else:
        found.append(Fact("nothing_practised", {}))
    return found


def taught(material: Material) -> Fact:
    """Which skill, in how many steps, with how many plans."""
    phases = material.teaching
    values = {"skill": material.series.skill, "steps": len(material.series.steps), "plans": len(phases)}
    if not phases:
        return Fact("not_taught_yet", values)
    names = tuple(dict.fromkeys(name for phase in phases for name in phase.asked))
    return Fact("taught", {**values, "first": phases[0].first, "asked": names}, (plans_source(phases),))


def practised(practice: Sequence[PracticeDay]) -> Fact:
    """Days, turns and who saw them. `per_week`: practice days a week over the whole span."""
    days = sorted({day.day for day in practice})
    span = (days[-1] - days[0]).days + 1
    values: dict[str, object] = {
        "days": len(days),
        "span": span,
        "first": days[0],
        "last": days[-1],
        "turns": sum(day.turns for day in practice),
        "reported": len({day.day for day in practice if not day.observed}),
        "observed": len({day.day for day in practice if day.observed}),
        "adults": tuple(sorted({name for day in practice for name in day.adults})),
    }
    if span >= 7:
        values["per_week"] = 7 * len(days) / span
    return Fact("practised", values, (practice_source(practice),))


def missing(practice: Sequence[PracticeDay]) -> list[Fact]:
    """Blank days, the longest stretch of them, and marks left blank: missing, never zero."""
    days = sorted({day.day for day in practice})
    blank = (days[-1] - days[0]).days + 1 - len(days)
    marks = sum(day.missing for day in practice)
    if not blank and not marks:
        return []
    longest, since = _longest_gap(days)
    values: dict[str, object] = {"blank": blank, "longest": longest, "since": since} if blank else {}
    if marks:
        values["marks"] = marks
    return [Fact("missing", values, (practice_source(practice),))]


def _longest_gap(days: Sequence[date]) -> tuple[int, date]:
    """Days without an entry in a row, and the day before them; at least two days are needed."""
    gaps = [((later - earlier).days - 1, earlier) for earlier, later in pairwise(days)]
    return max(gaps, key=lambda gap: gap[0])


def help_course(material: Material) -> list[Fact]:
    """How the help changed from the first plan to the last, and how the last days went with it.

    Shares of days with other help do not compare, so no gain is told here.
    """
    practice = [day for day in material.series.practice if day.helped_of]
    phases = [phase for phase in material.teaching if phase.help_names]
    if not practice or not phases:
        return []
    lately = _last_of_phase(practice, material.teaching[-1])
    values: dict[str, object] = {"first_help": phases[0].help_names, "last_help": phases[-1].help_names}
    if lately:
        values["last_days"] = len({day.day for day in lately})
        values["managed"] = sum(day.helped for day in lately)
        values["of"] = sum(day.helped_of for day in lately)
    same = phases[0].help_names == phases[-1].help_names
    return [
        Fact("help_same" if same else "help_course", values, (plans_source(phases), practice_source(lately)))
    ]


def _last_of_phase(practice: Sequence[PracticeDay], phase: Phase) -> list[PracticeDay]:
    within = [day for day in practice if phase.holds(day.day)]
    last = sorted({day.day for day in within})[-LAST_DAYS:]
    return [day for day in within if day.day in last]


def stops(practice: Sequence[PracticeDay]) -> list[Fact]:
    """Stops are a result and are told as one."""
    stopped = [day for day in practice if day.stopped]
    if not stopped:
        return []
    values = {"stops": sum(day.stopped for day in stopped), "days": len({day.day for day in stopped})}
    return [Fact("stops", values, (practice_source(stopped),))]
