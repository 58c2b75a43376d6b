"""A number on a scale whose ends are named: "zero to ten, seven", "out of ten it's an eight"."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace

from coach.core.units import Quantity, Unit
from coach.language.mention import Mention
from coach.language.number_context import is_placed
from coach.language.numbers import SpokenNumber

LOWEST, HIGHEST = 0.0, 10.0
"""Ends of the scale of pain (common practice; the file of the skill has its own)."""

_BEGINS = frozenset({0.0, 1.0})
_BEING = frozenset("being is means meaning as equals".split())
_OF_AN_END = frozenset("worst none nothing pain no best".split())
_LEADING_TO = (["out", "of"], ["scale", "of"], ["one", "to"], ["zero", "to"])


def ends_of_scale(words: Sequence[str], numbers: Sequence[SpokenNumber]) -> frozenset[int]:
    """The starts of the numbers that tell only from where to where the scale goes."""
    found: set[int] = set()
    before: SpokenNumber | None = None
    for number in numbers:
        gap = list(words[before.end : number.start]) if before is not None else None
        lead = list(words[max(0, number.start - 2) : number.start])
        top = number.values[0] == HIGHEST
        if before is not None and top and gap == ["to"] and before.values[0] in _BEGINS:
            found |= {before.start, number.start}
        elif (top and lead in _LEADING_TO and gap != lead) or _is_explained(words, number):
            found.add(number.start)
        before = number
    return frozenset(found)


def scored(
    words: Sequence[str],
    breaks: Set[int],
    numbers: Sequence[SpokenNumber],
    ends: frozenset[int],
) -> int | None:
    """The start of the number that is told on the scale with these ends; None where none is.

    It follows the ends, as a rule; else it is the last before them.
    """
    if not ends:
        return None
    told = [
        number
        for place, number in enumerate(numbers)
        if number.start not in ends
        and LOWEST <= number.values[0] <= HIGHEST
        and is_placed(
            words,
            breaks,
            *(number.start, number.end),
            numbers[place - 1].end if place else 0,
            numbers[place + 1].start if place + 1 < len(numbers) else len(words),
        )
    ]
    after = [number.start for number in told if number.start > max(ends)]
    return after[0] if after else (told[-1].start if told else None)


def as_score(mention: Mention) -> Mention:
    """A bare number as the one that is told on a scale."""
    if mention.unit is not None or mention.quantity is not None:
        return mention
    return replace(mention, unit=Unit.COUNTED, quantity=Quantity.COUNT)


def _is_explained(words: Sequence[str], number: SpokenNumber) -> bool:
    """Whether it is told what a number of the scale stands for: "ten being the worst"."""
    if number.values[0] not in _BEGINS | {HIGHEST}:
        return False
    following = words[number.end : number.end + 3]
    return following[:1] != [] and following[0] in _BEING and bool(_OF_AN_END & set(following[1:]))
