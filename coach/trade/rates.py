"""A rate a minute from what was counted, and how sure it is.

Counting events in a window that begins anywhere catches one too many or one too few at most, so a
count of n in t seconds means a steady rate between (n - 1) and (n + 1) times 60 / t. People
are less steady: against a full minute, 95 % of the differences lay between -7.2 and +4.7 breaths
a minute for 15 s and between -3.9 and +3.0 for 30 s (770 counts on sick adults,
[counts-abstract]). How long to count, and which rates are usual, the skills say.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from coach.trade.questions import Question, question_outside
from coach.trade.wording import number_words

SECONDS_PER_MINUTE = 60.0


class Counted(StrEnum):
    """What was counted."""

    BREATHS = "breaths"
    PULSE = "beats"


@dataclass(frozen=True, slots=True)
class FastestRates:
    """The fastest rate a minute of anybody, by what was counted: the table of facts has them."""

    per_minute: Mapping[Counted, float]


@dataclass(frozen=True, slots=True)
class CountedRate:
    """A rate as counted: `count` events in `seconds`."""

    counted: Counted
    count: int
    seconds: float

    @property
    def per_minute(self) -> float:
        """Events a minute, not rounded."""
        return self.count * SECONDS_PER_MINUTE / self.seconds

    @property
    def whole(self) -> int:
        """Events a minute as noted down: the nearest whole number, a half upwards."""
        return math.floor(self.per_minute + 0.5)

    @property
    def give_or_take(self) -> float:
        """Events a minute that one more or one fewer event would make."""
        return SECONDS_PER_MINUTE / self.seconds

    @property
    def at_least(self) -> float:
        """The slowest steady rate, in events a minute, that this count allows."""
        return max(0.0, self.per_minute - self.give_or_take)

    @property
    def at_most(self) -> float:
        """The fastest steady rate, in events a minute, that this count allows."""
        return self.per_minute + self.give_or_take


def rate_from_count(
    count: float, seconds: float, counted: Counted, fastest: FastestRates
) -> CountedRate | Question:
    """The rate from a count of whole events in a window of that many seconds.

    A count that is no whole number, or makes a rate that nobody has, is asked about; ValueError
    for a window that is none.
    """
    if not 0 < seconds < math.inf:
        raise ValueError(f"nothing is counted in {seconds} s")
    most = fastest.per_minute[counted]
    longest = most * max(1.0, seconds / SECONDS_PER_MINUTE)
    question = question_outside(count, 0, longest, "the count", whole=True)
    if question:
        return question
    rate = CountedRate(counted, int(count), seconds)
    if rate.per_minute > most:
        return Question(
            f"That would be more than {number_words(most)} a minute: "
            f"how many {counted} in how many seconds?"
        )
    return rate
