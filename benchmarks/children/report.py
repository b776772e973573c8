"""The table: means over kinds with standard errors, then kind by kind, then the bars."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

from benchmarks.children.kinds import BY_NAME
from benchmarks.children.measures import FORESIGHT, OUTCOMES, bootstrap_se
from benchmarks.children.study import Findings

SHOWN = {
    "turns": "{:.0f}",
    "lag": "{:.1f}",
    "failure run": "{:.1f}",
}


@dataclass(frozen=True, slots=True)
class Figure:
    """A measured figure and its standard error."""

    value: float
    se: float

    def told(self, style: str = "{:.3f}") -> str:
        """As in the table: value (standard error)."""
        return f"{style.format(self.value)} ({_short(self.se)})"


def _short(se: float) -> str:
    return f"{se:.1f}" if se >= 0.5 else f"{se:.3f}".removeprefix("0")


Cells = dict[str, dict[str, dict[str, Figure]]]


def cells(by_name: dict[str, dict[str, list]], table: dict[str, Callable]) -> Cells:
    """measure -> row -> kind -> figure."""
    found: Cells = {measure: {} for measure in table}
    for name, by_kind in by_name.items():
        for kind, children in by_kind.items():
            for measure, work_out in table.items():
                rng = np.random.default_rng(1)
                figure = Figure(work_out(children), bootstrap_se(work_out, children, rng))
                found[measure].setdefault(name, {})[kind] = figure
    return found


def mean_over(kinds: dict[str, Figure], family: str) -> Figure | None:
    """Mean over the kinds of one family of children; None where there is none of them."""
    chosen = [f for kind, f in kinds.items() if BY_NAME[kind].family == family and np.isfinite(f.value)]
    if not chosen:
        return None
    se = sqrt(sum(f.se**2 for f in chosen)) / len(chosen)
    return Figure(float(np.mean([f.value for f in chosen])), se)


@dataclass(frozen=True, slots=True)
class Results:
    """All figures of a study."""

    foresight: Cells
    outcomes: Cells


def work_out(findings: Findings) -> Results:
    """Every measure of every row and kind."""
    return Results(cells(findings.foresight, FORESIGHT), cells(findings.outcomes, OUTCOMES))


def _lines(title: str, header: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    table = [list(header), *[list(r) for r in rows]]
    width = [max(len(row[i]) for row in table) for i in range(len(header))]
    told = [
        "  ".join(c.ljust(w) if i == 0 else c.rjust(w) for i, (c, w) in enumerate(zip(r, width, strict=True)))
        for r in table
    ]
    return ["", title, told[0], "-" * len(told[0]), *told[1:]]


def _row(name: str, found: Cells, family: str) -> list[str] | None:
    told = [name]
    for measure, rows in found.items():
        figure = mean_over(rows.get(name, {}), family)
        told.append(figure.told(SHOWN.get(measure, "{:.3f}")) if figure else "")
    return told if any(told[1:]) else None


FAMILIES = {
    "A": "children on a logistic curve",
    "B": "children who are nothing of the sort",
}


def overview(results: Results) -> list[str]:
    """The means over kinds, a table for forecasts and one for courses in each family of children."""
    lines: list[str] = []
    for family, about in FAMILIES.items():
        for found, what in (
            (results.foresight, "next practice day"),
            (results.outcomes, "12 weeks, 5 steps"),
        ):
            names = next(iter(found.values())).keys() if found else []
            rows = [row for name in names if (row := _row(name, found, family))]
            if rows:
                title = f"{family}: {about}; {what}; mean over kinds (standard error)"
                lines += _lines(title, ["", *found], rows)
    return lines


def kind_by_kind(results: Results, method: str, way: str) -> list[str]:
    """One method's forecasts and one rule's courses, kind by kind."""
    lines: list[str] = []
    for found, name in ((results.foresight, method), (results.outcomes, way)):
        kinds = next((rows[name] for rows in found.values() if name in rows), {})
        rows = [[kind, *(found[m][name][kind].told(SHOWN.get(m, "{:.3f}")) for m in found)] for kind in kinds]
        if rows:
            lines += _lines(f"{name}, kind by kind", ["", *found], rows)
    return lines
