"""A report as a Word file to edit: real headings, header rows, core properties, DRAFT on every page."""

from __future__ import annotations

import io
from datetime import UTC, datetime, time
from typing import Any

from docx import Document
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Mm, Pt, RGBColor

from bylittle.library.wording.reports import Grid, Report, Section, page_words, reference_words
from bylittle.look.palette import ACCENT, CAUTION, INK, QUIET
from bylittle.printing.report import LETTER_PT, THERAPIST_PT, shown
from bylittle.printing.setting import Paper

FAMILY = "Atkinson Hyperlegible Next"
SIZES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


def report_docx(report: Report, *, paper: Paper = "a4") -> bytes:
    """The DOCX. Behind each sentence stands what it rests on, in smaller type; not in the family's letter."""
    words, document = page_words(report), Document()
    _style(document, report)
    _properties(document, report)
    _page(document, report, words, paper)
    _head(document, report, words)
    for section in shown(report):
        _section(document, section, report, words)
    if words["unreviewed"]:
        _quiet(document.add_paragraph().add_run(words["unreviewed"]))
    if report.signed:
        document.add_paragraph().add_run(words["signed"]).bold = True
    out = io.BytesIO()
    document.save(out)
    return out.getvalue()


def _style(document: Any, report: Report) -> None:
    size = LETTER_PT if report.for_family else THERAPIST_PT
    for name, points, colour in (
        ("Normal", size, INK), ("Title", size * 1.75, INK), ("Heading 1", size * 1.2, ACCENT),
        ("Heading 2", size, INK),
    ):  # fmt: skip
        style = document.styles[name]
        style.font.name, style.font.size, style.font.color.rgb = FAMILY, Pt(points), _colour(colour)
        fonts = style.element.get_or_add_rPr().get_or_add_rFonts()
        for kind in ("w:ascii", "w:hAnsi", "w:cs", "w:eastAsia"):
            fonts.set(qn(kind), FAMILY)
        for theme in ("w:asciiTheme", "w:hAnsiTheme", "w:cstheme", "w:eastAsiaTheme"):
            fonts.attrib.pop(qn(theme), None)
    language = document.styles["Normal"].element.get_or_add_rPr()
    told = OxmlElement("w:lang")
    told.set(qn("w:val"), {"en": "en-GB", "es": "es-ES"}.get(report.language, report.language))
    language.append(told)


def _colour(told: str) -> RGBColor:
    return RGBColor.from_string(told.removeprefix("#"))


def _properties(document: Any, report: Report) -> None:
    about, made = document.core_properties, datetime.combine(report.made_on, time(12), UTC)
    about.title, about.language = f"{report.title}: {report.child}", report.language
    about.author = report.signed_by or report.service
    about.subject, about.keywords = report.title, ""
    about.comments = "" if report.signed else page_words(report)["draft"]
    about.content_status = "final" if report.signed else "draft"
    about.created = about.modified = made.replace(tzinfo=None)
    about.last_modified_by = report.signed_by or report.service


def _page(document: Any, report: Report, words: dict[str, str], paper: Paper) -> None:
    section = document.sections[0]
    section.page_width, section.page_height = (Mm(side) for side in SIZES[paper])
    section.left_margin = section.right_margin = Mm(20)
    head = section.header.paragraphs[0]
    if not report.signed:
        run = head.add_run(words["draft"])
        run.bold, run.font.color.rgb = True, _colour(CAUTION)
    foot = section.footer.paragraphs[0]
    told = (report.service, report.child, report.title, words["signed"] if report.signed else words["draft"])
    _quiet(foot.add_run(" · ".join(part for part in told if part) + f" · {words['page']} "))
    _field(foot, "PAGE")
    _quiet(foot.add_run(f" {words['of']} "))
    _field(foot, "NUMPAGES")


def _quiet(run: Any) -> None:
    run.font.size, run.font.color.rgb = Pt(8.5), _colour(QUIET)


def _field(paragraph: Any, name: str) -> None:
    """A field that Word fills in: the page's number, the number of pages."""
    run = paragraph.add_run()
    _quiet(run)
    for kind, text in (("begin", None), (None, name), ("end", None)):
        part = OxmlElement("w:instrText" if text else "w:fldChar")
        if text:
            part.text = text
        else:
            part.set(qn("w:fldCharType"), kind)
        run._r.append(part)


def _head(document: Any, report: Report, words: dict[str, str]) -> None:
    document.add_paragraph(report.title, style="Title")
    if report.for_family:
        document.add_paragraph(words["made"])
        document.add_paragraph(words["greeting"])
        return
    who = document.add_paragraph()
    who.add_run(report.child).bold = True
    who.add_run(f", {words['born']} · {words['period']}")
    _quiet(document.add_paragraph().add_run(f"{report.service} · {words['made']}"))


def _section(document: Any, section: Section, report: Report, words: dict[str, str]) -> None:
    if section.title:
        document.add_heading(section.title, level=1)
    for line in section.lines:
        paragraph = document.add_paragraph(line.text)
        rests_on = reference_words(line.refers_to)
        if rests_on and not report.for_family:
            _quiet(paragraph.add_run(f"  [{rests_on}{', ' + words['edited'] if line.edited else ''}]"))
    if section.figures:
        _quiet(document.add_paragraph().add_run(words["graph_elsewhere"]))
    for grid in section.grids:
        _table(document, grid)
    if section.ask and not (report.signed and not section.written):
        _own_words(document, section, words)


def _own_words(document: Any, section: Section, words: dict[str, str]) -> None:
    label = words.get("opinion", "") if section.written else words["yours"]
    if label:
        run = document.add_paragraph().add_run(label)
        run.bold, run.font.color.rgb = True, _colour(ACCENT)
    for part in section.written.split("\n") if section.written else ():
        if part.strip():
            document.add_paragraph(part.strip())
    if not section.written:
        _quiet(document.add_paragraph().add_run(section.ask))
        document.add_paragraph()


def _table(document: Any, grid: Grid) -> None:
    document.add_heading(grid.title, level=2)
    table = document.add_table(rows=1, cols=len(grid.head), style="Table Grid")
    for cell, words in zip(table.rows[0].cells, grid.head, strict=True):
        cell.text = ""
        cell.paragraphs[0].add_run(words).bold = True
    _as_header(table.rows[0])
    for row in grid.rows:
        for cell, words in zip(table.add_row().cells, row, strict=True):
            cell.text = words
    document.add_paragraph()


def _as_header(row: Any) -> None:
    """Marks a row as the table's head: repeated on each page and told to screen readers."""
    mark = OxmlElement("w:tblHeader")
    mark.set(qn("w:val"), "true")
    row._tr.get_or_add_trPr().append(mark)
