"""What must be said aloud: a short or rising baseline, a ceiling, a changed measure, the design's limits."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bylittle.core.evidence.facts import Fact, Kind, Material, Source, plans_source, probes_source, shares
from bylittle.core.faults import Fault
from bylittle.core.stats.autocorrelation import lag_one_in_phases

FEWEST_BASELINE, WANTED_BASELINE = 3, 5
RISING_SHARE, RISING_GAIN = 0.6, 0.1
CEILING = 0.8
TIERS_FOR_MORE = 3


def caution_facts(material: Material) -> list[Fact]:
    """Every caution that these data call for, and what the design can and cannot show."""
    finders = (baseline_short, baseline_rising, ceiling, autocorrelated, changed_measure, design)
    return [fact for find in finders for fact in find(material)]


def baseline_short(material: Material) -> list[Fact]:
    """Fewer baseline points than wanted; the house's least is three."""
    n = len(material.before)
    if n >= WANTED_BASELINE or not material.series.probes:
        return []
    code = "baseline_too_short" if n < FEWEST_BASELINE else "baseline_short"
    values = {"n": n, "needed": FEWEST_BASELINE, "wanted": WANTED_BASELINE}
    return [Fact(code, values, (probes_source(material.before),))]


def rising(points: Sequence[float]) -> float | None:
    """How far a baseline rises by itself (its last point less its first, 0..1), or None where it does not.

    Rising: of all pairs of the last five points at least 0.6 more go up than down, and the gain is 0.1 or
    more; the same rule that holds teaching back. Too few points: None.
    """
    if len(points) < FEWEST_BASELINE:
        return None
    last = points[-WANTED_BASELINE:]
    pairs = [later - earlier for i, earlier in enumerate(last) for later in last[i + 1 :]]
    gain = last[-1] - last[0]
    return gain if float(np.mean(np.sign(pairs))) >= RISING_SHARE and gain >= RISING_GAIN else None


def baseline_rising(material: Material) -> list[Fact]:
    """A baseline that rises by itself: change since teaching cannot be told from it."""
    gain = rising(shares(material.before))
    if gain is None:
        return []
    values = {"gain": gain, "n": len(material.before)}
    return [Fact("baseline_rising", values, (probes_source(material.before),))]


def ceiling(material: Material) -> list[Fact]:
    """Little room to show a gain, before teaching or by now."""
    before, after = shares(material.before), shares(material.after)
    found = []
    if before and float(np.median(before)) >= CEILING:
        values = {"level": float(np.median(before))}
        found.append(Fact("ceiling_before", values, (probes_source(material.before),)))
    if len(after) >= 3 and min(after[-3:]) == 1.0:
        found.append(Fact("ceiling_now", {"n": 3}, (probes_source(material.after[-3:]),)))
    return found


def autocorrelated(material: Material) -> list[Fact]:
    """Neighbouring probes that are alike: the interval of the overlap is then too narrow."""
    parts = [part for part in (shares(material.before), shares(material.after)) if part]
    try:
        found = lag_one_in_phases(parts)
    except Fault:
        return []
    if found.low is None or found.low <= 0:
        return []
    n = sum(map(len, parts))
    return [Fact("autocorrelated", {"r": found.estimate, "n": n}, (probes_source(material.series.probes),))]


def changed_measure(material: Material) -> list[Fact]:
    """Anything that makes earlier and later points another measure."""
    probes = material.series.probes
    found = []
    kinds = {str(probe.kind) for probe in probes if probe.kind}
    if len(kinds) > 1:
        found.append(Fact("probe_kind_changed", {"kinds": tuple(sorted(kinds))}, (probes_source(probes),)))
    before, after = ({p.place for p in part if p.place} for part in (material.before, material.after))
    if before and after and before.isdisjoint(after):
        values = {"before": tuple(sorted(before)), "after": tuple(sorted(after))}
        found.append(Fact("place_changed", values, (probes_source(probes),)))
    grades = tuple(dict.fromkeys(phase.grade for phase in material.teaching if phase.grade))
    if len(grades) > 1:
        found.append(Fact("material_changed", {"grades": grades}, (plans_source(material.teaching),)))
    return found + steps_changed(material)


def steps_changed(material: Material) -> list[Fact]:
    """Another number of steps in a later version of the skill."""
    counts = [count for _, count in material.versions]
    if len(set(counts)) < 2:
        return []
    first, last = material.versions[0][0], material.versions[-1][0]
    values = {"before": counts[0], "after": counts[-1], "on": last}
    return [Fact("steps_changed", values, (Source(Kind.PLANS, first, last),))]


def design(material: Material) -> list[Fact]:
    """One start is progress monitoring; three or more, apart in time, let more be said.

    At least three demonstrations at three points in time: Kratochwill et al. (2010), single-case standards.
    """
    if material.taught_from is None:
        return []
    starts = len(set(material.tiers))
    code = "design_staggered" if starts >= TIERS_FOR_MORE else "design_ab"
    return [Fact(code, {"starts": starts}, (Source(Kind.DESIGN, material.taught_from, None),))]
