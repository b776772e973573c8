"""How long a family's pages take: a home plan with eight pictures after the first, and a whole visit."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date

import numpy as np
from PIL import Image, ImageFilter

from bylittle import library
from bylittle.core.plan.home_plan import Dose, HomePlan, PlannedStep, StopRule
from bylittle.library import drawings
from bylittle.printing import pictures
from bylittle.printing.home_plan import home_plan_pdf
from bylittle.printing.press import press
from bylittle.printing.setting import PageSetting
from bylittle.printing.visit_set import visit_set_pdf
from bylittle.reading.photos.finish import written

PROMISED_MS, PROMISED_BYTES, ROUNDS = 150.0, 2_000_000, 15
SETTING = PageSetting(signed_by="Ines Falk, OT", signed_on=date(2026, 11, 28), allergies=("none known",))


def plan(number: int) -> HomePlan:
    """Eight steps of washing and drying hands, the last four asked; each number is a page of its own."""
    skill = library.skill("wash-hands")
    steps = [PlannedStep(step.id, str(step.name), str(step.cue)) for step in skill.steps]
    steps.append(PlannedStep("hang", "Hang up the towel", "Hang it up"))
    asked = tuple(
        replace(step, asked=place >= 4, help_level=3 if place >= 4 else None)
        for place, step in enumerate(steps)
    )
    return HomePlan(
        "B1",
        number,
        str(skill.name),
        asked,
        dose=Dose(3, 7, 5, str(skill.routine)),
        stop_rule=StopRule(("turns away",), ("reaches out",), call="Tern Bay Children's Therapy, 555-0100"),
        precautions=("Cream after washing.",),
        child="Bram",
    )


def eight_pictures(of: HomePlan) -> dict[str, pictures.StepPicture]:
    """A drawing for each step: the towel's hook borrows the finish."""
    shown = pictures.for_steps(of.steps, "wash-hands")
    return {**shown, "hang": pictures.of_drawing(drawings.drawing(drawings.FINISH))}


def eight_photos(of: HomePlan) -> dict[str, pictures.StepPicture]:
    """As heavy as saved photos may be: noise, each picture another one, nobody on any of them."""
    rng = np.random.default_rng(20261125)
    noise = (Image.fromarray(rng.integers(0, 256, (720, 720, 3), dtype=np.uint8)) for _ in of.steps)
    soft = (written(picture.filter(ImageFilter.GaussianBlur(1.2))) for picture in noise)
    return {
        step.step_id: pictures.of_photo(photo, step.name) for step, photo in zip(of.steps, soft, strict=True)
    }


def timed(make: Callable[[HomePlan], bytes]) -> tuple[float, list[float], int]:
    """Milliseconds of the first and of the later pages (each different), and the largest file in bytes."""
    times, largest = [], 0
    for number in range(1, ROUNDS + 2):
        start = time.perf_counter()
        largest = max(largest, len(make(plan(number))))
        times.append((time.perf_counter() - start) * 1000)
    return times[0], times[1:], largest


def main() -> int:
    """Print the times; 1 where the promise for the home plan is broken."""
    shown, photos = eight_pictures(plan(1)), eight_photos(plan(1))
    assert len(shown) == 8
    first, later, size = timed(lambda each: home_plan_pdf(each, SETTING, press(), pictures=shown))
    print(f"home plan, eight pictures: first {first:.0f} ms, then median {statistics.median(later):.0f} ms")
    print(
        f"  (fastest {min(later):.0f}, slowest {max(later):.0f}; promised {PROMISED_MS:.0f}); {size:,} bytes"
    )
    _, own, own_size = timed(lambda each: home_plan_pdf(each, SETTING, press(), pictures=photos))
    print(
        f"home plan, eight own photos of 100 kB: median {statistics.median(own):.0f} ms, {own_size:,} bytes"
    )
    _, visit, visit_size = timed(lambda each: visit_set_pdf(each, SETTING, press(), pictures=shown))
    told = f"{statistics.median(visit):.0f} ms, {visit_size:,} bytes"
    print(f"home plan, strip and cards in one file: median {told}")
    slowest = max(statistics.median(later), statistics.median(own))
    kept = slowest <= PROMISED_MS and max(size, own_size, visit_size) <= PROMISED_BYTES
    return 0 if kept else 1


if __name__ == "__main__":
    raise SystemExit(main())
