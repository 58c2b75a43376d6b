"""Readings in what was said: which numbers count, in which unit, and how sure they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace

from coach.core.meaning import Doubt, Expectation, Reading
from coach.core.units import UNITS_OF, Quantity, Unit
from coach.language.context import Range
from coach.language.measured import scaled
from coach.language.mention import Mention
from coach.language.normal import Token, tokens
from coach.language.number_context import Relation, is_unsettled, is_withdrawn, relation
from coach.language.number_mentions import find_mentions
from coach.language.number_outlook import outlook
from coach.language.number_ranges import Moment
from coach.language.numbers import SpokenNumber
from coach.language.unit_rivals import MILLIMETRES_PER_CENTIMETRE, could_be_in

HIGHEST_FLOW = 25.0
"""L/min; the most a portable regulator gives (common practice, no source). "Seventeen hundred at
fifteen" is a pressure and a flow up to here."""


@dataclass(frozen=True, slots=True)
class FoundReading:
    """A reading and the words it was said with: tokens `start` to `end` (not included)."""

    reading: Reading
    start: int
    end: int


def find_readings(
    text_or_tokens: str | Sequence[Token],
    expect: Expectation | None,
    expect_range: Range | None = None,
    step_ranges: Mapping[Quantity, Range] | None = None,
    highest_psi: float = 2640.0,
    besides: frozenset[Quantity] = frozenset(),
) -> tuple[Reading, ...]:
    """The readings in an utterance, in the order said, each in the unit said.

    A number without a unit is taken for the quantity that is expected, and means nothing if none
    is. Of numbers that correct each other the last counts. `highest_psi` is the highest gauge of a
    cylinder that is believed (psi). `besides` are quantities that are heard only where they are
    told by name.
    """
    found = locate_readings(text_or_tokens, expect, expect_range, step_ranges, highest_psi, besides)
    return tuple(place.reading for place in found)


def locate_readings(
    text_or_tokens: str | Sequence[Token],
    expect: Expectation | None,
    expect_range: Range | None = None,
    step_ranges: Mapping[Quantity, Range] | None = None,
    highest_psi: float = 2640.0,
    besides: frozenset[Quantity] = frozenset(),
) -> tuple[FoundReading, ...]:
    """As `find_readings`, with the place of each reading in the tokens."""
    said = tokens(text_or_tokens) if isinstance(text_or_tokens, str) else tuple(text_or_tokens)
    words = [token.word for token in said]
    breaks = frozenset(place for place, token in enumerate(said) if token.break_after)
    moment = Moment(expect, expect_range, step_ranges or {}, highest_psi, besides)
    found = find_mentions(words, breaks, moment)
    settled = _settled(words, _as_it_is(words, breaks, found), moment)
    return tuple(
        FoundReading(_reading(mention, mention.quantity, moment), mention.start, mention.end)
        for mention in settled
        if mention.quantity is not None
    )


def _as_it_is(
    words: Sequence[str], breaks: Set[int], found: Sequence[tuple[Mention, bool]]
) -> list[tuple[Mention, bool]]:
    """The numbers with how each is told; what is only planned goes where another is told of the
    same thing as it is: "it should be fifteen but it reads ten"."""
    told = [
        (replace(mention, outlook=outlook(words, breaks, mention.start, mention.end)), denied)
        for mention, denied in found
    ]
    sure = {mention.quantity for mention, denied in told if not denied and not mention.outlook}
    return [each for each in told if each[0].outlook is None or each[0].quantity not in sure]


def _settled(
    words: Sequence[str], found: Sequence[tuple[Mention, bool]], moment: Moment
) -> list[Mention]:
    """The numbers that stand after all corrections within the utterance."""
    kept: list[Mention] = []
    for mention, denied in found:
        if denied:
            continue
        if not kept:
            kept.append(mention)
            continue
        earlier = kept[-1]
        gap = words[earlier.end : mention.start]
        link = relation(gap, words[: earlier.start])
        if list(gap) == ["at"] and _is_flow_after_pressure(earlier, mention):
            kept.append(replace(mention, quantity=Quantity.FLOW))
        elif _same_thing(earlier, mention, link):
            kept[-1] = _joined(earlier, mention, link)
        else:
            kept.append(mention)
    if kept:
        rest = words[kept[-1].end :]
        if is_withdrawn(rest):
            kept.pop()
        elif is_unsettled(rest):
            kept[-1] = replace(kept[-1], hedged=True)
    return _one_bare(kept)


def _is_flow_after_pressure(earlier: Mention, later: Mention) -> bool:
    return (
        earlier.quantity is Quantity.PRESSURE
        and later.unit is None
        and len(later.numbers) == 1
        and later.values[0] <= HIGHEST_FLOW
    )


def _same_thing(earlier: Mention, later: Mention, link: Relation) -> bool:
    """Whether two numbers are said of the same thing, so that only one can stand."""
    if link is Relation.SEPARATE:
        return False
    if earlier.unit is not None and later.unit is not None:
        if earlier.quantity is not later.quantity:
            return False
        return link is not Relation.ONCE_MORE or earlier.end == later.start
    if earlier.quantity is None or later.quantity is None or link is not Relation.ONCE_MORE:
        return link is not Relation.ONCE_MORE or earlier.values == later.values
    return earlier.quantity is later.quantity or (earlier.named and not later.named)


def _joined(earlier: Mention, later: Mention, link: Relation) -> Mention:
    """The later number, with what the earlier one still says of it."""
    unit = later.unit or earlier.unit
    told = later if later.unit or later.named else earlier
    quantity = told.quantity or later.quantity or earlier.quantity
    merged = replace(later, start=earlier.start, unit=unit, quantity=quantity)
    if len(earlier.numbers) == 2 and len(later.numbers) == 1:
        return replace(merged, numbers=(earlier.numbers[0], later.numbers[0]), hedged=True)
    if link is Relation.CORRECTED:
        return merged
    before = _scaled_like(earlier, later)
    if link is Relation.ONCE_MORE and before == later.values:
        number = _said_both_ways(earlier.numbers[0], later.numbers[0])
        numbers = (number, *later.numbers[1:])
        return replace(merged, numbers=numbers, hedged=earlier.hedged or later.hedged)
    return replace(merged, hedged=True, rivals=(*earlier.rivals, *before))


def _scaled_like(earlier: Mention, later: Mention) -> tuple[float, ...]:
    """ "fifteen or sixteen hundred": the fifteen is fifteen hundred."""
    first, last = earlier.values[0], later.values[0]
    for scale in (100.0, 1000.0):
        shared = earlier.unit is None and first < 100 <= last and last % scale == 0
        if shared and 0.2 < first * scale / last < 5:
            return (first * scale,)
    return earlier.values


def _said_both_ways(first: SpokenNumber, second: SpokenNumber) -> SpokenNumber:
    return replace(
        second,
        values=second.values if len(second.values) == 1 else first.values,
        in_words=first.in_words or second.in_words,
        in_digits=first.in_digits or second.in_digits,
        sound_alikes=second.sound_alikes or first.sound_alikes,
    )


def _one_bare(kept: Sequence[Mention]) -> list[Mention]:
    """Of several numbers taken for the awaited one, the last, in doubt; one with a unit wins."""
    awaited: dict[Quantity, list[Mention]] = {}
    for mention in kept:
        if mention.quantity is not None:
            awaited.setdefault(mention.quantity, []).append(mention)
    standing: list[Mention] = []
    for mention in kept:
        rivals = awaited.get(mention.quantity, []) if mention.quantity else []
        if mention.unit is not None or len(rivals) <= 1:
            standing.append(mention)
            continue
        if any(rival.unit is not None for rival in rivals) or mention is not rivals[-1]:
            continue
        values = tuple(rival.values[0] for rival in rivals[:-1])
        standing.append(replace(mention, hedged=True, rivals=(*mention.rivals, *values)))
    return standing


def _reading(mention: Mention, quantity: Quantity, moment: Moment) -> Reading:
    unit = mention.unit or moment.own_unit(quantity, mention.values[0])
    if unit not in UNITS_OF[quantity]:
        unit = UNITS_OF[quantity][0]
    asked = moment.range_of(quantity)
    scale = MILLIMETRES_PER_CENTIMETRE if asked and asked.in_centimetres else 1.0
    mention = replace(
        mention,
        numbers=tuple(
            _fitted(n if mention.unit else scaled(n, scale), quantity, unit)
            for n in mention.numbers
        ),
    )
    chosen = tuple(
        _likeliest(number, quantity, unit, moment, lower=place > 0)
        for place, number in enumerate(mention.numbers)
    )
    alike = [
        value
        for number, main in zip(mention.numbers, chosen, strict=True)
        for value in _mistakable(number)
        if value != main and moment.could_be_meant(quantity, unit, value)
    ]
    offered = [v for v in mention.rivals if moment.could_be_meant(quantity, unit, v)]
    doubt = None
    if not _all_allowed(chosen, quantity, unit, moment):
        doubt = Doubt.OUT_OF_RANGE
    elif alike or any(number.misheard for number in mention.numbers):
        doubt = Doubt.SOUND_ALIKE
    elif mention.hedged or (quantity is Quantity.TEMPERATURE and mention.unit is None):
        doubt = Doubt.HEDGED
    others = tuple(v for v in dict.fromkeys([*alike, *offered]) if v not in chosen)
    said = mention.unit is not None
    rivals = mention.could_be_in
    if not said and len(chosen) == 1:
        rivals = could_be_in(quantity, unit, chosen[0], moment)
    return Reading(quantity, chosen, unit, said, doubt, others, mention.outlook, rivals)


def _likeliest(
    number: SpokenNumber, quantity: Quantity, unit: Unit, moment: Moment, lower: bool
) -> float:
    """The value that makes most sense of those the words can mean."""
    allowed = (v for v in number.values if moment.allows(quantity, unit, v, lower))
    meant = (v for v in number.values if moment.could_be_meant(quantity, unit, v))
    return next(allowed, next(meant, number.values[0]))


def _mistakable(number: SpokenNumber) -> tuple[float, ...]:
    """The other numbers that the words mean, or that sound like them."""
    if number.in_words and number.in_digits and not number.misheard:
        return number.values
    return (*number.values, *number.sound_alikes)


def _all_allowed(values: tuple[float, ...], quantity: Quantity, unit: Unit, moment: Moment) -> bool:
    in_order = len(values) < 2 or values[0] > values[1]
    return in_order and all(
        moment.allows(quantity, unit, value, lower=place > 0) for place, value in enumerate(values)
    )


def _fitted(number: SpokenNumber, quantity: Quantity, unit: Unit) -> SpokenNumber:
    """The number as it is meant of a quantity.

    A vacuum may be said as a negative pressure: its size is what the gauge shows. Tubes of 7.5 mm
    are asked for as "a seven five" (common practice, no source).
    """
    values = number.values
    if quantity is Quantity.VACUUM:
        values = tuple(abs(value) for value in values)
    if (quantity, unit) == (Quantity.SIZE, Unit.MILLIMETRES) and number.in_digits:
        values = (*values, *(value / 10 for value in values if 30 <= value < 100))
    return replace(number, values=values)
