"""Numbers said one after the other and heard without the pause between: a recogniser writes none.

"Pulse seventy, one ten over seventy, ninety nine percent" is no pressure of 7110 over 7099.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from coach.core.units import Quantity, Unit
from coach.language.number_ranges import Moment
from coach.language.number_words import DIGITS, SCALES, TENS
from coach.language.numbers import SpokenNumber, find_numbers

_FOUR_FIGURES = 1000
"""No pressure of the blood has so many; a number below it was said as one, however strange."""

_Fits = Callable[[SpokenNumber], bool]


def apart(
    words: Sequence[str], numbers: Sequence[SpokenNumber], moment: Moment
) -> list[SpokenNumber]:
    """The numbers, those parted that nobody can mean as one."""
    found: list[SpokenNumber] = []
    for number in numbers:
        if found and (cut := _recut(words, found[-1], number, moment)):
            found[-1:] = cut
        else:
            found += _parts(words, number, moment)
    return found


def _recut(
    words: Sequence[str], before: SpokenNumber, number: SpokenNumber, moment: Moment
) -> tuple[SpokenNumber, SpokenNumber] | None:
    """A pressure that lost its first word to the number before: "sixty four one, ten over"."""
    upper = tuple(words[number.end : number.end + 1]) == ("over",)
    if not upper or before.end != number.start or _is_pressure(number, moment):
        return None
    both = replace(number, start=before.start)
    return _cut(words, both, _any, lambda second: _is_pressure(second, moment))


def _is_pressure(number: SpokenNumber, moment: Moment) -> bool:
    unit = Unit.MILLIMETRES_OF_MERCURY
    return any(
        moment.could_be_meant(Quantity.BLOOD_PRESSURE, unit, value) for value in number.values
    )


def _parts(words: Sequence[str], number: SpokenNumber, moment: Moment) -> list[SpokenNumber]:
    def is_pressure(one: SpokenNumber) -> bool:
        return _is_pressure(one, moment)

    upper = tuple(words[number.end : number.end + 1]) == ("over",)
    lower = number.start > 0 and words[number.start - 1] == "over"
    if (upper or lower) and number.values[0] >= _FOUR_FIGURES and not is_pressure(number):
        cut = _cut(words, number, is_pressure if lower else _any, is_pressure if upper else _any)
        return [*cut] if cut else [number]
    if moment.quantity is Quantity.COUNT:
        return _counted_on(words, number, moment)
    return [number]


def _counted_on(words: Sequence[str], number: SpokenNumber, moment: Moment) -> list[SpokenNumber]:
    """ "Twenty eight twenty nine" where something is counted."""
    if any(moment.could_be_meant(Quantity.COUNT, Unit.COUNTED, value) for value in number.values):
        return [number]
    for first, second in _cuts(words, number):
        if second.values[0] == first.values[0] + 1:
            return [first, second]
    return [number]


def _any(number: SpokenNumber) -> bool:
    return number.values[0] > 0


def _cut(
    words: Sequence[str], number: SpokenNumber, first_fits: _Fits, second_fits: _Fits
) -> tuple[SpokenNumber, SpokenNumber] | None:
    """The one way to part a number in two that fit; None where there are several, or none.

    "Seventy six" is only parted if nothing else fits.
    """
    fitting = [
        (first, second)
        for first, second in _cuts(words, number)
        if first_fits(first) and second_fits(second)
    ]
    whole = [pair for pair in fitting if not _parts_a_ten(words, pair[1].start)]
    found = whole or fitting
    return found[0] if len(found) == 1 else None


def _parts_a_ten(words: Sequence[str], place: int) -> bool:
    return words[place - 1] in TENS and words[place] in DIGITS


def _cuts(
    words: Sequence[str], number: SpokenNumber
) -> Iterator[tuple[SpokenNumber, SpokenNumber]]:
    for place in range(number.start + 1, number.end):
        if words[place] in SCALES:
            continue
        first, second = (
            _one(words, number.start, place),
            _one(words, place, number.end),
        )
        if first is not None and second is not None:
            yield first, second


def _one(words: Sequence[str], start: int, end: int) -> SpokenNumber | None:
    """The words as one number, None if they are not just that."""
    found = find_numbers(words[start:end])
    if len(found) != 1 or (found[0].start, found[0].end) != (0, end - start):
        return None
    return replace(found[0], start=start, end=end)
