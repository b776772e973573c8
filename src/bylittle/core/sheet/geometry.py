"""Where everything stands on a log sheet, in millimetres from the page's top left, y downwards.

The printer draws at these places and the reader looks there; nothing is placed twice. A page has four
corner markers, two codes of the id, the days as cards in at most two columns, one row of bubbles for each
turn (or asked step) and, above them, a bubble for each adult; a row of "what got in the way?" stands below.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import ceil
from types import MappingProxyType

from bylittle.core.faults import BadValue
from bylittle.core.sheet.shape import A4, LETTER, WAYS, Shape

MARGIN = 8.0
MARKER = 14.0
QR = 26.0
MATRIX = 20.0
BUBBLE = 2.6  # radius to the middle of the ring
RING = 0.3  # stroke of the ring
PITCH = 8.0  # least distance between two bubbles
PITCH_WIDE = 11.0
PITCH_TALL, PITCH_TALL_NOTES = 9.6, 8.8  # most; with the notes below the table they get what is left
COLUMN_GAP = 10.0
STOP_GAP = 3.0  # sets "stopped" apart from the ladder
HEADS_TOP = 42.0
TABLE_TOP = 60.0
TABLE_FOOT = 44.0  # from the foot of the page
NOTES_TALL = 8.0  # least room for a free word below the table
WAYS_FOOT = 33.5
DAY_HEAD = 9.0
CARD_GAP = 2.5
LABEL_TURN, LABEL_STEP = 12.0, 30.0
WHO_WIDE = 17.0

# Corner markers: OpenCV's DICT_4X4_50, those eight of its codes that lie furthest apart (at least 6 of 16
# cells in any turn), from the top left clockwise. The two papers have markers of their own.
MARKERS = MappingProxyType({A4.name: (0, 2, 4, 8), LETTER.name: (9, 14, 15, 20)})


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle: left, top, width and height."""

    x: float
    y: float
    w: float
    h: float

    @property
    def corners(self) -> tuple[tuple[float, float], ...]:
        """Top left, top right, bottom right, bottom left."""
        right, foot = self.x + self.w, self.y + self.h
        return ((self.x, self.y), (right, self.y), (right, foot), (self.x, foot))


@dataclass(frozen=True, slots=True)
class Bubble:
    """One ring to fill. `use` is "help", "who" or "way"; `choice` counts from 0 within the use.

    For "help" the choice is the level (0 the fullest help) and None for *stopped*. `day` and `turn` count
    from 1, `step` from 1 among the asked steps.
    """

    id: str
    row: str
    use: str
    x: float
    y: float
    day: int | None = None
    turn: int | None = None
    step: int | None = None
    choice: int | None = None
    r: float = BUBBLE


@dataclass(frozen=True, slots=True)
class Row:
    """One line of help bubbles: its id and the middle of it."""

    id: str
    number: int
    y: float


@dataclass(frozen=True, slots=True)
class Card:
    """One practice day: where it stands and its rows."""

    day: int
    box: Box
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """One printed page of a shape, `number` from 1."""

    shape: Shape
    number: int
    columns: tuple[Box, ...]
    cards: tuple[Card, ...]
    bubbles: tuple[Bubble, ...]
    notes: Box

    @property
    def markers(self) -> tuple[tuple[int, Box], ...]:
        """Code and place of the corner markers, from the top left clockwise."""
        far_x = self.shape.paper.width_mm - MARGIN - MARKER
        far_y = self.shape.paper.height_mm - MARGIN - MARKER
        places = ((MARGIN, MARGIN), (far_x, MARGIN), (far_x, far_y), (MARGIN, far_y))
        codes = MARKERS[self.shape.paper.name]
        return tuple((code, Box(x, y, MARKER, MARKER)) for code, (x, y) in zip(codes, places, strict=True))

    @property
    def qr(self) -> Box:
        return Box(self.shape.paper.width_mm - 53.0, MARGIN, QR, QR)

    @property
    def matrix(self) -> Box:
        return Box(26.0, self.shape.paper.height_mm - MARGIN - MATRIX, MATRIX, MATRIX)


@lru_cache(maxsize=256)
def pages(shape: Shape) -> tuple[Page, ...]:
    """The pages of `shape`, as few as hold its days at a pitch that a tired thumb can hit."""
    per_page = _days_a_page(shape)
    spans = [
        range(first, min(first + per_page, shape.days + 1)) for first in range(1, shape.days + 1, per_page)
    ]
    return tuple(_page(shape, number, span, per_page) for number, span in enumerate(spans, 1))


def page(shape: Shape, number: int) -> Page:
    """One page of `shape`; `BadValue` where it has fewer."""
    all_pages = pages(shape)
    if not 1 <= number <= len(all_pages):
        raise BadValue(name="page", value=number, allowed=(1, len(all_pages)))
    return all_pages[number - 1]


def level_columns(shape: Shape, column: Box) -> tuple[float, ...]:
    """The middles of the level columns of one column of cards, and last that of *stopped*."""
    pitch = _pitch_x(shape, column)
    last = column.x + column.w - pitch / 2
    levels = (last - STOP_GAP - pitch * (shape.levels - level) for level in range(shape.levels))
    return (*levels, last)


def _days_a_page(shape: Shape) -> int:
    for count in range(1, shape.days + 1):
        per_page = ceil(shape.days / count)
        if _pitch_y(shape, per_page) >= PITCH:
            return per_page
    raise BadValue(name="steps", value=shape.steps, allowed=None)  # no bound of Shape leads here


def _slots(days: int) -> int:
    return ceil(days / 2)


def _pitch_y(shape: Shape, days: int) -> float:
    notes, most = (0.0, PITCH_TALL) if _spare_place(days) else (NOTES_TALL, PITCH_TALL_NOTES)
    room = shape.paper.height_mm - TABLE_FOOT - notes - TABLE_TOP + CARD_GAP
    return min(most, (room / _slots(days) - CARD_GAP - DAY_HEAD) / shape.rows_a_day)


def _spare_place(days: int) -> bool:
    """Whether a card's place stays empty, where the notes go then; a lone day leaves a whole column."""
    return days % 2 == 1


def _pitch_x(shape: Shape, column: Box) -> float:
    label = LABEL_TURN if shape.one_step else LABEL_STEP
    fair = (column.w - label - STOP_GAP) / (shape.levels + 1)
    return min(PITCH_WIDE, max(PITCH, fair))


def _page(shape: Shape, number: int, days: range, per_page: int) -> Page:
    columns = _columns(shape)
    slots = _slots(per_page)
    pitch = _pitch_y(shape, per_page)
    height = DAY_HEAD + pitch * shape.rows_a_day
    cards = []
    for place, day in enumerate(days):
        column = columns[place // slots]
        box = Box(column.x, TABLE_TOP + (place % slots) * (height + CARD_GAP), column.w, height)
        cards.append(Card(day, box, tuple(_rows(shape, day, box, pitch))))
    used = columns[: 1 + (len(days) - 1) // slots]
    bubbles = (*(b for card in cards for b in _card_bubbles(shape, card)), *_ways(shape))
    notes = _notes(shape, len(days), slots, height)
    return Page(shape, number, used, tuple(cards), bubbles, notes)


def _notes(shape: Shape, days: int, slots: int, height: float) -> Box:
    """Room for a free word: the places left empty in the right column, else below the table."""
    left, right = _columns(shape)
    foot = shape.paper.height_mm - TABLE_FOOT
    below = TABLE_TOP + slots * (height + CARD_GAP) - CARD_GAP
    taken = max(0, days - slots)
    if taken == slots:
        return Box(left.x, below, right.x + right.w - left.x, foot - below)
    top = TABLE_TOP + taken * (height + CARD_GAP)
    return Box(right.x, top, right.w, foot - top)


def _columns(shape: Shape) -> tuple[Box, Box]:
    paper = shape.paper
    width = (paper.width_mm - 2 * MARGIN - COLUMN_GAP) / 2
    height = paper.height_mm - TABLE_FOOT - HEADS_TOP
    left = Box(MARGIN, HEADS_TOP, width, height)
    return left, Box(MARGIN + width + COLUMN_GAP, HEADS_TOP, width, height)


def _rows(shape: Shape, day: int, box: Box, pitch: float) -> Iterator[Row]:
    kind = "t" if shape.one_step else "s"
    for number in range(1, shape.rows_a_day + 1):
        yield Row(f"d{day}{kind}{number}", number, box.y + DAY_HEAD + pitch * (number - 0.5))


def _card_bubbles(shape: Shape, card: Card) -> Iterator[Bubble]:
    yield from _who(shape, card)
    places = level_columns(shape, card.box)
    for row in card.rows:
        turn, step = (row.number, 1) if shape.one_step else (1, row.number)
        for level, x in enumerate(places):
            choice = level if level < shape.levels else None
            name = f"{row.id}.stopped" if choice is None else f"{row.id}.{level}"
            yield Bubble(name, row.id, "help", x, row.y, card.day, turn, step, choice)


def _who(shape: Shape, card: Card) -> Iterator[Bubble]:
    """One row for each adult: two may have practised on one day, and that is no contradiction."""
    right = card.box.x + card.box.w - PITCH / 2
    wide = who_width(shape, card.box)
    for adult in range(shape.adults):
        name = f"d{card.day}.who{adult + 1}"
        x = right - wide * (shape.adults - 1 - adult)
        yield Bubble(name, name, "who", x, card.box.y + DAY_HEAD / 2, card.day, choice=adult)


def who_width(shape: Shape, card: Box) -> float:
    """The room of one adult in a day's head, name and bubble."""
    return min(WHO_WIDE, (card.w - 30.0) / max(1, shape.adults))


def _ways(shape: Shape) -> Iterator[Bubble]:
    """What got in the way: several may be true at once, so each box is a row of its own."""
    paper = shape.paper
    pitch = (paper.width_mm - 2 * MARGIN) / WAYS
    for way in range(WAYS):
        x = MARGIN + PITCH / 2 + way * pitch
        yield Bubble(f"way{way + 1}", f"way{way + 1}", "way", x, paper.height_mm - WAYS_FOOT, choice=way)
