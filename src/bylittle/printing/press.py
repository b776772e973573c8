"""The press: one set of fonts, one compiler a thread, a template and its data in, a tagged PDF out.

Words of users travel as data and are never parsed as markup. Every page is PDF/UA-1, so a missing title,
picture text or glyph stops the run; the fixed time stamp makes equal data equal bytes.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any, cast

import typst

from bylittle.core.faults import Fault
from bylittle.look.palette import PALETTE

_HERE = Path(__file__).parent
FONTS = _HERE / "fonts"
TEMPLATES = _HERE / "templates"
FAMILIES = ("Atkinson Hyperlegible Next", "Noto Sans", "Noto Sans Arabic")
FIXED_TIME = 1_767_225_600  # 2026-01-01; the page says its own date in words where it needs one


class UnprintablePage(Fault):
    """The page could not be set: `template` and the press's own `reason` (a missing glyph, say)."""

    code = "unprintable_page"


class Press:
    """Holds the fonts (loaded once) and one compiler for each thread that prints."""

    def __init__(self, templates: Path = TEMPLATES) -> None:
        self._templates = templates
        self._fonts = typst.Fonts(
            include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)]
        )
        self._local = threading.local()

    def print(self, template: str, data: Mapping[str, Any]) -> bytes:
        """The PDF of `template` (a file name under the templates) set with `data` (JSON values).

        The template finds its data with `#let d = house.data()`, colours and font families in it as
        `d.palette` and `d.families`. Pictures go in as SVG text: `image(bytes(d.drawing), alt: ...)`.
        Raises `UnprintablePage`.
        """
        inputs = {"d": json.dumps({**data, "palette": dict(PALETTE), "families": FAMILIES})}
        try:
            pdf = self._compiler().compile(
                str(self._templates / template),
                sys_inputs=inputs,
                pdf_standards="ua-1",
                timestamp=FIXED_TIME,
            )
        except typst.TypstError as problem:
            raise UnprintablePage(template=template, reason=str(problem)) from problem
        return cast("bytes", pdf)

    def _compiler(self) -> typst.Compiler:
        if not hasattr(self._local, "compiler"):
            self._local.compiler = typst.Compiler(root=str(self._templates), font_paths=self._fonts)
        compiler: typst.Compiler = self._local.compiler
        return compiler


@cache
def press() -> Press:
    """The one press of this process: fonts take a moment to load, so they are loaded once."""
    return Press()
