"""The words on and beside the graphs, from the library's wording."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from bylittle.core.evidence.phases import Phase, PhaseKind
from bylittle.core.evidence.series import PracticeDay, Probe
from bylittle.core.skill.ladder import Ladder
from bylittle.library.wording import percent, say, told_day, told_list

MOST_NAMED = 2


def told(*keys: str, language: str, **values: object) -> str:
    """A phrase of the charts' wording."""
    return say("charts", *keys, language=language, **values)


def title(skill: str, measure: str, language: str) -> str:
    """Title of a single-case graph."""
    return told("title", "steps" if measure == "steps" else "graph", language=language, skill=skill)


def axis(name: str, language: str) -> str:
    """Title of an axis."""
    return told("axis", name, language=language)


def phase_forms(phase: Phase, language: str) -> tuple[str, ...]:
    """What may stand above a phase, longest first."""
    if phase.kind is PhaseKind.BASELINE:
        return (told("phase", "baseline", language=language),)
    if phase.kind is PhaseKind.NOT_ASKED:
        return (told("phase", "not_asked", language=language),)
    if phase.kind is PhaseKind.CARRY_OVER:
        return (told("phase", "carry_over", language=language),)
    long = told("phase", "plan_long", language=language, number=phase.number, what=_what(phase, language))
    return (long, told("phase", "plan", language=language, number=phase.number), str(phase.number))


def _what(phase: Phase, language: str) -> str:
    offered = told_list(phase.help_names, language) or told("phase", "least_to_most", language=language)
    if len(phase.asked) > MOST_NAMED:
        return told("phase", "steps_with", language=language, n=len(phase.asked), help=offered)
    asked = told_list(phase.asked, language)
    return told("phase", "asked_with", language=language, asked=asked, help=offered)


def phase_name(phases: Sequence[Phase], place: int, language: str) -> str:
    """Name of a phase for the table: short, empty before the first phase."""
    if place < 0:
        return ""
    forms = phase_forms(phases[place], language)
    return forms[min(1, len(forms) - 1)]


def phase_list(phases: Sequence[Phase], language: str) -> str:
    """All phases with their first days, for the description."""
    return "; ".join(
        f"{phase_forms(phase, language)[0]} ({told_day(phase.first, language)})" for phase in phases
    )


def help_range(low: int, high: int, ladder: Ladder) -> str:
    """The help of a day in words: one level, or from the fullest to the least."""
    return ladder.name(low) if low == high else f"{ladder.name(low)} – {ladder.name(high)}"


def help_of(day: PracticeDay, ladder: Ladder) -> str:
    """The help offered on a day, empty where none was written down."""
    if day.lowest_help is None or day.highest_help is None:
        return ""
    return help_range(day.lowest_help, day.highest_help, ladder)


def probe_label(probe: Probe, language: str) -> str:
    """What is read out at a probe."""
    more = told("point", "unseen", language=language, unseen=probe.unseen) if probe.unseen else ""
    return told(
        "point", "probe", language=language, day=probe.day, kind=_kind(probe, language),
        k=probe.alone, n=probe.steps, more=more,
    )  # fmt: skip


def _kind(probe: Probe, language: str) -> str:
    return told("kind", "baseline" if probe.baseline else "probe", language=language)


def practice_label(day: PracticeDay, ladder: Ladder, language: str) -> str:
    """What is read out at a practice day."""
    offered = help_of(day, ladder)
    more = f", {offered}" if offered else ""
    if day.stopped:
        more += told("point", "stopped", language=language, stops=day.stopped)
    return told(
        "point", "practice", language=language, day=day.day, witness=_witness(day.observed, language),
        k=day.helped, n=day.helped_of, share=day.share_helped or 0.0, more=more,
    )  # fmt: skip


def _witness(observed: bool, language: str) -> str:
    return told("kind", "observed" if observed else "reported", language=language)


def stop_label(day: date, count: int, language: str) -> str:
    """What is read out at a stop."""
    return told("point", "stop_only", language=language, day=day, stops=count)


def graph_head(language: str) -> tuple[str, ...]:
    """Head of the table beside a single-case graph."""
    names = ("date", "phase", "what", "seen", "count", "percent", "help", "stops")
    return tuple(told("table", name, language=language) for name in names)


def probe_row(probe: Probe, phase: str, language: str) -> tuple[str, ...]:
    """One probe as a row of the table."""
    count = told("table", "of", language=language, k=probe.alone, n=probe.steps)
    share = percent(probe.share_alone, language)
    day, kind = told_day(probe.day, language), _kind(probe, language)
    return (day, phase, kind, _seen(True, probe.adult, language), count, share, "", str(int(probe.stopped)))


def practice_row(day: PracticeDay, phase: str, ladder: Ladder, language: str) -> tuple[str, ...]:
    """One practice day as a row of the table."""
    count = told("table", "of", language=language, k=day.helped, n=day.helped_of)
    share = "" if day.share_helped is None else percent(day.share_helped, language)
    count = count if day.helped_of else ""
    seen = _seen(day.observed, told_list(day.adults, language), language)
    kind = told("kind", "practice", language=language)
    date_, offered = told_day(day.day, language), help_of(day, ladder)
    return (date_, phase, kind, seen, count, share, offered, str(day.stopped))


def _seen(observed: bool, who: str, language: str) -> str:
    witness = _witness(observed, language)
    return f"{witness}: {who}" if who else witness
