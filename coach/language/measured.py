"""Numbers with the unit after them: "one ten over seventy", "two minutes thirty seconds"."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace

from coach.core.units import Quantity, Unit
from coach.language.mention import Mention
from coach.language.number_context import hedge_within
from coach.language.number_ranges import Moment
from coach.language.number_units import UNIT_WORDS, centimetres_at, unit_at
from coach.language.number_words import FRACTIONS, SCALES
from coach.language.numbers import SpokenNumber, find_numbers, unit_place
from coach.language.quantities import quantity_of_unit
from coach.trade.unit_conversions import KILOPASCALS_PER_MMHG

_PALPATED = ("by palpation", "by palp", "over palpation", "over palp", "over p", "by p", "palp")
LOWEST_PAIRED = 10
"""mmHg; two numbers below it with "over" between are no blood pressure (common practice, no
source)."""

_COUNTED_THINGS = frozenset("breaths respirations".split())
_LEADS_ON = frozenset("are is at of were".split())

_SLOWEST = 4.0
"""A minute; nobody who breathes, or is breathed for, has fewer breaths or beats (common practice,
no source)."""

_TEN = 10.0

_NAMED_WITHIN = 3
_BLOOD_PRESSURE = frozenset("bp bp's pressure pressure's".split())
"""Names of a blood pressure, within so many words before its numbers."""

_HALVES: dict[tuple[str, ...], float] = {("and", "a", "half"): 0.5, ("and", "a", "quarter"): 0.25}


def with_units(
    words: Sequence[str], numbers: Sequence[SpokenNumber], rated: bool = False
) -> list[Mention]:
    """`rated`: "seven out of ten" is a seven."""
    mentions: list[Mention] = []
    place = 0
    while place < len(numbers):
        number = numbers[place]
        following = numbers[place + 1] if place + 1 < len(numbers) else None
        if following and _over(words, number, following):
            pair = _pressure_pair(words, number, following)
            if min(pair.values) >= LOWEST_PAIRED:
                mentions.append(pair)
            place += 2
            continue
        if mentions and number.start < mentions[-1].end:
            place += 1
            continue  # the two of "h two o"
        if rated and following and _is_of_ten(words, number, following):
            end, unit = following.end, Unit.COUNTED
            mentions.append(Mention(number.start, end, (number,), unit, Quantity.COUNT))
            place += 2
            continue
        place += 1
        palpated = _palpated(words, number.end)
        if palpated:
            pressure = Quantity.BLOOD_PRESSURE
            end = number.end + palpated
            mentions.append(Mention(number.start, end, (number,), quantity=pressure))
            continue
        mention = _measured(words, number)
        joined = _minutes_and_seconds(mentions[-1], mention, words) if mentions else None
        if joined:
            mentions[-1] = joined
        else:
            mentions.append(mention)
    return mentions


def _is_of_ten(words: Sequence[str], number: SpokenNumber, following: SpokenNumber) -> bool:
    """Whether a number is told on a scale by its end: "seven out of ten", "seven of ten"."""
    gap = list(words[number.end : following.start])
    return gap == ["out", "of"] or (gap == ["of"] and following.values[0] == _TEN)


def _over(words: Sequence[str], number: SpokenNumber, following: SpokenNumber) -> bool:
    """Whether two numbers are told as the two of a blood pressure, also "one thirty on eighty"."""
    gap = list(words[number.end : following.start])
    if gap == ["over"]:
        return True
    lead = words[max(0, number.start - _NAMED_WITHIN) : number.start]
    return gap == ["on"] and not _BLOOD_PRESSURE.isdisjoint(lead)


def _measured(words: Sequence[str], number: SpokenNumber) -> Mention:
    """A number with the unit after it, and "and a half" after that."""
    guess = hedge_within(words, number.end)
    end, unit = _unit_after(words, number, guess)
    of_water = unit is Unit.CENTIMETRES_OF_WATER
    if not of_water and (length := centimetres_at(words, number.end + guess)):
        return _in_millimetres(number, number.end + guess + length, guess > 0)
    if unit is None:
        return Mention(number.start, number.end, (number,))
    half = _HALVES.get(tuple(words[end : end + 3]))
    if half and unit_place(words, end + 3) is None:
        more = tuple(value + half for value in number.values)
        number = replace(number, values=more, sound_alikes=())
        end += 3
    return Mention(number.start, end, (number,), unit, hedged=guess > 0)


def _in_millimetres(number: SpokenNumber, end: int, hedged: bool) -> Mention:
    """A length told in centimetres, as the airways are marked."""
    length = scaled(number, 10.0)
    return Mention(number.start, end, (length,), Unit.MILLIMETRES, Quantity.LENGTH, hedged=hedged)


def scaled(number: SpokenNumber, factor: float) -> SpokenNumber:
    """A number told in a unit that is so many times the one it is kept in."""
    if factor == 1.0:
        return number
    return replace(
        number,
        values=tuple(round(value * factor, 6) for value in number.values),
        sound_alikes=tuple(round(value * factor, 6) for value in number.sound_alikes),
    )


def _unit_after(
    words: Sequence[str], number: SpokenNumber, skipped: int = 0
) -> tuple[int, Unit | None]:
    start = unit_place(words, number.end + skipped)
    found = unit_at(words, start) if start is not None else None
    if start is None or found is None or _begins_the_next(words, start, start + found[0]):
        return number.end, None
    end, unit = start + found[0], found[1]
    counted = unit is Unit.PER_MINUTE and end == start + 1
    if counted and (number.values[0] < _SLOWEST or _in_seconds(words, end)):
        return number.end, None  # "two breaths" are given, "eleven in thirty seconds" counted
    if unit is Unit.PER_MINUTE and tuple(words[number.start : number.end]) in FRACTIONS:
        unit = Unit.MINUTES  # "half a minute"
    return end, unit


def _in_seconds(words: Sequence[str], at: int) -> bool:
    """Whether it is told in which seconds something was counted: "in thirty seconds"."""
    if words[at : at + 1] not in (["in"], ["over"], ["for"]):
        return False
    within = find_numbers(words[at + 1 : at + 3])
    end = at + 1 + within[0].end if within and within[0].start == 0 else at
    return words[end : end + 1] in (["seconds"], ["second"], ["secs"])


def _begins_the_next(words: Sequence[str], start: int, end: int) -> bool:
    """Whether what is counted belongs to the number behind it: "pulse ninety, breaths eighteen"."""
    if end != start + 1 or words[start] not in _COUNTED_THINGS:
        return False
    rest = [word for word in words[end : end + 3] if word not in _LEADS_ON]
    return bool(rest) and bool(find_numbers(rest[:1]))


def _pressure_pair(
    words: Sequence[str], systolic: SpokenNumber, diastolic: SpokenNumber
) -> Mention:
    end, unit = _unit_after(words, diastolic)
    if unit is Unit.KILOPASCAL:
        return in_mercury(Mention(systolic.start, end, (systolic, diastolic)))
    said = unit is Unit.MILLIMETRES_OF_MERCURY
    return Mention(
        systolic.start,
        end if said else diastolic.end,
        (systolic, diastolic),
        unit if said else None,
        Quantity.BLOOD_PRESSURE,
    )


def in_mercury(mention: Mention) -> Mention:
    """A blood pressure told in kilopascals, as whole millimeters of mercury: in doubt."""
    return replace(
        mention,
        numbers=tuple(
            replace(
                number,
                values=tuple(float(round(value / KILOPASCALS_PER_MMHG)) for value in number.values),
                sound_alikes=tuple(
                    float(round(value / KILOPASCALS_PER_MMHG)) for value in number.sound_alikes
                ),
            )
            for number in mention.numbers
        ),
        unit=Unit.MILLIMETRES_OF_MERCURY,
        quantity=Quantity.BLOOD_PRESSURE,
        hedged=True,
    )


def _palpated(words: Sequence[str], at: int) -> int:
    for phrase in _PALPATED:
        said = phrase.split()
        if list(words[at : at + len(said)]) == said:
            return len(said)
    return 0


def _minutes_and_seconds(first: Mention, second: Mention, words: Sequence[str]) -> Mention | None:
    """ "two minutes thirty seconds" as one time, in seconds."""
    gap = list(words[first.end : second.start])
    if (
        first.unit is not Unit.MINUTES
        or second.unit is not Unit.SECONDS
        or gap not in ([], ["and"])
    ):
        return None
    minutes, seconds = first.numbers[0], second.numbers[0]
    total = replace(
        seconds,
        start=first.start,
        values=tuple(minutes.values[0] * 60 + value for value in seconds.values),
        sound_alikes=(
            *(minutes.values[0] * 60 + value for value in seconds.sound_alikes),
            *(value * 60 + seconds.values[0] for value in minutes.sound_alikes),
        ),
    )
    return Mention(first.start, second.end, (total,), Unit.SECONDS)


def one_and_a_half(words: Sequence[str], ends: Set[int]) -> list[SpokenNumber]:
    """The "a" of "a minute and a half", which is one; numbers end at `ends`."""
    return [
        SpokenNumber(place, place + 1, (1.0,), in_words=True)
        for place, word in enumerate(words)
        if word == "a"
        and place not in ends
        and (place == 0 or words[place - 1] not in UNIT_WORDS)
        and (unit := unit_at(words, place + 1))
        and tuple(words[place + 1 + unit[0] : place + 4 + unit[0]]) in _HALVES
    ]


def parted(words: Sequence[str], mention: Mention, moment: Moment) -> list[Mention]:
    """ "seventeen hundred and fifteen liters" as a pressure and a flow, since 1715 is no flow."""
    if mention.unit is None or len(mention.numbers) != 1:
        return [mention]
    number = mention.numbers[0]
    quantity = quantity_of_unit(mention.unit, 1, moment)
    if quantity is not Quantity.FLOW or any(
        moment.could_be_meant(quantity, mention.unit, value) for value in number.values
    ):
        return [mention]
    for cut in range(number.end - 1, number.start, -1):
        head_end = cut - 1 if words[cut - 1] == "and" else cut
        if words[head_end - 1] not in SCALES or words[cut] in SCALES:
            continue
        head = find_numbers(words[number.start : head_end])
        tail = find_numbers(words[cut : number.end])
        if not (is_all(head, head_end - number.start) and is_all(tail, number.end - cut)):
            continue
        if not moment.could_be_meant(quantity, mention.unit, tail[0].values[0]):
            continue
        first = replace(head[0], start=number.start, end=head_end)
        second = replace(tail[0], start=cut, end=number.end)
        rest = replace(mention, start=cut, numbers=(second,))
        return [Mention(number.start, head_end, (first,)), rest]
    return [mention]


def is_all(numbers: Sequence[SpokenNumber], length: int) -> bool:
    return len(numbers) == 1 and numbers[0].start == 0 and numbers[0].end == length
