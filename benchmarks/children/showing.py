"""Children built to show one pattern plainly, and those built to show none.

A pattern is a question to the therapist; here it is counted how often it is asked where it should be, and
where it should not.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from benchmarks.children import logistic, otherwise
from benchmarks.children.child import logistic as curve
from benchmarks.children.family import Adult, even
from benchmarks.children.kinds import Kind, of
from benchmarks.children.logistic import Logistic, PromptLeaner


@dataclass
class Stuck(Logistic):
    """Learns for three weeks, then stands still."""

    gain: float = 0.16

    def practise(self, step: int, level: int, reach: int) -> None:
        if self.day < 21:
            super().practise(step, level, reach)

    def overnight(self) -> None:
        if self.day < 21:
            super().overnight()
        else:
            self.mood = self.draw_mood()


@dataclass
class Leans(PromptLeaner):
    """Nearly everything works with a little help and little alone, for good."""

    gap: float = 3.2

    def practise(self, step: int, level: int, reach: int) -> None:
        Logistic.practise(self, step, level, reach)


@dataclass
class DeadLevel(Logistic):
    """Words do no more for this child than no help at all."""

    gap: float = 0.0

    def draw_boosts(self) -> list[float]:
        return [float("inf"), 3.8, 3.4, 3.0, 0.0, 0.0]


@dataclass
class OutOfPlace(Logistic):
    """Pointing helps this child far more than showing does."""

    def draw_boosts(self) -> list[float]:
        return [float("inf"), 3.8, 0.6, 3.2, 0.4, 0.0]

    def attempt(self, step: int, level: int, turn: int, luck: float) -> int:
        reach = self.reach(step, turn, luck)
        if luck < self.today_at(step, level, turn):
            return reach
        worked = [lv for lv in range(level) if luck < self.today_at(step, lv, turn)]
        return max(worked, default=0)


@dataclass
class ByTurn(Logistic):
    """Turns of a sitting differ: logits added to each."""

    turns: tuple[float, ...] = (-2.0, -0.6, 0.6, 0.8, 0.8)

    def today_at(self, step: int, level: int, turn: int) -> float:
        if level == 0:
            return 1.0
        at = self.turns[min(turn, len(self.turns) - 1)]
        return curve(self.place(step, level) + self.mood + at)


TIRING = (0.9, 0.7, 0.2, -1.2, -2.0)


@dataclass
class Leap(Logistic):
    """On one day everything is suddenly easier (or harder) by so many logits."""

    leap: float = 2.4
    on: int = 40

    def overnight(self) -> None:
        super().overnight()
        if self.day == self.on:
            self.skill = [s + self.leap for s in self.skill]


@dataclass
class Stops(Logistic):
    """Turns away more often week by week from the fifth week on."""

    def stop_chance(self, misses: int) -> float:
        return 0.01 + 0.012 * max(0, self.day - 28) / 7 * 1.5


@dataclass
class Together(Logistic):
    """The second and third step are one movement: they work or do not work together."""

    lucks: dict[int, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        super().__post_init__()
        self.skill[2] = self.skill[1]

    def attempt(self, step: int, level: int, turn: int, luck: float) -> int:
        if step == 1:
            self.lucks[turn] = luck
        return self.reach(step, turn, self.lucks.get(turn, luck) if step == 2 else luck)

    def overnight(self) -> None:
        super().overnight()
        self.lucks = {}
        self.skill[2] = self.skill[1]


@dataclass
class OneHard(Logistic):
    """One step hides two: it hardly moves while all others are learnt."""

    gain: float = 0.18

    def __post_init__(self) -> None:
        super().__post_init__()
        self.skill[2] = -3.2

    def practise(self, step: int, level: int, reach: int) -> None:
        if step != 2:
            super().practise(step, level, reach)


AHEAD = (Adult("M", 0.02, 0.02, 0.5, 0.6), Adult("D", 0.02, 0.02, 0.5, 0.6))
DIFFER = (Adult("M", 0.04, 0.04, 0.5), Adult("D", 0.02, 0.75, 0.5))

SHOWS: dict[str, Kind] = {
    "plateau": Kind("shows a plateau", "A", of(Stuck)),
    "leans on help": Kind("shows leaning on help", "A", of(Leans)),
    "help level without use": Kind("shows a dead level", "A", of(DeadLevel)),
    "help level out of place": Kind("shows a level out of place", "A", of(OutOfPlace)),
    "warms up": Kind("shows warming up", "A", of(ByTurn)),
    "tires": Kind("shows tiring", "A", of(ByTurn, turns=TIRING)),
    "material made easier unsaid": Kind("shows easier material", "A", of(Leap, start=-2.9)),
    "reported ahead of observed": Kind("shows reports ahead", "A", of(Logistic), AHEAD),
    "stops rising": Kind("shows stops rising", "A", of(Stops)),
    "day-to-day swings": Kind("shows swings", "A", of(logistic.Swinging, day_sd=2.0)),
    "loss": Kind("shows loss", "A", of(Leap, leap=-4.5, gain=0.2)),
    "steps belong together": Kind("shows steps together", "A", of(Together)),
    "step to split": Kind("shows a step to split", "A", of(OneHard)),
    "adults differ": Kind("shows adults apart", "A", of(Logistic), DIFFER),
}
PLAIN: tuple[Kind, ...] = (
    Kind("plain, average", "A", of(Logistic), (even("M"), even("D"))),
    Kind("plain, fast", "A", of(Logistic, gain=0.2), (even("M"), even("D"))),
    Kind("plain, thresholds", "B", of(otherwise.Thresholds), (even("M"), even("D"))),
)
