"""How quick the tracker and adviser are: replay, advice, a whole service's caseload, and bytes a step.

Run: python -m benchmarks.speed_of_advice. Processor time is told beside the time on the wall, since a busy
machine stretches the latter. Bars are those set for this machine.
"""

from __future__ import annotations

import pickle
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor

import numpy as np

from bylittle.core.advice import SkillTracker
from bylittle.core.practice.marks import Mark, Status

STEPS, TOP, TURNS = 6, 5, 250
CHILDREN = 1_000


def log(turns: int, turns_a_day: int, seed: int = 1) -> list[tuple[int, list[Mark]]]:
    """An invented log: six steps of rising skill, all asked, help chosen by chance."""
    chance = np.random.default_rng(seed)
    made = []
    for turn in range(turns):
        skill = np.linspace(-2.0, 1.0, STEPS) + 3.0 * turn / turns
        offers = chance.integers(1, TOP + 1, STEPS)
        good = chance.random(STEPS) < 1 / (1 + np.exp(-(skill + 0.8 * (TOP - offers))))
        marks = [
            Mark(step, int(o), Status.DONE, int(o) if yes else 0, TOP if yes else int(o) - 1)
            for step, (o, yes) in enumerate(zip(offers, good, strict=True))
        ]
        made.append((turn // turns_a_day, marks))
    return made


def replayed(turns: list[tuple[int, list[Mark]]]) -> SkillTracker:
    """A tracker that has seen the log."""
    tracker = SkillTracker(STEPS)
    for day, marks in turns:
        tracker.record(day, marks)
    return tracker


def timed(work: Callable[[], object], times: int = 7) -> tuple[float, float]:
    """Best wall and processor time of a few runs, milliseconds."""
    walls, processors = [], []
    for _ in range(times):
        wall, processor = time.perf_counter(), time.process_time()
        work()
        walls.append(time.perf_counter() - wall)
        processors.append(time.process_time() - processor)
    return 1000 * min(walls), 1000 * min(processors)


def readvised(text: str) -> str:
    """One child's advice from saved state."""
    tracker = SkillTracker.from_text(text)
    return str(tracker.advise().decision)


def caseload(text: str) -> float:
    """Seconds to advise a thousand children again on two processes."""
    start = time.perf_counter()
    with ProcessPoolExecutor(2) as pool:
        list(pool.map(readvised, [text] * CHILDREN, chunksize=50))
    return time.perf_counter() - start


def main() -> None:
    """Print the table."""
    for turns_a_day in (1, 4):
        turns = log(TURNS, turns_a_day)
        replayed(turns)
        wall, processor = timed(lambda turns=turns: replayed(turns))
        print(
            f"replay {TURNS} turns x {STEPS} steps, {turns_a_day} a day: {wall:.0f} ms wall, "
            f"{processor:.0f} ms processor (bar 150)"
        )
        tracker = replayed(turns)
        day = TURNS // turns_a_day + 1

        def fresh(tracker: SkillTracker = tracker, day: int = day) -> object:
            tracker._views.clear()
            return tracker.advise(day)

        wall, processor = timed(fresh)
        print(f"  advice: {wall:.1f} ms wall, {processor:.1f} ms processor (bar 10)")
        size, text = len(pickle.dumps(tracker.state)) / STEPS / 1000, len(tracker.to_text()) / STEPS / 1000
        print(f"  state: {size:.1f} kB a step (bar 35), as text {text:.1f}")
    for factor in (1, 2, 4):
        _, processor = timed(lambda factor=factor: replayed(log(TURNS * factor, 4)), 3)
        print(f"  {TURNS * factor} turns, log made too: {processor:.0f} ms processor")
    seconds = caseload(tracker.to_text())
    print(f"advise {CHILDREN} children again from saved text, 2 processes: {seconds:.1f} s (bar 30)")


if __name__ == "__main__":
    main()
