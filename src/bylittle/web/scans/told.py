"""What a sheet's page tells beside the picture: how it fits the record, and what was done with it by whom."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime

from bylittle.core.sheet import identity
from bylittle.web.plans import copies
from bylittle.web.scans import compared, queries
from bylittle.web.scans.models import Scan
from bylittle.web.scans.shown import Sheet, date_words, entry_words
from bylittle.workflows.read_sheet import days_of, first_day

OPEN_THINGS = {
    "rows": "the marks that are not clear",
    "adults": "who practised",
    "start": "the first day",
    "free_word": "what the family wrote",
    "week": "which week this is, or whose turns",
    "changed": "the marks that the record says otherwise",
}
_PLAIN = {
    "aside": "set aside",
    "taken up": "taken up again",
    "accepted": "put into the record ({count} marks)",
    "undone": "taken out of the record ({count} marks)",
    "moved": "filed here; before under {was}",
    "typed": "number typed by hand: {now}",
}


@dataclass(frozen=True, slots=True)
class Clash:
    """A row that the record says otherwise: which one, what stands, what this sheet says."""

    title: str
    stands: str
    here: str


def clashes(sheet: Sheet) -> list[Clash]:
    """The rows that the record says otherwise, in the order of the page."""
    told = compared.compared(sheet.scan)
    return [
        Clash(sheet.titled(row), entry_words(old, sheet.home), entry_words(new, sheet.home))
        for row, old, new in (told.changed if told else ())
    ]


def which(scan: Scan) -> str:
    """Which sheet of its plan it is, in a few words."""
    number = identity.read(scan.sheet)
    start = scan.start or number.start
    week = f"days from {date_words(start)}, " if start else ""
    return f"{week}copy {number.copy}, page {number.page}"


def left(scan: Scan) -> int:
    """How many things of a waiting sheet a person must still settle."""
    asked = sum(not each.chosen for each in Sheet(scan).asked())
    words = queries.written_on(scan) and scan.free_word is None and not compared.words_before(scan)
    told = compared.compared(scan)
    undated = first_day(queries.page(scan), queries.answers(scan)) is None
    return asked + words + undated + bool(told and told.clashes and not scan.week)


def beside(scan: Scan) -> str:
    """Which other prints have marks of the same days in the record, in a few words."""
    theirs = {f"copy {identity.read(each.sheet).copy}{_whose(each)}" for each in compared.other_prints(scan)}
    return "; ".join(sorted(theirs))


def print_of(scan: Scan) -> copies.Copy | None:
    """The print that this is a photograph of, as the page of its plan tells it."""
    assert scan.plan is not None
    number = queries.page(scan).sheet
    every = copies.all_of(scan.plan)
    return next((each for each in every if (each.letter, each.start) == (number.copy, number.start)), None)


def _whose(scan: Scan) -> str:
    found = print_of(scan)
    return f", {found.whose}" if found and found.whose else ""


def span(scan: Scan) -> tuple[date, date] | None:
    """The first and the last day of the page, as far as they are known."""
    page = queries.page(scan)
    start = first_day(page, queries.answers(scan))
    return days_of(page, start) if start else None


def printed_span(scan: Scan) -> tuple[date, date] | None:
    """The days as they are printed."""
    page = queries.page(scan)
    return days_of(page, page.sheet.start) if page.sheet.start else None


def trail(sheet: Sheet) -> Iterator[tuple[str, str, str]]:
    """What was done with the sheet, oldest first: (when, who, what)."""
    yield date_words(sheet.scan.at.date()), sheet.scan.by.shown_name, f"sent in as {sheet.scan.name}"
    for each in sheet.scan.trail:
        yield date_words(datetime.fromisoformat(each["at"]).date()), each["by"], _done(sheet, each)


def _done(sheet: Sheet, each: dict[str, str]) -> str:
    what = each["what"]
    if what in _PLAIN:
        return _PLAIN[what].format(**each)
    if what == "who":
        return f"{sheet.day(int(each['day']))}: practised by {_who(each['now'])}"
    if what == "free word":
        return f"the family wrote: “{each['now']}”" if each["now"] else "nothing to keep of what was written"
    if what == "start":
        return f"first day said: {each['now']}" if each["now"] else "the printed days count"
    if what == "turns":
        person = each["now"] == compared.PERSON
        return "other turns of the same days" if person else "not other turns of the same days"
    now = sheet.said(each["row"], each["now"] or None)
    if what == "settled" and "was" not in each:
        return f"{sheet.titled(each['row'])}: settled as {now}"
    word = "changed by hand from" if what == "settled" else "read as"
    return f"{sheet.titled(each['row'])}: {word} {sheet.said(each['row'], each.get('was'))}, now {now}"


def _who(name: str) -> str:
    return {"?": "somebody not known", "": "whoever is ticked"}.get(name, name)
