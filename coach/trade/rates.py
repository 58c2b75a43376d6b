"""A rate a minute from what was counted, how sure it is, and whether to count again.

Counting events in a window that begins anywhere catches one too many or one too few at most, so a
count of n in t seconds means a steady rate between (n - 1) and (n + 1) times 60 / t. People
are less steady: against a full minute, 95 % of the differences lay between -7.2 and +4.7 breaths
a minute for 15 s and between -3.9 and +3.0 for 30 s (770 counts on sick adults,
[counts-abstract]).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from coach.trade.questions import Question, capital, first_question, question_outside
from coach.trade.wording import cardinal, number_words

SECONDS_PER_MINUTE = 60.0

SHORTEST_WINDOW_S, LONGEST_WINDOW_S = 2.0, 180.0
"""Seconds between which a window makes sense at all (common practice, no source)."""

SHORTEST_TAUGHT_S = 15.0
"""Seconds; shorter windows are not taught (from memory: EMT and nursing texts)."""

FULL_MINUTE_S = 60.0
"""Seconds for an irregular rhythm ([biology-insights]) and for an infant (from memory: EMT and
nursing texts)."""


class Counted(StrEnum):
    """What was counted."""

    BREATHS = "breaths"
    PULSE = "beats"


class AgeBand(StrEnum):
    """Age as the table of usual rates divides it, in years."""

    INFANT = "an infant"
    TODDLER = "a toddler"
    PRESCHOOL = "a preschool child"
    SCHOOL = "a school child"
    ADOLESCENT = "an adolescent"
    ADULT = "an adult"


USUAL_PER_MINUTE: dict[Counted, dict[AgeBand, tuple[float, float]]] = {
    Counted.BREATHS: {
        AgeBand.INFANT: (30, 60),
        AgeBand.TODDLER: (24, 40),
        AgeBand.PRESCHOOL: (22, 34),
        AgeBand.SCHOOL: (18, 30),
        AgeBand.ADOLESCENT: (12, 20),
        AgeBand.ADULT: (12, 20),
    },
    Counted.PULSE: {
        AgeBand.INFANT: (85, 205),
        AgeBand.TODDLER: (60, 190),
        AgeBand.PRESCHOOL: (60, 140),
        AgeBand.SCHOOL: (60, 140),
        AgeBand.ADOLESCENT: (60, 100),
        AgeBand.ADULT: (60, 100),
    },
}
"""Usual rates a minute, awake ([pals-2006]). Where that table cuts a band
in two (infant pulse at 3 months, toddler pulse at 2 years) both parts together; adolescents
breathe 12 to 16 there and 12 to 20 in [medscape]: the wider. Adults: EMS custom."""

HIGHEST_PER_MINUTE = {Counted.BREATHS: 120.0, Counted.PULSE: 320.0}
"""A minute; nobody can count more by hand (from memory: infants' fastest rates)."""


@dataclass(frozen=True, slots=True)
class CountedRate:
    """A rate as counted: `count` events in `seconds`.

    `recount` is what a teacher would ask before taking it, or None.
    """

    counted: Counted
    count: int
    seconds: float
    recount: Question | None = None

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
    count: float,
    seconds: float,
    counted: Counted,
    age: AgeBand = AgeBand.ADULT,
    *,
    regular: bool = True,
) -> CountedRate | Question:
    """The rate from a count of whole events in a window of 2 to 180 seconds.

    A count or window that cannot be, or a rate that nobody can count, is asked about.
    """
    most = HIGHEST_PER_MINUTE[counted]
    question = first_question(
        question_outside(
            count, 0, most * LONGEST_WINDOW_S / FULL_MINUTE_S, "the count", whole=True
        ),
        question_outside(seconds, SHORTEST_WINDOW_S, LONGEST_WINDOW_S, "the seconds"),
    )
    if question:
        return question
    rate = CountedRate(counted, int(count), seconds)
    if rate.per_minute > most:
        return Question(
            f"That would be more than {number_words(most)} a minute: "
            f"how many {counted} in how many seconds?"
        )
    return CountedRate(counted, int(count), seconds, _recount(rate, age, regular))


def _recount(rate: CountedRate, age: AgeBand, regular: bool) -> Question | None:
    """What a teacher would ask to have counted again; see the constants for the reasons."""
    if rate.count == 0:
        return Question(f"You counted no {rate.counted}: will you check again?")
    if rate.seconds >= FULL_MINUTE_S:
        return None
    if rate.seconds < SHORTEST_TAUGHT_S:
        window = number_words(round(rate.seconds, 1))
        return Question(f"{capital(window)} seconds is short: will you count at least fifteen?")
    if not regular:
        return Question("It was irregular: will you count a full minute?")
    if age is AgeBand.INFANT:
        return Question("An infant is counted for a full minute: will you?")
    low, high = USUAL_PER_MINUTE[rate.counted][age]
    if not low <= rate.per_minute <= high:
        return Question(
            f"{capital(cardinal(rate.whole))} a minute is unusual for {age}: "
            "will you count a full minute?"
        )
    return None
