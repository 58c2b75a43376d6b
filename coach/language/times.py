"""Whether the time of a clock is told: a time that something was begun has to be said."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from coach.language.number_words import GRAMMAR_WORDS
from coach.language.numbers import find_numbers

LAST_HOUR, LAST_MINUTE = 24, 59

SHORTEST_CLOCK = 100
"""The least number that tells hours and minutes: one o'clock."""

HALF_HOURS = frozenset("noon midnight o'clock half quarter".split())
"""Words that tell a time with an hour, or by themselves."""

_MINUTES_OF = frozenset("past to after before".split())
"""Between two numbers they tell minutes of an hour: "twenty five past nine"."""

_AROUND = frozenset(
    "it it's is its the that's at now and oh hour hours past half quarter to after before of on"
    " o'clock noon midnight time times application went call calling called this morning afternoon"
    " evening in um uh okay ok so coach exactly i we a am pm um".split()
)
"""Words beside which a time of day is all that is told."""


def tells_only_a_time(text: str, besides: str = "") -> bool:
    """Whether plain words are a time of day and nothing more: "it's fourteen twenty".

    `besides` are words of what the time is of ("the tourniquet has been on").
    """
    rest = {*text.split()} - GRAMMAR_WORDS - _AROUND - {*besides.split()}
    return names_a_time(text) and all(word.isdigit() for word in rest)


def names_a_time(text: str) -> bool:
    """Whether plain words hold a time of day: "fourteen thirty two", "nine oh five", "half past
    two", "twelve hundred". An hour alone is none.
    """
    words = text.split()
    numbers = find_numbers(words)
    values = [value for number in numbers for value in number.values]
    hours = any(1 <= value <= LAST_HOUR for value in values)
    if HALF_HOURS & set(words) and (hours or {"noon", "midnight"} & set(words)):
        return True
    if any(value >= SHORTEST_CLOCK and is_clock(value) for value in values):
        return True
    if any(_is_minutes_of(words[one.end : two.start]) for one, two in pairwise(numbers)) and hours:
        return True
    pairs = pairwise(numbers)
    return any(
        first.end == second.start
        and is_clock(first.values[0] * 100 + second.values[0])
        and second.values[0] <= LAST_MINUTE
        for first, second in pairs
    )


def _is_minutes_of(between: Sequence[str]) -> bool:
    return len(between) == 1 and between[0] in _MINUTES_OF


def is_clock(value: float) -> bool:
    """Whether a number read as hours and minutes (1432) is a time."""
    return value == int(value) and value // 100 <= LAST_HOUR and value % 100 <= LAST_MINUTE
