"""The press: words stay words, equal data give equal bytes, a hole in the page stops the run."""

from __future__ import annotations

import io
from pathlib import Path

import pikepdf
import pypdfium2
import pytest

from bylittle.printing.press import TEMPLATES, Press, UnprintablePage

PAGE = """#import "house.typ"
#set document(title: house.d.title)
#show: house.page-text.with(lang: house.d.lang)
= #house.d.title
#house.d.text
"""


@pytest.fixture
def press(tmp_path: Path) -> Press:
    (tmp_path / "house.typ").write_text((TEMPLATES / "house.typ").read_text("utf-8"), "utf-8")
    (tmp_path / "page.typ").write_text(PAGE, "utf-8")
    return Press(templates=tmp_path)


def text_of(pdf: bytes) -> str:
    return str(pypdfium2.PdfDocument(pdf)[0].get_textpage().get_text_range())


def test_words_of_a_user_are_never_markup(press: Press) -> None:
    words = '#read("/etc/passwd") *bold* $x$ \\ "quoted"'
    assert words in text_of(press.print("page.typ", {"title": "T", "lang": "en", "text": words}))


def test_equal_data_give_equal_bytes(press: Press) -> None:
    data = {"title": "T", "lang": "en", "text": "Pull up"}
    assert press.print("page.typ", data) == press.print("page.typ", data)
    assert press.print("page.typ", data) != press.print("page.typ", {**data, "text": "Push"})


def test_a_page_is_tagged_and_says_its_language(press: Press) -> None:
    """ISO 14289-1 (PDF/UA-1): marked content, a language, a title and the part number in the metadata."""
    pdf = pikepdf.open(io.BytesIO(press.print("page.typ", {"title": "Hoja", "lang": "es", "text": "Tira"})))
    assert pdf.Root.MarkInfo.Marked
    assert str(pdf.Root.Lang) == "es"
    with pdf.open_metadata() as meta:
        assert meta["pdfuaid:part"] == "1"
        assert meta["dc:title"] == "Hoja"


def test_a_script_that_no_font_has_stops_the_run(press: Press) -> None:
    with pytest.raises(UnprintablePage) as told:
        press.print("page.typ", {"title": "T", "lang": "en", "text": "漢字"})
    assert told.value.values["template"] == "page.typ"
    assert "漢" in told.value.values["reason"]
