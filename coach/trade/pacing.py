"""The beats of compressions and breaths: when each falls, and how it is counted.

The rates and numbers come from the table of facts; here is only their arithmetic.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

SECONDS_PER_MINUTE = 60.0

OUT_AS_LONG_AS_IN = 2.0
"""Breath lengths from one breath to the next: the chest falls as long as it rose (common practice,
no source)."""

COUNTED_TO = 10
"""Beats are counted from one to ten again and again: longer words do not fit between two (common
practice, no source)."""

SLACK_S = 1e-9


class BeatKind(StrEnum):
    """What is done on a beat."""

    COMPRESSION = "compression"
    BREATH = "breath"


@dataclass(frozen=True, slots=True)
class Beat:
    """One beat, `at_s` seconds from the beginning; `number` counts within its row from one."""

    at_s: float
    kind: BeatKind
    number: int

    @property
    def spoken(self) -> int:
        """The number as it is counted aloud: one to ten, again and again."""
        return (self.number - 1) % COUNTED_TO + 1


@dataclass(frozen=True, slots=True)
class Pattern:
    """Beats in rows: `compressions` at `per_minute`, then `breaths` of `breath_s` seconds each.

    Without `breaths` the compressions go on without end, without `compressions` the breaths come
    `per_minute`. ValueError for a rate, a number or a length that cannot be.
    """

    per_minute: float
    compressions: int = 0
    breaths: int = 0
    breath_s: float = 1.0

    def __post_init__(self) -> None:
        """Refuse what has no beats or would never end a row."""
        if self.per_minute <= 0 or self.breath_s <= 0:
            raise ValueError("a pace needs a rate and a length of breaths above zero")
        if self.compressions < 0 or self.breaths < 0 or not self.compressions + self.breaths:
            raise ValueError("a pace needs compressions or breaths")

    @property
    def interval_s(self) -> float:
        """Seconds from one beat to the next."""
        return SECONDS_PER_MINUTE / self.per_minute

    @property
    def row_s(self) -> float:
        """Seconds from the first beat of a row to the first of the next."""
        if not self.compressions:
            return self.breaths * self.interval_s
        pause_s = self.breaths * self.breath_s * OUT_AS_LONG_AS_IN
        return self.compressions * self.interval_s + pause_s

    def beats(self, seconds: float, from_s: float = 0.0) -> tuple[Beat, ...]:
        """The beats of the first `seconds`, in order of time; those from `from_s` on, whose times
        then count from there."""
        found: list[Beat] = []
        row = 0
        while row * self.row_s < seconds - SLACK_S:
            found += [beat for beat in self._row(row * self.row_s) if beat.at_s < seconds - SLACK_S]
            row += 1
        left = (beat for beat in found if beat.at_s >= from_s - SLACK_S)
        return tuple(replace(beat, at_s=beat.at_s - from_s) for beat in left)

    def _row(self, from_s: float) -> list[Beat]:
        row = [
            Beat(from_s + number * self.interval_s, BeatKind.COMPRESSION, number + 1)
            for number in range(self.compressions)
        ]
        apart_s = self.breath_s * OUT_AS_LONG_AS_IN if self.compressions else self.interval_s
        breaths_s = from_s + self.compressions * self.interval_s
        return row + [
            Beat(breaths_s + number * apart_s, BeatKind.BREATH, number + 1)
            for number in range(self.breaths)
        ]


def middle_rate(low: float, high: float) -> float:
    """The rate to pace at where a range is right: its middle, farthest from both ends."""
    return (low + high) / 2
