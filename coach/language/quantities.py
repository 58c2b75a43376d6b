"""What a number is a reading of: told by its unit, by the words around it, by what was asked."""

from __future__ import annotations

from collections.abc import Sequence, Set

from coach.core.units import PERCENTAGES, RATES, Quantity, Unit
from coach.language.mention import Mention
from coach.language.number_context import EXTENTS, named_behind, named_quantity
from coach.language.number_ranges import Moment


def quantity_of(
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
        named = named or named_behind(words, breaks, mention.end)
        if named is Quantity.PRESSURE and not moment.awaits(named):
            named = Quantity.VACUUM  # of its gauge
        wanted = {named} if named is not Quantity.RATE else RATES
        return named if wanted & moment.step_ranges.keys() else None
    behind = named_behind(words, breaks, mention.end)
    named = named_quantity(words, breaks, mention.start, earliest, asked)
    if asked is Quantity.COUNT and not moment.allows(asked, Unit.COUNTED, mention.values[0]):
        own = named_quantity(words, breaks, mention.start, earliest, None)
        named = own if own in RATES & moment.step_ranges.keys() else named
    return behind if named is asked and behind in moment.step_ranges else named


def quantity_of_unit(unit: Unit, count: int, moment: Moment) -> Quantity:
    """What was measured, told by the unit, the number of numbers, and what was asked for."""
    asked = moment.quantity
    ranged = set(moment.step_ranges)
    match unit:
        case Unit.LITRES_PER_MINUTE:
            return Quantity.FLOW
        case Unit.PERCENT if asked in PERCENTAGES:
            return asked
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
        case Unit.MILLIGRAMS if asked is Quantity.GLUCOSE or (
            asked is None and Quantity.GLUCOSE in ranged and Quantity.DOSE not in ranged
        ):
            return Quantity.GLUCOSE  # "per deciliter" is often left out
        case Unit.MILLIGRAMS | Unit.GRAMS:
            return Quantity.DOSE
        case Unit.COUNTED:
            return Quantity.COUNT
        case Unit.CENTIMETRES_OF_WATER | Unit.HECTOPASCAL:
            return Quantity.AIRWAY_PRESSURE
        case Unit.POUNDS_FORCE | Unit.NEWTONS | Unit.KILOGRAMS_FORCE | Unit.PERCENT_OF_WEIGHT:
            return Quantity.PULL
        case Unit.DEGREES_CELSIUS | Unit.DEGREES_FAHRENHEIT:
            return Quantity.TEMPERATURE
        case Unit.KILOGRAMS | Unit.POUNDS:
            return Quantity.WEIGHT
        case Unit.KILOPASCAL:
            sucked = asked is Quantity.VACUUM or (
                asked is not Quantity.PRESSURE
                and Quantity.VACUUM in ranged
                and Quantity.PRESSURE not in ranged
            )
            return Quantity.VACUUM if sucked else Quantity.PRESSURE
        case _:
            return Quantity.PRESSURE
