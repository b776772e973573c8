"""How quick the library opens: a fresh process each time, import and first use together.

Run: python -m benchmarks library. The bar is 100 ms for `from bylittle import library` with every ready skill
and warm-up. The best and the middle of the runs are told, on the wall and in processor time, since a busy
machine stretches the former; beside it what the same costs from the data files, without the pack.
"""

from __future__ import annotations

import subprocess
import sys
from statistics import median

RUNS = 15
BAR_MS = 100.0
_CLOCKS = "import time; wall, own = time.perf_counter(), time.process_time(); "
_TOLD = "; print(1e3 * (time.perf_counter() - wall), 1e3 * (time.process_time() - own))"
_WAYS = {
    "import alone": "from bylittle import library",
    "import, skills, warm-ups": "from bylittle import library; library.skills(); library.warmups()",
    "the same without the pack": (
        "from bylittle.library import pack; pack.PACK = 'none'; "
        "from bylittle import library; library.skills(); library.warmups()"
    ),
}


def timed(code: str) -> tuple[float, float]:
    """Wall and processor time of `code` in a fresh interpreter, milliseconds; its own start is left out."""
    run = [sys.executable, "-c", _CLOCKS + code + _TOLD]
    told = subprocess.run(run, capture_output=True, text=True, check=True).stdout.split()
    return float(told[0]), float(told[1])


def main() -> int:
    """Print the table; 1 where the best run of opening the library is over the bar."""
    print(f"{'ms, fresh process':28}{'wall, best':>12}{'middle':>9}{'processor':>11}{'of the bar':>12}")
    best = {}
    for name, code in _WAYS.items():
        runs = [timed(code) for _ in range(RUNS if "without" not in name else 3)]
        walls, own = [wall for wall, _ in runs], min(processor for _, processor in runs)
        best[name] = min(walls)
        ratio = min(walls) / BAR_MS
        print(f"{name:28}{min(walls):12.1f}{median(walls):9.1f}{own:11.1f}{ratio:12.2f}")
    return int(best["import, skills, warm-ups"] > BAR_MS)


if __name__ == "__main__":
    raise SystemExit(main())
