"""Plans of the invented Tern Bay scenario for tests of the printed pages, and ways to look at a PDF."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pypdfium2
from PIL import Image

from bylittle import library
from bylittle.core.plan.home_plan import Dose, HomePlan, PlannedStep, StopRule
from bylittle.printing import pictures
from bylittle.printing.home_plan import home_plan_pdf
from bylittle.printing.picture_strip import picture_strip_pdf
from bylittle.printing.press import press
from bylittle.printing.setting import PageSetting

APPROVED = Path(__file__).parent / "printing" / "approved"
APPROVED_DPI = 36
BOOT, WASH = "pull-on-rain-boot", "wash-hands"
SIGNED = PageSetting(signed_by="Ines Falk, OT", signed_on=date(2026, 11, 28), allergies=("none known",))
DRAFT = PageSetting()
SIGNS = {
    "en": (("turns away", "goes stiff"), ("reaches for it", "smiles"), ("Sit to do it, back to a wall.",)),
    "es": (("se da la vuelta", "se pone rígida"), ("lo busca", "sonríe"), ("Sentada, con pared detrás.",)),
}


def plan_of(
    skill_id: str, asked: set[int], level: int, language: str = "en", child: str = "Wren"
) -> HomePlan:
    """A plan from a ready skill; `asked`: places of the asked steps, from 0."""
    skill = library.skill(skill_id)
    stop, yes, precautions = SIGNS[language]
    steps = tuple(
        PlannedStep(
            step.id,
            step.name.text(language),
            step.cue.text(language),
            place in asked,
            level if place in asked else None,
            step.hazard.text(language) if step.hazard else "",
        )
        for place, step in enumerate(skill.steps)
    )
    return HomePlan(
        "7F3A9C",
        3,
        skill.name.text(language),
        steps,
        dose=Dose(4, 7, 5, skill.routine.text(language)),
        stop_rule=StopRule(stop, yes, call="Tern Bay Children's Therapy, 555-0100"),
        precautions=precautions,
        adults=("Mum", "Nana"),
        child=child,
        start=date(2026, 11, 30),
        language=language,
    )


WREN = plan_of(BOOT, {4, 5}, 1)
WREN_ES = plan_of(BOOT, {4, 5}, 1, "es")
BRAM = plan_of(WASH, set(range(7)), 3, child="Bram")
BRAM_ES = plan_of(WASH, set(range(7)), 3, "es", "Bram")
ONE = replace(WREN, steps=WREN.steps[4:5])
EIGHT = replace(
    BRAM,
    steps=(*BRAM.steps, PlannedStep("switch", "Hang the towel on its hook", "Hang it up", True, 4)),
)


def text_of(pdf: bytes, page: int | None = None) -> str:
    """The words of a PDF in reading order, one space between words."""
    document = pypdfium2.PdfDocument(pdf)
    wanted = range(len(document)) if page is None else (page,)
    text = " ".join(document[n].get_textpage().get_text_range() for n in wanted)
    return " ".join(text.replace("\ufffe", "-").split())


def page_count(pdf: bytes) -> int:
    return len(pypdfium2.PdfDocument(pdf))


def grey(pdf: bytes, dpi: int = APPROVED_DPI, page: int = 0) -> np.ndarray:
    """One page as an array of greys, 0 black to 255 white."""
    drawn = pypdfium2.PdfDocument(pdf)[page].render(scale=dpi / 72).to_pil().convert("L")
    return np.asarray(drawn)


def pages_to_approve() -> dict[str, bytes]:
    """The pages whose look was approved by eye; `python -m tests.printed_plans` writes them anew."""
    spanish = replace(SIGNED, language="es", paper="letter")
    return {
        "home_plan_en_a4": home_plan_pdf(WREN, SIGNED, press()),
        "home_plan_es_letter": home_plan_pdf(WREN_ES, spanish, press()),
        "home_plan_ar_a4": home_plan_pdf(WREN, replace(SIGNED, language="ar"), press()),
        "strip_draft_a4": picture_strip_pdf(BRAM, DRAFT, press(), pictures=pictures.for_steps(BRAM.steps)),
    }


def main() -> None:
    APPROVED.mkdir(exist_ok=True)
    for name, pdf in pages_to_approve().items():
        held = io.BytesIO()
        Image.fromarray(grey(pdf)).quantize(16).save(held, format="PNG", optimize=True)
        (APPROVED / f"{name}.png").write_bytes(held.getvalue())
        print(name, len(held.getvalue()), "bytes")


if __name__ == "__main__":
    main()
