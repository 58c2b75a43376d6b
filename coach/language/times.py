"""Whether the time of a clock is told: a time that something was begun has to be said."""

from __future__ import annotations

from itertools import pairwise

from coach.language.numbers import find_numbers

LAST_HOUR, LAST_MINUTE = 24, 59

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
    if any(value >= 100 and _is_time(value) for value in values):
        return True
    pairs = pairwise(numbers)
    return any(
        first.end == second.start
        and _is_time(first.values[0] * 100 + second.values[0])
        and second.values[0] <= LAST_MINUTE
        for first, second in pairs
    )


def _is_time(value: float) -> bool:
    """Whether a number read as hours and minutes (1432) is a time."""
    return value == int(value) and value // 100 <= LAST_HOUR and value % 100 <= LAST_MINUTE
