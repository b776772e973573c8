"""The command line of the virtual children: which kinds, how many, which rules."""

from __future__ import annotations

import argparse
import time
from collections.abc import Sequence

from benchmarks.children import ahead
from benchmarks.children.bars import listed
from benchmarks.children.kinds import BY_NAME
from benchmarks.children.patterns import look_at_all, told
from benchmarks.children.report import kind_by_kind, overview, work_out
from benchmarks.children.study import OTHERS, OURS, WAYS, study

SEED = 20_261_125
PATTERN_CHILDREN = 12
AHEAD_CHILDREN = 10
QUICK_WAYS = ("whole task, 80 % on 3 days", "backward, 80 % on 3 days", "advice, daily")
QUICK_KINDS = ("average", "prompt leaner", "all or none", "three states", "moods")


def parser() -> argparse.ArgumentParser:
    """Arguments; names of kinds and rules may be shortened to any part of them."""
    told = argparse.ArgumentParser(prog="python -m benchmarks children", description=__doc__)
    told.add_argument("--kinds", nargs="*", default=[], help="kinds of children (part of a name); A or B")
    told.add_argument("--policies", nargs="*", default=[], help="rules (part of a name)")
    told.add_argument("--children", type=int, default=0, help="children of each kind (30; quick: 4)")
    told.add_argument("--seed", type=int, default=SEED)
    told.add_argument("--others", type=int, default=OTHERS, help="children of each kind to fit methods on")
    told.add_argument("--processes", type=int, default=2)
    told.add_argument("--no-forecasts", action="store_true", help="courses only")
    told.add_argument("--no-courses", action="store_true", help="forecasts only")
    told.add_argument("--no-patterns", action="store_true", help="leave the patterns out")
    told.add_argument("--quick", action="store_true", help="few children of few kinds, under a minute")
    return told


def chosen(parts: Sequence[str], names: Sequence[str], default: Sequence[str]) -> list[str]:
    """Names that hold any of the parts; all in `default` where no part is given."""
    if not parts:
        return list(default)
    return [name for name in names if any(part in name for part in parts)]


def kinds_of(parts: Sequence[str], quick: bool) -> list[str]:
    """The kinds asked for; A and B stand for a whole family."""
    whole = [kind for kind in BY_NAME if BY_NAME[kind].family in parts]
    named = chosen([p for p in parts if p not in ("A", "B")], list(BY_NAME), [] if parts else list(BY_NAME))
    if quick and not parts:
        return list(QUICK_KINDS)
    return [kind for kind in BY_NAME if kind in whole or kind in named]


def ways_asked(asked: argparse.Namespace) -> list[str] | None:
    """None for a full run, else the rules by name."""
    if asked.no_courses:
        return []
    if asked.policies or asked.quick:
        return chosen(asked.policies, list(WAYS), QUICK_WAYS)
    return None


def main(argv: Sequence[str] | None = None) -> int:
    """Run and print; 0 whatever the bars say: this is a measurement, not a gate."""
    asked = parser().parse_args(argv)
    kinds = kinds_of(asked.kinds, asked.quick)
    ways = ways_asked(asked)
    children = asked.children or (4 if asked.quick else 30)
    start = time.perf_counter()
    findings = study(
        kinds,
        children,
        ways,
        asked.seed,
        not asked.no_forecasts,
        asked.processes,
        asked.others,
    )
    results = work_out(findings)
    print(f"virtual children: {len(kinds)} kinds, {children} a kind, seed {asked.seed}. Simulation only.")
    print(
        "\n".join(
            [*overview(results), *kind_by_kind(results, OURS, "advice, daily"), *listed(findings, results)]
        )
    )
    if not (asked.no_patterns or asked.no_courses or asked.quick):
        print("\n".join(told(look_at_all(min(children, PATTERN_CHILDREN), asked.seed, asked.processes))))
    if not asked.no_courses:
        of_each = min(children, AHEAD_CHILDREN)
        print("\n".join(ahead.table(ahead.ask_all(kinds, of_each, asked.seed, asked.processes))))
    print(f"\n{time.perf_counter() - start:.0f} s")
    return 0
