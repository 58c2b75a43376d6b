"""In which other units a number said without one may be meant, so that the coach has to ask."""

from __future__ import annotations

from collections.abc import Sequence

from coach.core.units import UNITS_OF, Quantity, Unit
from coach.language.context import Range
from coach.language.number_ranges import SIZES_MEANT, Moment, slack_of
from coach.language.number_units import centimetres_at, unit_at
from coach.trade.unit_conversions import converted_to
from coach.trade.wording import unit_words

CENTIMETRES = "centimeters"
"""No unit of any reading, but lengths and depths are printed and told in it."""

MILLIMETRES_PER_CENTIMETRE = 10.0

LIKELY_FROM = 0.1
"""Share of the highest number of a range from which a number is likely by itself: 130 psi in a
cylinder that may hold 2200 is less likely than 130 bar (common practice, no source)."""


def unit_name(unit: Unit) -> str:
    """A unit as it is said after a number that is not one."""
    return unit_words(unit, 2)


def could_be_in(quantity: Quantity, unit: Unit, value: float, moment: Moment) -> tuple[str, ...]:
    """The units a bare number may be meant in, as said, the one that was asked for first.

    None where the number is likely in the unit asked for, or in no other: a number in the range
    stands unless it is unlikely there and likely in another unit.
    """
    asked = moment.range_of(quantity)
    if asked is None or asked.unit not in UNITS_OF[quantity]:
        return ()
    own = CENTIMETRES if asked.in_centimetres else unit_name(unit)
    within = asked.low <= value <= asked.high
    if within and (not asked.high or value / asked.high >= LIKELY_FROM):
        return ()
    said = value / MILLIMETRES_PER_CENTIMETRE if asked.in_centimetres else value
    others = dict.fromkeys(
        name
        for name, share in _others(quantity, said, asked, moment)
        if name != own and (not within or share >= LIKELY_FROM)
    )
    return (own, *others) if others else ()


def names_unit(words: Sequence[str]) -> tuple[int, int] | None:
    """Where a unit is named in words that hold no number: its place and length; None where none
    is, or more than one."""
    found: list[tuple[int, int]] = []
    at = 0
    while at < len(words):
        known = unit_at(words, at)
        length = centimetres_at(words, at) or (known[0] if known else 0)
        if length:
            found.append((at, length))
        at += max(1, length)
    return found[0] if len(found) == 1 else None


def _others(
    quantity: Quantity, said: float, asked: Range, moment: Moment
) -> list[tuple[str, float]]:
    """Units in which the number lies in the range, each with its share of the highest number."""
    found: list[tuple[str, float]] = []
    for unit in UNITS_OF[quantity]:
        if quantity is Quantity.SIZE:  # an outer and an inner measure, never converted
            low, high = SIZES_MEANT[unit]
            if unit is not asked.unit and low <= said <= high:
                found.append((unit_name(unit), 1.0))
            continue
        found += _if_in(quantity, asked, said, unit, unit_name(unit))
    if quantity is Quantity.LENGTH:
        millimetres = said * MILLIMETRES_PER_CENTIMETRE
        found += _if_in(quantity, asked, millimetres, Unit.MILLIMETRES, CENTIMETRES)
    other = {Quantity.LENGTH: Quantity.SIZE, Quantity.SIZE: Quantity.LENGTH}.get(quantity)
    beside = moment.step_ranges.get(other) if other else None
    if beside is not None:
        found += _if_in(other or quantity, beside, said, beside.unit, unit_name(beside.unit))
    return found


def _if_in(
    quantity: Quantity, asked: Range, value: float, unit: Unit, name: str
) -> list[tuple[str, float]]:
    converted = converted_to(value, unit, asked.unit)
    slack = slack_of(quantity, other=unit is not asked.unit)
    low, high = asked.low * (1 - slack), asked.high * (1 + slack)
    if converted is None or not low <= round(converted, 3) <= high:
        return []
    return [(name, converted / asked.high if asked.high else 1.0)]
