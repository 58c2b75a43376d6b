"""Numbers with their units, each with what the words around it say of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, replace

from coach.core.units import RATES, Quantity, Unit
from coach.language.homophones import heard_digits
from coach.language.number_context import (
    EXTENTS,
    hedge_within,
    is_counting,
    is_denied,
    is_hedged,
    is_placed,
    named_quantity,
)
from coach.language.number_ranges import Moment
from coach.language.number_units import KILOGRAMS, POUNDS, UNIT_WORDS, centimetres_at, unit_at
from coach.language.number_words import FILLERS, SCALES, SCORED
from coach.language.numbers import SpokenNumber, find_numbers, unit_place
from coach.language.rates import rate_of
from coach.language.ratios import rows
from coach.language.run_together import apart

_PALPATED = ("by palpation", "by palp", "over palpation", "over palp", "over p", "by p", "palp")
LOWEST_PAIRED = 10
"""mmHg; two numbers below it with "over" between are no blood pressure (common practice, no
source)."""

THINGS = frozenset("blows slaps thrusts compressions breaths ventilations point points".split())
"""What a step does, or gives, a number of times."""

LONGEST_THING = 3
"""Words of such a thing with what is said of it ("firm back blows")."""

_HALVES: dict[tuple[str, ...], float] = {("and", "a", "half"): 0.5, ("and", "a", "quarter"): 0.25}


@dataclass(frozen=True, slots=True)
class Mention:
    """A number (two for a blood pressure) at words `start` to `end`, with the unit if said.

    `quantity` is None while nothing tells what was measured; `named` when its own words told it
    ("flow is at ten"). `rivals` are other numbers offered for the same thing.
    """

    start: int
    end: int
    numbers: tuple[SpokenNumber, ...]
    unit: Unit | None = None
    quantity: Quantity | None = None
    named: bool = False
    hedged: bool = False
    rivals: tuple[float, ...] = ()

    @property
    def values(self) -> tuple[float, ...]:
        """The likeliest value of each number."""
        return tuple(number.values[0] for number in self.numbers)


def find_mentions(
    words: Sequence[str], breaks: Set[int], moment: Moment
) -> list[tuple[Mention, bool]]:
    """The numbers that may be readings, in order, and whether each is denied ("not fifteen").

    A number without a unit is left out where it is a count of something else.
    """
    heard = words
    digits = heard_digits(heard, breaks, moment.quantity is Quantity.FLOW)
    words = [digits.get(place, word) for place, word in enumerate(heard)]
    numbers = [_misheard(number, heard, digits) for number in find_numbers(words, breaks)]
    numbers = apart(words, numbers, moment)
    numbers += _one_and_a_half(words, {number.end for number in numbers})
    numbers = sorted(numbers, key=lambda number: number.start)
    row_of = rows(words, numbers, moment)
    single = [number for number in numbers if number.start not in row_of]
    bare = _with_units(words, single, rated=_awaits(moment, Quantity.COUNT))
    bare = [_as_row(mention, row_of.values()) for mention in bare]
    parted = [part for mention in bare for part in _parted(words, mention, moment)]
    parted = [_as_awaited(words, mention, moment) for mention in parted]
    found: list[tuple[Mention, bool]] = []
    for place, mention in enumerate(parted):
        earliest = parted[place - 1].end if place else 0
        latest = parted[place + 1].start if place + 1 < len(parted) else len(words)
        start, end = mention.start, mention.end
        counted = mention.unit is None and mention.quantity is None
        if _is_other_length(mention, moment) or _is_weight(words, mention, earliest, moment):
            continue
        things = counted and moment.quantity is Quantity.COUNT and _of_count(words, start, end)
        if counted and not things and not is_placed(words, breaks, start, end, earliest, latest):
            continue
        if _is_limit_or_plea(words, mention, moment):
            continue
        quantity = mention.quantity or _quantity(words, breaks, mention, earliest, moment)
        if quantity is not None:
            places, around = range(start, end), range(earliest, latest)
            quantity = rate_of(quantity, words, places, around, moment)
        if mention.unit is None and quantity in _WHOLE and 0 < mention.values[0] < 1:
            continue
        known = replace(
            mention,
            quantity=quantity,
            named=quantity is not moment.quantity,
            hedged=mention.hedged
            or is_counting(words[start:end])
            or is_hedged(words, breaks, start, end, earliest, latest),
        )
        if moment.quantity is Quantity.COUNT and (things or _is_count(words, known)):
            known = replace(known, unit=Unit.COUNTED, quantity=Quantity.COUNT)
        if known.unit is Unit.PER_MINUTE and known.quantity is Quantity.FLOW:
            known = replace(known, unit=Unit.LITRES_PER_MINUTE)
        found.append((known, is_denied(words, start, earliest)))
    return found


def _as_row(mention: Mention, known: Iterable[SpokenNumber]) -> Mention:
    if not any(number in mention.numbers for number in known):
        return mention
    return replace(mention, unit=Unit.COUNTED, quantity=Quantity.COUNT)


def _of_count(words: Sequence[str], start: int, end: int) -> bool:
    """Whether a number counts what a step does ("five firm back blows"), or scores ("motor six").

    A score's number ends what is said, or another part follows it.
    """
    scores = start > 0 and words[start - 1] in SCORED
    ends = end == len(words) or words[end] in SCORED or words[end] in FILLERS
    return (scores and ends) or not THINGS.isdisjoint(words[end : end + LONGEST_THING])


def _is_count(words: Sequence[str], mention: Mention) -> bool:
    """Whether "eight breaths" is a count; "eight breaths a minute" is a rate."""
    said = words[mention.start : mention.end]
    return mention.unit is Unit.PER_MINUTE and not {"minute", "minutes", "min", "bpm"} & set(said)


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
    values = others[0].values if _is_all(others, len(without)) else ()
    return replace(number, misheard=True, sound_alikes=(*number.sound_alikes, *values))


def _is_other_length(mention: Mention, moment: Moment) -> bool:
    """Whether a length is told that no step asks for: "two centimeters deep"."""
    told = mention.quantity is Quantity.LENGTH and mention.unit is Unit.MILLIMETRES
    return (told or mention.unit is Unit.INCHES) and not _awaits(moment, Quantity.LENGTH)


_WEIGHING = frozenset("weigh weighs weighed weighing weight heavy".split())
_WEIGHED = frozenset("heavy patient man woman boy girl child baby".split())


def _is_weight(words: Sequence[str], mention: Mention, earliest: int, moment: Moment) -> bool:
    """Whether pounds or kilograms are what somebody weighs, and no pressure and no pull."""
    pounds = mention.unit in {Unit.PSI, Unit.POUNDS_FORCE} and _said_in_pounds(words, mention)
    kilograms = mention.unit is Unit.KILOGRAMS_FORCE and words[mention.end - 1] in KILOGRAMS
    if kilograms and not _awaits(moment, Quantity.PULL):
        return True
    before = words[max(earliest, mention.start - 4) : mention.start]
    weighed = not _WEIGHING.isdisjoint(before) or not _WEIGHED.isdisjoint(
        words[mention.end : mention.end + 1]
    )
    return (pounds or kilograms) and weighed


def _said_in_pounds(words: Sequence[str], mention: Mention) -> bool:
    return (words[mention.end - 1],) in POUNDS


def _as_awaited(words: Sequence[str], mention: Mention, moment: Moment) -> Mention:
    """Pounds are of a pull, and centimetres of water, where that is awaited and nothing else."""
    if mention.unit is Unit.PSI and _said_in_pounds(words, mention):
        pulled = _awaits(moment, Quantity.PULL) and not _awaits(moment, Quantity.PRESSURE)
        return replace(mention, unit=Unit.POUNDS_FORCE) if pulled else mention
    if mention.unit is Unit.MILLIMETRES and mention.quantity is Quantity.LENGTH:
        water = _awaits(moment, Quantity.AIRWAY_PRESSURE) and not _awaits(moment, Quantity.LENGTH)
        if water:
            numbers = tuple(_scaled(number, 0.1) for number in mention.numbers)
            unit, quantity = Unit.CENTIMETRES_OF_WATER, Quantity.AIRWAY_PRESSURE
            return replace(mention, numbers=numbers, unit=unit, quantity=quantity)
    return mention


def _awaits(moment: Moment, quantity: Quantity) -> bool:
    """Whether some step has a use for a number of the quantity."""
    return quantity is moment.quantity or quantity in moment.step_ranges


def _one_and_a_half(words: Sequence[str], ends: Set[int]) -> list[SpokenNumber]:
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


def _with_units(
    words: Sequence[str], numbers: Sequence[SpokenNumber], rated: bool = False
) -> list[Mention]:
    """`rated`: "seven out of ten" is a seven."""
    mentions: list[Mention] = []
    place = 0
    while place < len(numbers):
        number = numbers[place]
        following = numbers[place + 1] if place + 1 < len(numbers) else None
        if following and words[number.end : following.start] == ["over"]:
            if min(number.values[0], following.values[0]) >= LOWEST_PAIRED:
                mentions.append(_pressure_pair(words, number, following))
            place += 2
            continue
        if mentions and number.start < mentions[-1].end:
            place += 1
            continue  # the two of "h two o"
        if rated and following and words[number.end : following.start] == ["out", "of"]:
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
    scaled = (_scaled(number, 10),)
    return Mention(number.start, end, scaled, Unit.MILLIMETRES, Quantity.LENGTH, hedged=hedged)


def _scaled(number: SpokenNumber, times: float) -> SpokenNumber:
    return replace(
        number,
        values=tuple(round(value * times, 6) for value in number.values),
        sound_alikes=tuple(round(value * times, 6) for value in number.sound_alikes),
    )


def _unit_after(
    words: Sequence[str], number: SpokenNumber, skipped: int = 0
) -> tuple[int, Unit | None]:
    start = unit_place(words, number.end + skipped)
    found = unit_at(words, start) if start is not None else None
    if start is None or found is None:
        return number.end, None
    return start + found[0], found[1]


def _pressure_pair(
    words: Sequence[str], systolic: SpokenNumber, diastolic: SpokenNumber
) -> Mention:
    end, unit = _unit_after(words, diastolic)
    said = unit is Unit.MILLIMETRES_OF_MERCURY
    return Mention(
        systolic.start,
        end if said else diastolic.end,
        (systolic, diastolic),
        unit if said else None,
        Quantity.BLOOD_PRESSURE,
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


def _parted(words: Sequence[str], mention: Mention, moment: Moment) -> list[Mention]:
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
        if not (_is_all(head, head_end - number.start) and _is_all(tail, number.end - cut)):
            continue
        if not moment.could_be_meant(quantity, mention.unit, tail[0].values[0]):
            continue
        first = replace(head[0], start=number.start, end=head_end)
        second = replace(tail[0], start=cut, end=number.end)
        rest = replace(mention, start=cut, numbers=(second,))
        return [Mention(number.start, head_end, (first,)), rest]
    return [mention]


def _is_all(numbers: Sequence[SpokenNumber], length: int) -> bool:
    return len(numbers) == 1 and numbers[0].start == 0 and numbers[0].end == length


def _quantity(
    words: Sequence[str], breaks: Set[int], mention: Mention, earliest: int, moment: Moment
) -> Quantity | None:
    asked = moment.quantity
    if mention.unit is not None:
        return quantity_of_unit(mention.unit, len(mention.numbers), moment)
    measured = EXTENTS.get(words[mention.end] if mention.end < len(words) else "")
    if measured is not None and (measured is asked or measured in moment.step_ranges):
        return measured
    if asked is None:
        before = breaks - {mention.start - 1}  # "the pulse is strong, ninety"
        named = named_quantity(words, before, mention.start, earliest, None)
        wanted = {named} if named is not Quantity.RATE else RATES
        return named if wanted & moment.step_ranges.keys() else None
    return named_quantity(words, breaks, mention.start, earliest, asked)


def quantity_of_unit(unit: Unit, count: int, moment: Moment) -> Quantity:
    """What was measured, told by the unit, the number of numbers, and what was asked for."""
    asked = moment.quantity
    ranged = set(moment.step_ranges)
    match unit:
        case Unit.LITRES_PER_MINUTE:
            return Quantity.FLOW
        case Unit.PERCENT:
            return Quantity.SATURATION
        case Unit.PER_MINUTE:
            return Quantity.FLOW if asked is Quantity.FLOW else Quantity.RATE
        case Unit.SECONDS | Unit.MINUTES:
            return Quantity.TIME
        case Unit.FRENCH:
            return Quantity.SIZE
        case Unit.INCHES:
            return Quantity.LENGTH
        case Unit.MILLIMETRES:
            if asked is Quantity.VACUUM:
                return Quantity.VACUUM  # "of mercury" is often left out
            sized = asked is Quantity.SIZE or (
                asked is not Quantity.LENGTH
                and Quantity.SIZE in ranged
                and Quantity.LENGTH not in ranged
            )
            return Quantity.SIZE if sized else Quantity.LENGTH
        case Unit.MILLIMETRES_OF_MERCURY:
            paired = count == 2 or asked is Quantity.BLOOD_PRESSURE
            return Quantity.BLOOD_PRESSURE if paired else Quantity.VACUUM
        case Unit.MILLIGRAMS_PER_DECILITRE | Unit.MILLIMOLES_PER_LITRE:
            return Quantity.GLUCOSE
        case Unit.MILLIGRAMS if asked is Quantity.GLUCOSE:
            return Quantity.GLUCOSE  # "per deciliter" is often left out
        case Unit.MILLIGRAMS | Unit.GRAMS:
            return Quantity.DOSE
        case Unit.COUNTED:
            return Quantity.COUNT
        case Unit.CENTIMETRES_OF_WATER | Unit.HECTOPASCAL:
            return Quantity.AIRWAY_PRESSURE
        case Unit.POUNDS_FORCE | Unit.NEWTONS | Unit.KILOGRAMS_FORCE | Unit.PERCENT_OF_WEIGHT:
            return Quantity.PULL
        case Unit.KILOPASCAL:
            sucked = asked is Quantity.VACUUM or (
                asked is not Quantity.PRESSURE
                and Quantity.VACUUM in ranged
                and Quantity.PRESSURE not in ranged
            )
            return Quantity.VACUUM if sucked else Quantity.PRESSURE
        case _:
            return Quantity.PRESSURE


_WHOLE = frozenset({Quantity.PRESSURE, Quantity.SATURATION, Quantity.LENGTH}) | RATES
"""Quantities of which "three quarters" tells no number but how full something is."""


_PLEAS = frozenset("give wait hang hold just need in another take".split())
_LIMITS = frozenset("every each than most within under".split())


def _is_limit_or_plea(words: Sequence[str], mention: Mention, moment: Moment) -> bool:
    """Whether a time is asked for or set, not told: "give me two minutes", "every six seconds"."""
    if mention.unit not in {Unit.SECONDS, Unit.MINUTES} or moment.quantity is Quantity.TIME:
        return False
    before = words[max(0, mention.start - 3) : mention.start]
    if any(word in _PLEAS for word in before) or any(word in _LIMITS for word in before[-1:]):
        return True
    last = words[mention.end - 1]
    wait = all(word in FILLERS for word in (*words[: mention.start], *words[mention.end :]))
    return wait and mention.values[0] <= 1 and last in {"second", "minute", "sec", "min"}
