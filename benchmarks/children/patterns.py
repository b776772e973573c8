"""How often each pattern is found in children built to show it, and in children built not to.

`python -m benchmarks.children.patterns` runs this part alone; parts of patterns' names choose among them.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from math import sqrt

from benchmarks.children.course import Setting, live
from benchmarks.children.rules import Adviser
from benchmarks.children.showing import PLAIN, SHOWS

EVERY_KIND = {kind.name: kind for kind in (*SHOWS.values(), *PLAIN)}
TWELVE_WEEKS = Setting(probes=True, until_end=False)


@dataclass(frozen=True, slots=True)
class Seen:
    """Patterns reported in one child's twelve weeks: on how many practice days they stood in the advice."""

    kind: str
    days: int
    found: dict[str, int]


@dataclass(frozen=True, slots=True)
class Rate:
    """k of n children, and the share of all practice days on which it stood in the advice."""

    k: int
    n: int
    days: float

    @property
    def value(self) -> float:
        """Share of children."""
        return self.k / self.n if self.n else float("nan")

    def told(self) -> str:
        """Share of children with its standard error, and share of practice days."""
        smooth = (self.k + 1) / (self.n + 2)
        se = sqrt(smooth * (1 - smooth) / self.n) if self.n else float("nan")
        return f"{self.value:.2f} ({se:.2f})  {self.days:.3f}"


def look(order: tuple[str, int, int]) -> Seen:
    """One child under weekly advice, looked at once a week, with a weekly probe."""
    name, number, seed = order
    course = live(EVERY_KIND[name], seed, number, partial(Adviser, every="week"), TWELVE_WEEKS)
    found: dict[str, int] = {}
    for _, patterns in course.patterns:
        for pattern in set(patterns):
            found[pattern] = found.get(pattern, 0) + 1
    return Seen(name, len(course.patterns), found)


def rate(children: Sequence[Seen], pattern: str) -> Rate:
    """Share of children in whom the pattern was ever reported."""
    days = sum(c.days for c in children)
    on = sum(c.found.get(pattern, 0) for c in children)
    return Rate(sum(pattern in c.found for c in children), len(children), on / days if days else 0.0)


def look_at_all(children: int, seed: int, processes: int, patterns: Sequence[str] = ()) -> list[Seen]:
    """The patterns' own children (all patterns' where none is named) and the plain ones."""
    own = [kind for name, kind in SHOWS.items() if not patterns or name in patterns]
    orders = [(kind.name, n, seed) for n in range(children) for kind in (*own, *PLAIN)]
    if processes == 1:
        return [look(order) for order in orders]
    with ProcessPoolExecutor(processes) as pool:
        return list(pool.map(look, orders, chunksize=2))


def told(seen: Sequence[Seen]) -> Iterable[str]:
    """A line for each pattern: found where it is, found where it is not."""
    plain_names = {kind.name for kind in PLAIN}
    plain = [child for child in seen if child.kind in plain_names]
    yield ""
    yield "patterns, looked for once a week: share of children (standard error), share of practice days"
    yield f"{'':<30}{'built to show it':<24}{'built to show none':<24}"
    for pattern, kind in SHOWS.items():
        own = [child for child in seen if child.kind == kind.name]
        if not own:
            continue
        yield f"{pattern:<30}{rate(own, pattern).told():<24}{rate(plain, pattern).told():<24}"


def main(argv: Sequence[str] | None = None) -> int:
    """The table of patterns alone."""
    asked = argparse.ArgumentParser(prog="python -m benchmarks.children.patterns", description=__doc__)
    asked.add_argument("patterns", nargs="*", help="patterns (part of a name); none: all")
    asked.add_argument("--children", type=int, default=12)
    asked.add_argument("--seed", type=int, default=20_261_125)
    asked.add_argument("--processes", type=int, default=2)
    chosen = asked.parse_args(argv)
    names = [name for name in SHOWS if any(part in name for part in chosen.patterns)]
    print("\n".join(told(look_at_all(chosen.children, chosen.seed, chosen.processes, names))))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
