"""A sheet as its page shows it: what is asked with its crop, every row by day, signs on the picture."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.practice.log import Entry
from bylittle.core.practice.marks import Outcome
from bylittle.core.sheet import settle
from bylittle.core.sheet.geometry import Bubble
from bylittle.core.sheet.ink import BubbleInk, Ink, by_row
from bylittle.library.wording.sheet import HINDRANCES
from bylittle.web.scans import compared, free_word, queries
from bylittle.web.scans.models import Scan, ScanState
from bylittle.workflows.read_sheet import NOT_KNOWN, first_day, open_days, ticked

BLANK = "blank"
AROUND = 0.0165  # of the picture's width: the reach of a sign around its bubble
_PAD = 2.6  # reaches of a sign shown around a row


@dataclass(frozen=True, slots=True)
class Spot:
    """A bubble on the picture, in its pixels; `sign`: read, doubt, said, struck or none."""

    x: float
    y: float
    sign: str
    row: str
    value: str
    ink: str
    title: str


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer: its value, its word, the key that chooses it, and where its bubble stands in the crop."""

    value: str
    word: str
    key: str
    chosen: bool
    x: float = 0.0
    y: float = 0.0


@dataclass(frozen=True, slots=True)
class Asked:
    """Something to settle: its field, which row or day, why, its crop (x y width height), the answers.

    `keys_from`: where on the picture the strip with the keys begins, below the row; 0 for none.
    """

    field: str
    row: str
    title: str
    why: str
    crop: str
    choices: tuple[Choice, ...]
    keys_from: float = 0.0

    @property
    def chosen(self) -> bool:
        return any(choice.chosen for choice in self.choices)


@dataclass(frozen=True, slots=True)
class Line:
    """A row that was read clearly: its field and the answers, to be put right where the reading is wrong."""

    field: str
    row: str
    title: str
    value: str
    read: str
    choices: tuple[tuple[str, str], ...]
    hand: str = "changed by hand"

    @property
    def by_hand(self) -> bool:
        return self.value != self.read


@dataclass(frozen=True, slots=True)
class Day:
    """One day of the sheet: its date in words, who practised (None where that is asked), its clear rows."""

    title: str
    who: Line | None
    rows: tuple[Line, ...]
    asked: int

    @property
    def marked(self) -> int:
        return sum(line.value not in (BLANK, "") for line in self.rows)

    @property
    def empty(self) -> bool:
        """True where nothing was read, asked or said of the day."""
        return not self.marked and not self.asked and (self.who is None or not self.who.value)


class Sheet:
    """A scan under a plan, with what a person has said of it so far, or is just sending."""

    def __init__(self, scan: Scan, sent: Mapping[str, str] | None = None) -> None:
        assert scan.plan is not None
        self.scan, self.page, self.home = scan, queries.page(scan), queries.home(scan.plan)
        self.rows = by_row(self.page.bubbles)
        self.asked_rows = settle.rows_to_ask(self.page)
        self.ticked = ticked(self.page, queries.printed_on(scan), self.home.adults)
        self.open_days = self._open_days()
        self.before = compared.adults_before(scan)
        self.settled_before = compared.settled_before(scan)
        self.values = {**self._kept(), **self._sent(sent or {})}

    def _open_days(self) -> tuple[int, ...]:
        """Days that need a name, and those that would need one once their open rows are settled."""
        printed, said = queries.printed_on(self.scan), queries.answers(self.scan)
        sure = open_days(self.page, printed, self.home, said)
        perhaps = {
            self.rows[row][0].bubble.day or 1 for row in self.asked_rows if self.use(row) == "help"
        } - {*self.ticked, *said.adults}
        return tuple(sorted({*sure, *perhaps}))

    def _kept(self) -> dict[str, str]:
        kept = {f"row:{row}": self._value(row) for row in self.rows if self.use(row) != "who"}
        return kept | {f"who:{day}": self._adult(day) for day in self.days}

    def _sent(self, sent: Mapping[str, str]) -> dict[str, str]:
        known = {name for name in sent if name.startswith(("row:", "who:"))}
        return {name: sent[name] for name in known if sent[name] in self.allowed(name)}

    def allowed(self, name: str) -> tuple[str, ...]:
        """The values that a field may take; none for a field that there is not."""
        kind, _, place = name.partition(":")
        if kind == "row" and place in self.rows:
            return (*(ink.bubble.id for ink in self.rows[place]), BLANK)
        days = {str(day) for day in self.days}
        return tuple(value for value, _ in self.adults()) if kind == "who" and place in days else ()

    def use(self, row: str) -> str:
        return self.rows[row][0].bubble.use

    @property
    def days(self) -> tuple[int, ...]:
        """The days of this page, from 1."""
        told = {ink.bubble.day for ink in self.page.bubbles if ink.bubble.use == "help"}
        return tuple(sorted(day for day in told if day is not None))

    def _value(self, row: str) -> str:
        if row in self.scan.rows:
            return self.scan.rows[row] or BLANK
        if row in self.settled_before:
            return self.settled_before[row] or BLANK
        return "" if row in self.asked_rows else self.read(row)

    def read(self, row: str) -> str:
        """What a clear row was read as."""
        return settle.read_of(self.page, row) or BLANK

    def _adult(self, day: int) -> str:
        said = self.scan.adults.get(str(day))
        before = self.before.get(day, "") if day in self.open_days else ""
        return said or self.ticked.get(day) or before

    def adults(self) -> list[tuple[str, str]]:
        """Who may have practised; two together where the sheet has several ticked."""
        names = list(self.home.adults)
        several = {", ".join(self._names(places)) for places in settle.adults(self.page).values() if places}
        both = sorted(each for each in several if "," in each)
        earlier = [name for name in self.before.values() if name not in names]
        every = dict.fromkeys([*names, *both, *earlier, *self.scan.adults.values()])
        return [*((name, _together(name)) for name in every if name != NOT_KNOWN), (NOT_KNOWN, "not known")]

    def _names(self, places: tuple[int, ...]) -> list[str]:
        printed = queries.printed_on(self.scan)
        return [printed[place] for place in places if place < len(printed)]

    def asked(self) -> list[Asked]:
        """All that a person must settle, in the order of the page: rows and days."""
        found = [self._asked_row(row) for row in self.asked_rows]
        found += [self._asked_day(day) for day in self.open_days]
        order = {bubble.bubble.id: place for place, bubble in enumerate(self.page.bubbles)}
        return sorted(found, key=lambda each: order.get(each.choices[0].value, order.get(each.row, 10_000)))

    def _asked_row(self, row: str) -> Asked:
        inks, field = self.rows[row], f"row:{row}"
        doubtful = any(ink.state is Ink.DOUBTFUL for ink in inks)
        marked = sum(ink.state is Ink.MARKED for ink in inks)
        why = "one mark is not clear" if doubtful else f"{marked} marks are clear"
        if row in self.settled_before and row not in self.scan.rows:
            why = f"{why}; chosen is what the earlier photograph gave"
        answers = [(ink.bubble.id, self.word(ink.bubble), self._spot(ink)) for ink in inks]
        told = [(value, "ticked" if self.use(row) == "way" else word, at) for value, word, at in answers]
        told.append((BLANK, "not ticked" if self.use(row) == "way" else "blank", (0.0, 0.0)))
        choices = tuple(
            Choice(value, word, _key(value, number), value == self.values[field], *at)
            for number, (value, word, at) in enumerate(told, start=1)
        )
        below = max(at[1] for _, _, at in told) + 1.45 * self.reach
        return Asked(field, row, self.title(inks[0].bubble), why, self._crop(inks), choices, round(below))

    def _asked_day(self, day: int) -> Asked:
        inks = [ink for ink in self.page.bubbles if ink.bubble.use == "who" and ink.bubble.day == day]
        places = settle.adults(self.page).get(day)
        why = "a tick is not clear" if places is None else _count_words(len(places))
        field = f"who:{day}"
        choices = tuple(
            Choice(value, word, "0" if value == NOT_KNOWN else str(number), value == self.values[field])
            for number, (value, word) in enumerate(self.adults(), start=1)
        )
        row = inks[0].bubble.row if inks else ""
        crop = self._crop(inks, left=24.0) if inks else ""
        return Asked(field, row, f"{self.day(day)}: who practised?", why, crop, choices)

    def lines(self) -> list[Day]:
        """Every day with its clear rows; once nothing can be settled any more, with all its rows."""
        found = []
        settling = self.scan.state == ScanState.WAITING
        above = self.asked_rows if settling else ()
        for day in self.days:
            rows = [row for row in self.rows if self._stands_in(row, day)]
            clear = tuple(self._line(row) for row in rows if row not in above)
            told = any(line.value not in (BLANK, "") for line in clear) or self.values[f"who:{day}"]
            asks = settling and day in self.open_days
            found.append(
                Day(
                    self.day(day),
                    self._who(day) if told and not asks else None,
                    clear,
                    len(rows) - len(clear),
                )
            )
        return found

    def _stands_in(self, row: str, day: int) -> bool:
        return self.use(row) == "help" and self.rows[row][0].bubble.day == day

    def ways(self) -> list[Line]:
        """The boxes of "what got in the way?" that were read clearly; at the end all of them."""
        above = self.asked_rows if self.scan.state == ScanState.WAITING else ()
        rows = [row for row in self.rows if self.use(row) == "way" and row not in above]
        return [self._line(row) for row in rows]

    def notes(self) -> tuple[int, int, int, int] | None:
        """The crop of the room for a free word (x, y, width, height); None for a sheet of earlier days."""
        if free_word.TOP not in self.scan.places:
            return None
        (left, top), (right, foot) = (self.scan.places[name] for name in (free_word.TOP, free_word.FOOT))
        wide, high = self.scan.width, self.scan.height
        return (
            round(left * wide),
            round(top * high),
            round((right - left) * wide),
            round((foot - top) * high),
        )

    def _line(self, row: str) -> Line:
        inks, field = self.rows[row], f"row:{row}"
        way = self.use(row) == "way"
        told = [(ink.bubble.id, "ticked" if way else self.word(ink.bubble)) for ink in inks]
        choices = (*told, (BLANK, "not ticked" if way else "blank"))
        title = self.word(inks[0].bubble) if way else self.title(inks[0].bubble, dated=False)
        hand = "settled by hand" if row in self.asked_rows else "changed by hand"
        return Line(field, row, title, self.values[field], self.read(row), choices, hand)

    def _who(self, day: int) -> Line:
        choices = (("", "nobody ticked"), *self.adults())
        read = self.ticked.get(day, "")
        hand = "changed by hand" if read else "said by hand"
        return Line(f"who:{day}", "", "who", self.values[f"who:{day}"], read, choices, hand)

    def spots(self) -> Iterator[Spot]:
        """Every bubble of help and of what got in the way, with its sign; and the ticks of who practised."""
        for ink in self.page.bubbles:
            bubble, (x, y) = ink.bubble, self._spot(ink)
            sign = self._who_sign(ink) if bubble.use == "who" else self._sign(ink)
            title = f"{self.title(bubble)}: {self.word(bubble)}"
            yield Spot(
                x, y, sign, "" if bubble.use == "who" else bubble.row, bubble.id, ink.state.value, title
            )

    def _who_sign(self, ink: BubbleInk) -> str:
        return {Ink.MARKED: "read", Ink.DOUBTFUL: "doubt", Ink.BLANK: "none"}[ink.state]

    def _sign(self, ink: BubbleInk) -> str:
        value, row = self.values[f"row:{ink.bubble.row}"], ink.bubble.row
        seen = ink.state is not Ink.BLANK
        if not value:
            return "doubt" if seen else "none"
        if value == ink.bubble.id:
            return "said" if row in self.asked_rows or value != self.read(row) else "read"
        return "struck" if seen else "none"

    def _spot(self, ink: BubbleInk) -> tuple[float, float]:
        x, y = self.scan.places[ink.bubble.id]
        return round(x * self.scan.width, 1), round(y * self.scan.height, 1)

    @property
    def number(self) -> str:
        """The sheet's number in fours, as it is printed."""
        text = self.scan.sheet
        return " ".join(text[at : at + 4] for at in range(0, len(text), 4))

    @property
    def reach(self) -> float:
        return round(AROUND * self.scan.width, 1)

    def _crop(self, inks: list[BubbleInk], left: float = 0.0) -> str:
        spots = [self._spot(ink) for ink in inks]
        pad, more = _PAD * self.reach, left * self.reach / 3.4
        xs, ys = [x for x, _ in spots], [y for _, y in spots]
        x, y = max(0.0, min(xs) - pad - more), max(0.0, min(ys) - 0.7 * pad)
        right = pad if len(spots) > 1 or left else 12 * self.reach
        return f"{x:.0f} {y:.0f} {max(xs) + right - x:.0f} {max(ys) + 1.0 * pad - y:.0f}"

    def word(self, bubble: Bubble) -> str:
        """What a bubble says: a help level, a name, or what got in the way."""
        if bubble.use == "who":
            named = self._names((bubble.choice or 0,))
            return named[0] if named else f"adult {(bubble.choice or 0) + 1}"
        if bubble.use == "way":
            return HINDRANCES[bubble.choice or 0]
        return "child stopped" if bubble.choice is None else self.home.ladder.name(bubble.choice)

    def day(self, number: int) -> str:
        """A day of the sheet in words: its date where that is known."""
        start = first_day(self.page, queries.answers(self.scan))
        return f"Day {number}" if start is None else date_words(start + timedelta(days=number - 1))

    def title(self, bubble: Bubble, dated: bool = True) -> str:
        """Which row a bubble belongs to."""
        if bubble.use == "way":
            return f"What got in the way: {self.word(bubble)}"
        parts = [self.day(bubble.day)] if bubble.day is not None and dated else []
        if bubble.use == "who":
            return ", ".join([*parts, "who"])
        several = len(self.home.asked) > 1
        step = self.home.asked[bubble.step - 1].name if several and bubble.step else ""
        parts.append(step or f"turn {bubble.turn}")
        return ", ".join(parts)

    def titled(self, row: str) -> str:
        """The title of a row by its id."""
        return self.title(self.rows[row][0].bubble)

    def said(self, row: str, value: str | None) -> str:
        """What a value of a row means, in words."""
        found = next((ink.bubble for ink in self.rows[row] if ink.bubble.id == value), None)
        way = self.use(row) == "way"
        if found is None:
            return "not ticked" if way else "blank"
        return "ticked" if way else self.word(found)


def entry_words(entry: Entry, home: HomePlan) -> str:
    """An entry in a few words: the help, and who."""
    help_words = "child stopped" if entry.outcome is Outcome.STOPPED else home.ladder.name(entry.needed or 0)
    return f"{help_words}, {entry.adult}" if entry.adult else help_words


def date_words(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def _together(name: str) -> str:
    return f"{name.replace(', ', ' and ')} together" if ", " in name else name


def _count_words(count: int) -> str:
    return (
        "nobody is ticked"
        if count == 0
        else "the name ticked is not on this plan"
        if count == 1
        else f"{count} are ticked"
    )


def _key(value: str, number: int) -> str:
    if value == BLANK:
        return "b"
    return "s" if value.endswith(".stopped") else str(number)
