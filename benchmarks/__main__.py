"""`python -m benchmarks [NAME [arguments]]`: all benchmarks, or one of them.

Names: children (virtual children), open_trials (open trial-by-trial data), speed_of_advice, effect_sizes,
photos. `--quick` alone asks each for its short form where it has one.
"""

from __future__ import annotations

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")  # before numpy: two processes share two cores
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import importlib
import importlib.util
import inspect
import sys
from collections.abc import Sequence

NAMES = {
    "children": "benchmarks.children.command",
    "open_trials": "benchmarks.open_trials",
    "speed_of_advice": "benchmarks.speed_of_advice",
    "effect_sizes": "benchmarks.effect_sizes",
    "photos": "benchmarks.photos",
}


def there(module: str) -> bool:
    """True where this benchmark is part of the checkout."""
    try:
        return importlib.util.find_spec(module) is not None
    except ModuleNotFoundError:
        return False


def call(module: str, argv: list[str]) -> int:
    """Run `main` of a benchmark, with arguments where it takes any."""
    main = importlib.import_module(module).main
    takes = inspect.signature(main).parameters
    return int((main(argv) if takes else main()) or 0)


def run(argv: Sequence[str]) -> int:
    """One benchmark by name, or all that are there; the exit code is the worst of them."""
    if argv and argv[0] in NAMES:
        return call(NAMES[argv[0]], list(argv[1:]))
    if argv and argv[0] not in ("--quick",):
        print(__doc__)
        return 0 if argv[0] in ("-h", "--help") else 2
    worst = 0
    for name, module in NAMES.items():
        if there(module):
            print(f"\n== {name.replace('_', ' ')} ==", flush=True)
            worst = max(worst, call(module, list(argv) if name in ("children", "open_trials") else []))
    return worst


if __name__ == "__main__":
    raise SystemExit(run(sys.argv[1:]))
