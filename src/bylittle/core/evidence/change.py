"""Level, trend and overlap of the probes before and since teaching. Too few points is a fact too."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from bylittle.core.evidence.cautions import rising
from bylittle.core.evidence.facts import Fact, Material, probes_source, shares
from bylittle.core.evidence.series import Probe
from bylittle.core.faults import Fault, NotEnoughData
from bylittle.core.stats.overlap import nap, tau_u
from bylittle.core.stats.trend import theil_sen
from bylittle.core.stats.values import Estimate

FEWEST_FOR_TREND = 3
FLAT = 0.02
"""A trend of less than this share of the steps a week is told as level."""


def change_facts(material: Material) -> list[Fact]:
    """In the order in which a report tells them."""
    before, after = material.before, material.after
    if not before:
        return [Fact("no_baseline", {"after": len(after)}), *_only_level(after, "level_since")]
    if not after:
        return [*_only_level(before, "level_before"), Fact("no_probe_since", {}), *_trend(before, "before")]
    both = [Fact("level_change", level_values(before, after), (probes_source((*before, *after)),))]
    return [*both, *_trend(before, "before"), *_trend(after, "since"), *overlap_facts(material)]


def _only_level(probes: Sequence[Probe], code: str) -> list[Fact]:
    if not probes:
        return []
    values = {"n": len(probes), "level": median_of(probes), "steps": probes[0].steps}
    return [Fact(code, values, (probes_source(probes),))]


def level_values(before: Sequence[Probe], after: Sequence[Probe]) -> dict[str, object]:
    """Medians and last values, in steps alone; shares where the number of steps changed."""
    return {
        "n_before": len(before),
        "n_after": len(after),
        "before": median_of(before),
        "after": median_of(after),
        "last": after[-1].alone,
        "last_day": after[-1].day,
        "steps": after[-1].steps,
        "share_before": float(np.median(shares(before))),
        "share_after": float(np.median(shares(after))),
    }


def median_of(probes: Sequence[Probe]) -> float:
    """Median number of steps alone."""
    return float(np.median([probe.alone for probe in probes]))


def _trend(probes: Sequence[Probe], when: str) -> list[Fact]:
    """Theil-Sen slope in steps a week; silent under three points or all on one day."""
    if len(probes) < FEWEST_FOR_TREND:
        return []
    days = [float((probe.day - probes[0].day).days) for probe in probes]
    try:
        slope = 7 * theil_sen(days, [float(probe.alone) for probe in probes]).slope
    except Fault:
        return []
    level = abs(slope) < FLAT * probes[0].steps
    direction = "level" if level else "rising" if slope > 0 else "falling"
    values = {"slope": slope, "n": len(probes)}
    return [Fact(f"trend_{when}_{direction}", values, (probes_source(probes),))]


def overlap_facts(material: Material) -> list[Fact]:
    """NAP of the shares alone; with a rising baseline also Tau-U, from which that trend is taken off."""
    before, after = material.before, material.after
    found = [_measured("overlap", nap, before, after)]
    if rising(shares(before)) is not None:
        found.append(_measured("overlap_less_trend", tau_u, before, after))
    return found


def _measured(
    code: str,
    measure: Callable[[Sequence[float], Sequence[float]], Estimate],
    before: Sequence[Probe],
    after: Sequence[Probe],
) -> Fact:
    counts: dict[str, object] = {"n_before": len(before), "n_after": len(after)}
    source = (probes_source((*before, *after)),)
    try:
        found = measure(shares(before), shares(after))
    except NotEnoughData as few:
        return Fact(f"{code}_too_few", {**counts, "n": few.n, "needed": few.needed}, source)
    except Fault:
        return Fact(f"{code}_undefined", counts, source)
    told = {"estimate": found.estimate, "low": found.low, "high": found.high}
    return Fact(code, {**counts, **{k: v for k, v in told.items() if v is not None}}, source)
