"""Printed reports: DRAFT on every page until signed, tagged PDF, a Word file with real structure."""

from __future__ import annotations

import io
from dataclasses import replace

import pikepdf
import pypdfium2
import pytest
from docx import Document
from docx.oxml.ns import qn

from bylittle.library.wording.reports import KINDS, Report, signed, with_words
from bylittle.printing.report import report_data, report_pdf
from bylittle.printing.report_docx import report_docx
from bylittle.workflows.report import draft_report
from tests.child_records import TODAY, example, full, six_months

HARD = '#read("x") *bold* $x$ <script> – “quoted” \\ é'


def pages(pdf: bytes) -> list[str]:
    return [str(page.get_textpage().get_text_range()) for page in pypdfium2.PdfDocument(pdf)]


def flat(text: str) -> str:
    return " ".join(text.split())


def sign(report: Report) -> Report:
    for section in report.sections:
        if section.needed:
            report = with_words(report, section.code, "First line.\nSecond line.")
    return signed(report, "Ines Falk", TODAY)


@pytest.mark.parametrize("kind", KINDS)
def test_draft_stands_on_every_page_and_is_gone_when_signed(kind: str) -> None:
    draft = draft_report(six_months(), kind, TODAY)
    assert all(page.count("DRAFT") >= 2 for page in pages(report_pdf(draft)))
    done = pages(report_pdf(sign(draft)))
    assert not [page for page in done if "DRAFT" in page]
    assert all("Signed by Ines Falk, 25 Nov 2026" in flat(page) for page in done)


def test_a_spanish_draft_says_so_in_both_languages() -> None:
    record = replace(example("Pip"), child=replace(example("Pip").child, language="es"))
    told = pages(report_pdf(draft_report(record, "family-letter", TODAY)))
    assert all("BORRADOR" in page and "DRAFT" in page for page in told)


def test_every_sentence_is_printed_with_what_it_rests_on() -> None:
    report = draft_report(example("Otto"), "progress-note", TODAY)
    text = flat(" ".join(pages(report_pdf(report))))
    for section in report.sections:
        for line in section.lines:
            assert flat(line.text)[:40] in text, line.code
    assert "practice log" in text


def test_the_pdf_is_tagged_and_named() -> None:
    with pikepdf.open(io.BytesIO(report_pdf(draft_report(example(), "ifsp-review", TODAY)))) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.Root.Lang).startswith("en")
        assert str(pdf.docinfo["/Title"]) == "IFSP six-month review"


def test_equal_reports_give_equal_bytes_and_letter_paper_is_another() -> None:
    report = draft_report(example(), "iep-progress", TODAY)
    assert report_pdf(report) == report_pdf(report)
    page = pypdfium2.PdfDocument(report_pdf(report, paper="letter"))[0]
    assert [round(side) for side in page.get_size()] == [612, 792]


def test_words_of_people_are_never_markup() -> None:
    report = with_words(draft_report(example(), "iep-progress", TODAY), "judgement", HARD)
    text = flat(" ".join(pages(report_pdf(report))))
    assert flat(HARD) in text
    assert HARD in "\n".join(p.text for p in Document(io.BytesIO(report_docx(report))).paragraphs)


def test_an_edited_sentence_is_marked() -> None:
    from bylittle.library.wording.reports import with_line

    report = with_line(
        draft_report(example(), "progress-note", TODAY), "objective", 0, "Practised most days."
    )
    assert "edited" in " ".join(pages(report_pdf(report)))


def test_the_letter_is_large_and_without_a_margin() -> None:
    report = draft_report(example("Pip"), "family-letter", TODAY)
    assert report_data(report)["size"] >= 14
    assert "practice log" not in " ".join(pages(report_pdf(report)))


def docx(report: Report):  # type: ignore[no-untyped-def]
    return Document(io.BytesIO(report_docx(report)))


@pytest.mark.parametrize("kind", KINDS)
def test_the_word_file_holds_every_sentence_and_draft_in_head_and_foot(kind: str) -> None:
    report = draft_report(full(), kind, TODAY)
    document = docx(report)
    text = "\n".join(paragraph.text for paragraph in document.paragraphs)
    assert all(line.text in text for section in report.sections for line in section.lines)
    assert "DRAFT" in document.sections[0].header.paragraphs[0].text
    assert "DRAFT" in document.sections[0].footer.paragraphs[0].text
    assert document.core_properties.content_status == "draft"


def test_the_word_file_has_headings_header_rows_and_properties() -> None:
    report = draft_report(full(), "ifsp-review", TODAY)
    document = docx(report)
    headings = [p.text for p in document.paragraphs if p.style.name == "Heading 1"]
    assert headings == [section.title for section in report.sections]
    assert document.tables
    for table in document.tables:
        assert table.rows[0]._tr.trPr.find(qn("w:tblHeader")) is not None
    about = document.core_properties
    assert (about.title, about.language, about.author) == (f"{report.title}: Otto", "en", report.service)


def test_a_signed_word_file_names_the_signer_and_no_draft() -> None:
    document = docx(sign(draft_report(full(), "discharge", TODAY)))
    assert document.core_properties.author == "Ines Falk"
    assert not document.sections[0].header.paragraphs[0].text
    assert "Signed by Ines Falk" in document.sections[0].footer.paragraphs[0].text
    assert "Yours to write" not in "\n".join(p.text for p in document.paragraphs)
