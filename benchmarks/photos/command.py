"""`python -m benchmarks photos [--photos N] [--kind K] [--defects] [--speed] [--seed S] [--jobs J]`.

Without arguments: a short table of every kind, every defect alone, and the speed. Nothing is downloaded.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import partial

import cv2
import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from benchmarks.photos import kinds
from benchmarks.photos.camera import Shot, photograph
from benchmarks.photos.rates import HEAD, Rates, rates
from benchmarks.photos.scene import a_scene, something_else
from bylittle.reading.reader import NotRead, Reading
from bylittle.reading.upload import read_upload

BATCH = 10


def main(argv: list[str]) -> int:
    """The tables asked for; 1 where a sheet was taken for another."""
    parser = argparse.ArgumentParser(prog="benchmarks photos", description=__doc__)
    parser.add_argument("--photos", type=int, default=8, help="photographs of each kind")
    parser.add_argument("--kind", choices=list(kinds.KINDS), help="one kind only")
    parser.add_argument("--defects", action="store_true", help="only the defects, one at a time")
    parser.add_argument("--speed", action="store_true", help="only the speed and memory")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    args = parser.parse_args(argv)
    everything = not (args.kind or args.defects or args.speed)
    shoots: dict[str, Callable[[Generator], Shot]] = {}
    if everything or args.kind:
        shoots |= {name: kinds.KINDS[name] for name in ([args.kind] if args.kind else kinds.KINDS)}
    if everything or args.defects:
        shoots |= {name: partial(kinds.alone, name) for name in kinds.DEFECTS}
    told = _table(shoots, args)
    if everything:
        print(f"pictures of something else refused: {_others(args.seed, 40)} of 40")
        print(f"two sheets in one picture told: {_two_sheets(args.seed, 10)} of 10")
        print(f"mirrored photographs read: {_mirrored(args.seed, 10)} of 10")
    if everything or args.speed:
        _speed(args.seed)
    return int(any(counted.wrong_sheet for counted in told.values()))


def _table(shoots: dict[str, Callable[[Generator], Shot]], args: argparse.Namespace) -> dict[str, Rates]:
    told: dict[str, Rates] = {}
    if shoots:
        print(HEAD)
    with ProcessPoolExecutor(args.jobs, initializer=cv2.setNumThreads, initargs=(1,)) as pool:
        for name, shoot in shoots.items():
            seeds = range(args.seed * 1_000_000, args.seed * 1_000_000 + args.photos)
            batches = [seeds[at : at + BATCH] for at in range(0, len(seeds), BATCH)]
            counted = Rates()
            for part in pool.map(partial(rates, name, shoot), batches):
                counted.join(part)
            told[name] = counted
            print(counted.line(name), dict(counted.refusals) or "", flush=True)
            for wrong in counted.wrong:
                print("   ", wrong)
    return told


def _others(seed: int, count: int) -> int:
    pictures = (something_else(np.random.default_rng([seed, number])) for number in range(count))
    results = (result for picture in pictures for result in read_upload("other", picture))
    return sum(isinstance(result.outcome, NotRead) for result in results)


def _two_sheets(seed: int, count: int) -> int:
    """Pictures of two sheets side by side that are refused for just that."""
    told = 0
    for number in range(count):
        sides = [_pixels(seed, 2 * number + side) for side in (0, 1)]
        (result,) = read_upload("two", _jpeg(np.hstack(sides)))
        told += isinstance(result.outcome, NotRead) and result.outcome.refusal.code == "several_sheets"
    return told


def _mirrored(seed: int, count: int) -> int:
    """Mirrored everyday photographs that are read."""
    pictures = (_jpeg(cv2.flip(_pixels(seed, number), 1)) for number in range(count))
    return sum(isinstance(read_upload("mirrored", data)[0].outcome, Reading) for data in pictures)


def _pixels(seed: int, number: int) -> NDArray[np.uint8]:
    """An everyday photograph of a sheet."""
    rng = np.random.default_rng([seed, number, 2])
    scene = a_scene(rng)
    shot = replace(kinds.everyday(rng), width=2400, height=3200, turn=0.0, megapixels=0.0)
    data = photograph(scene.page, scene.scale, shot, rng)
    return np.asarray(cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR), np.uint8)


def _jpeg(pixels: NDArray[np.uint8]) -> bytes:
    return bytes(cv2.imencode(".jpg", pixels)[1])


def _speed(seed: int) -> None:
    """Median time for 12-megapixel photographs against their own decode, and the memory of one reading."""
    times, ratios = [], []
    for number in range(7):
        data = twelve_megapixels(seed + number)
        decode = min(
            _timed(lambda data=data: cv2.imdecode(np.frombuffer(data, np.uint8), 1)) for _ in range(3)
        )
        read = min(_timed(lambda data=data: read_upload("speed", data)) for _ in range(3))
        times.append(read)
        ratios.append(read / decode)
    print(
        f"12-megapixel photographs: median {statistics.median(times):.3f} s, "
        f"{statistics.median(ratios):.1f} times their own decode; {_memory(seed):.0f} MB at most"
    )


def twelve_megapixels(seed: int) -> bytes:
    """An everyday photograph of 4,000 by 3,000 pixels."""
    rng = np.random.default_rng([seed, 12])
    scene = a_scene(rng)
    shot = kinds.everyday(rng)
    fields = {name: getattr(shot, name) for name in shot.__slots__}
    size = {"width": 3000, "height": 4000} if shot.height > shot.width else {"width": 4000, "height": 3000}
    return photograph(scene.page, scene.scale, Shot(**{**fields, **size, "quality": 90}), rng)


def _timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def _memory(seed: int) -> float:
    """Megabytes that a process of its own needs at most to read one photograph."""
    code = (
        "import sys; from bylittle.reading.upload import read_upload;"
        "read_upload('memory', sys.stdin.buffer.read());"
        "print(next(line.split()[1] for line in open('/proc/self/status') if line.startswith('VmHWM')))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], input=twelve_megapixels(seed), capture_output=True, check=True
    )
    return int(done.stdout) / 1024
