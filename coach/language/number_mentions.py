"""The numbers that may be readings, each with what the words around it say of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace

from coach.core.units import RATES, Quantity, Unit
from coach.language.body_temperatures import as_temperature
from coach.language.body_weights import as_weight, said_in_pounds
from coach.language.counts_of_acts import as_row, is_count, tells_how_often
from coach.language.homophones import heard_digits
from coach.language.measured import in_mercury, is_all, one_and_a_half, parted, scaled, with_units
from coach.language.mention import Mention
from coach.language.no_readings import (
    is_count_to_lift,
    is_limit_or_plea,
    is_other_length,
    is_time_of_day,
    is_unwanted_weight,
)
from coach.language.number_context import (
    is_counting,
    is_denied,
    is_hedged,
    is_placed,
    named_quantity,
)
from coach.language.number_ranges import Moment
from coach.language.numbers import SpokenNumber, find_numbers
from coach.language.percentages import NAMES, percentage_of
from coach.language.quantities import quantity_of
from coach.language.rates import rate_of
from coach.language.ratios import rows
from coach.language.run_together import apart
from coach.language.scales import as_score, ends_of_scale, scored
from coach.trade.possible import POSSIBLE

_WHOLE = RATES | {
    *(Quantity.PRESSURE, Quantity.SATURATION, Quantity.LENGTH),
    *(Quantity.BURNED_AREA, Quantity.TEMPERATURE, Quantity.WEIGHT),
}
"""Quantities of which "three quarters" tells no number but how full something is."""


@dataclass(frozen=True, slots=True)
class _Said:
    """What was said, and the moment in which it was; `breaks` are the places before a pause."""

    words: Sequence[str]
    breaks: Set[int]
    moment: Moment


def find_mentions(
    words: Sequence[str], breaks: Set[int], moment: Moment
) -> list[tuple[Mention, bool]]:
    """The numbers that may be readings, in order, and whether each is denied ("not fifteen").

    A number without a unit is left out where it is a count of something else.
    """
    digits = heard_digits(words, breaks, moment.quantity is Quantity.FLOW)
    said = _Said([digits.get(place, word) for place, word in enumerate(words)], breaks, moment)
    each = _with_their_units(said, words, digits)
    starts = [*(mention.start for mention in each), len(words)][1:]
    ends = [0, *(mention.end for mention in each)][:-1]
    found: list[tuple[Mention, bool]] = []
    for mention, earliest, latest in zip(each, ends, starts, strict=True):
        known = _known(said, mention, earliest, latest)
        if known is not None:
            found.append((known, is_denied(said.words, mention.start, earliest)))
    return found


def _with_their_units(
    said: _Said, heard: Sequence[str], digits: Mapping[int, str]
) -> list[Mention]:
    """All numbers, each with its unit; `digits` are the words taken for digits, `heard` those
    that were heard in their places."""
    words, moment = said.words, said.moment
    numbers = [_misheard(number, heard, digits) for number in find_numbers(words, said.breaks)]
    numbers = apart(words, numbers, moment)
    numbers += one_and_a_half(words, {number.end for number in numbers})
    numbers = sorted(numbers, key=lambda number: number.start)
    row_of = rows(words, numbers, moment)
    rated = moment.awaits(Quantity.COUNT)
    ends = ends_of_scale(words, numbers) if rated else frozenset[int]()
    score = scored(words, said.breaks, numbers, ends)
    single = [number for number in numbers if number.start not in {*row_of, *ends}]
    measured = with_units(words, single, rated=rated)
    measured = [as_score(mention) if mention.start == score else mention for mention in measured]
    measured = [as_row(mention, row_of.values()) for mention in measured]
    each = [part for mention in measured for part in parted(words, mention, moment)]
    return [_as_awaited(words, mention, moment) for mention in each]


def _known(said: _Said, mention: Mention, earliest: int, latest: int) -> Mention | None:
    """A number with what the words between `earliest` and `latest` say of it; None if it can be
    no reading."""
    words, breaks, moment = said.words, said.breaks, said.moment
    mention = as_weight(words, mention, earliest, moment)
    if is_other_length(mention, moment) or is_unwanted_weight(mention, moment):
        return None
    if is_time_of_day(words, mention, moment) or is_count_to_lift(words, mention):
        return None
    temperature = as_temperature(words, mention, earliest, moment)
    if temperature is None:
        return None
    mention = temperature
    start, end = mention.start, mention.end
    bare = mention.unit is None and mention.quantity is None
    how_often = bare and moment.quantity is Quantity.COUNT and tells_how_often(words, start, end)
    if bare and not how_often and not is_placed(words, breaks, start, end, earliest, latest):
        return None
    if is_limit_or_plea(words, mention, moment):
        return None
    quantity = mention.quantity or quantity_of(words, breaks, mention, earliest, moment)
    places, around = range(start, end), range(earliest, latest)
    if quantity is not None:
        quantity = rate_of(quantity, words, places, around, moment)
    if mention.unit is Unit.PERCENT:
        told = percentage_of(words, places, around, moment)
        quantity = told or quantity
        mention = mention if told else replace(mention, could_be_in=(*NAMES.values(),))
    if mention.unit is None and quantity in _WHOLE and 0 < mention.values[0] < 1:
        return None
    counting = is_counting(words[start:end])
    if counting and quantity is Quantity.COUNT and not _fits(moment, mention):
        return None
    guessed = counting or is_hedged(words, breaks, start, end, earliest, latest)
    known = replace(
        mention,
        quantity=quantity,
        named=quantity is not moment.quantity or _is_named(said, mention, earliest, quantity),
        hedged=mention.hedged or guessed,
    )
    if moment.quantity is Quantity.COUNT and (how_often or is_count(words, known)):
        return replace(known, unit=Unit.COUNTED, quantity=Quantity.COUNT)
    if known.unit is Unit.PER_MINUTE and known.quantity is Quantity.FLOW:
        return replace(known, unit=Unit.LITRES_PER_MINUTE)
    return known


def _fits(moment: Moment, mention: Mention) -> bool:
    """Whether a count said aloud, "one two three", may be the number that is wanted."""
    return moment.allows(Quantity.COUNT, Unit.COUNTED, mention.values[0])


def _is_named(said: _Said, mention: Mention, earliest: int, quantity: Quantity | None) -> bool:
    """Whether the words before a number tell of what it is, though that was asked for as well."""
    before = said.breaks - {mention.start - 1}
    named = named_quantity(said.words, before, mention.start, earliest, None)
    return named is not None and named is quantity


def _misheard(
    number: SpokenNumber, heard: Sequence[str], digits: Mapping[int, str]
) -> SpokenNumber:
    """The number, in doubt if one of its digits is a small word, with what it is without that."""
    places = [place for place in range(number.start, number.end) if place in digits]
    if not places:
        return number
    rest = [word for place, word in enumerate(heard) if place in range(number.start, number.end)]
    without = [w for place, w in enumerate(rest, number.start) if place not in places]
    others = find_numbers(without)
    values = others[0].values if is_all(others, len(without)) else ()
    return replace(number, misheard=True, sound_alikes=(*number.sound_alikes, *values))


def _as_awaited(words: Sequence[str], mention: Mention, moment: Moment) -> Mention:
    """Pounds are of a pull, and centimetres of water, where that is awaited and nothing else."""
    if mention.unit is Unit.PSI and said_in_pounds(words, mention):
        pulled = moment.awaits(Quantity.PULL) and not moment.awaits(Quantity.PRESSURE)
        return replace(mention, unit=Unit.POUNDS_FORCE) if pulled else mention
    if mention.unit is Unit.MILLIMETRES and mention.quantity is Quantity.LENGTH:
        water = moment.awaits(Quantity.AIRWAY_PRESSURE) and not moment.awaits(Quantity.LENGTH)
        if water:
            numbers = tuple(scaled(number, 0.1) for number in mention.numbers)
            unit, quantity = Unit.CENTIMETRES_OF_WATER, Quantity.AIRWAY_PRESSURE
            return replace(mention, numbers=numbers, unit=unit, quantity=quantity)
    if mention.unit is Unit.KILOPASCAL and moment.quantity is Quantity.BLOOD_PRESSURE:
        of_blood = in_mercury(mention)
        highest = POSSIBLE[Quantity.BLOOD_PRESSURE][1]
        of_a_gauge = moment.awaits(Quantity.PRESSURE) and max(of_blood.values) > highest
        return mention if of_a_gauge else of_blood
    return mention
