"""How long NAP with its interval takes for 10,000 series of 40 points, split at different places."""

from __future__ import annotations

import time

import numpy as np

from bylittle.core.stats import overlap

SERIES, POINTS = 10_000, 40
PROMISED_SECONDS = 2.0
SPLITS = (5, 10, 20)
ROUNDS = 5


def seconds(split: int) -> float:
    """Median time for all series with `split` baseline points each; whole scores 0..10."""
    values = np.random.default_rng(40).integers(0, 11, (SERIES, POINTS)).astype(np.float64)
    taken = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        found = overlap.nap_batch(values[:, :split], values[:, split:])
        taken.append(time.perf_counter() - start)
        assert found.low.shape == (SERIES,)
    return float(np.median(taken))


def main() -> int:
    """Print the figures; 1 where one is slower than promised."""
    slow = 0
    for split in SPLITS:
        took = seconds(split)
        slow += took >= PROMISED_SECONDS
        print(
            f"NAP with interval, {SERIES} series of {POINTS} points ({split} + {POINTS - split}): "
            f"{took:.3f} s (promised: under {PROMISED_SECONDS:g} s)"
        )
    return int(slow > 0)


if __name__ == "__main__":
    raise SystemExit(main())
