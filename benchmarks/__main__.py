"""`python -m benchmarks [NAME [arguments]]`: all benchmarks, or one of them.

Names: children (virtual children), open_trials (open trial-by-trial data), speed_of_advice, effect_sizes,
photos, pages, web_pages, reports, library. `--quick` alone asks for the short form of those that have one.
"""

from __future__ import annotations

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")  # before numpy: two processes share two cores
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import importlib
import importlib.util
import inspect
import sys
from collections.abc import Callable, Sequence

NAMES = (
    "children",
    "open_trials",
    "speed_of_advice",
    "effect_sizes",
    "photos",
    "pages",
    "web_pages",
    "reports",
    "library",
)
ROOMS = ("", ".command", ".__main__")


def door(name: str) -> Callable[..., int | None] | None:
    """The `main` of a benchmark, wherever its package keeps it; None where it is not in this checkout."""
    for room in ROOMS:
        module = f"benchmarks.{name}{room}"
        try:
            there = importlib.util.find_spec(module) is not None
        except ModuleNotFoundError:
            there = False
        main = getattr(importlib.import_module(module), "main", None) if there else None
        if main is not None:
            return main
    return None


def call(name: str, argv: list[str]) -> int:
    """Run one benchmark, with arguments where its `main` takes any; 2 where it is not there."""
    main = door(name)
    if main is None:
        print(f"{name} is not part of this checkout")
        return 2
    return int((main(argv) if inspect.signature(main).parameters else main()) or 0)


def run(argv: Sequence[str]) -> int:
    """One benchmark by name, or all of them; the exit code is the worst met."""
    if argv and argv[0] in NAMES:
        return call(argv[0], list(argv[1:]))
    if list(argv) not in ([], ["--quick"]):
        print(__doc__)
        return 0 if argv[0] in ("-h", "--help") else 2
    worst = 0
    for name in NAMES:
        print(f"\n== {name.replace('_', ' ')} ==", flush=True)
        worst = max(worst, call(name, list(argv) if name == "children" else []))
    return worst


if __name__ == "__main__":
    raise SystemExit(run(sys.argv[1:]))
