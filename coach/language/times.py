"""Whether the time of a clock is told: a time that something was begun has to be said."""

from __future__ import annotations

from itertools import pairwise

from coach.language.numbers import find_numbers

LAST_HOUR, LAST_MINUTE = 24, 59

SHORTEST_CLOCK = 100
"""The least number that tells hours and minutes: one o'clock."""

HALF_HOURS = frozenset("noon midnight o'clock half quarter".split())
"""Words that tell a time with an hour, or by themselves."""


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
    pairs = pairwise(numbers)
    return any(
        first.end == second.start
        and is_clock(first.values[0] * 100 + second.values[0])
        and second.values[0] <= LAST_MINUTE
        for first, second in pairs
    )


def is_clock(value: float) -> bool:
    """Whether a number read as hours and minutes (1432) is a time."""
    return value == int(value) and value // 100 <= LAST_HOUR and value % 100 <= LAST_MINUTE
