"""Which numbers are lawful in any of their units, and when one that was read is the one shown."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.units import UNITS_OF, Quantity, Unit
from coach.trade.lawful_numbers import is_lawful, lawful_range
from coach.trade.unit_conversions import converted_to, in_first_unit, reads_the_same

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
C, F = Unit.DEGREES_CELSIUS, Unit.DEGREES_FAHRENHEIT
KG, LB = Unit.KILOGRAMS, Unit.POUNDS
EVERY_UNIT = [(quantity, unit) for quantity in Quantity for unit in UNITS_OF[quantity]]


@pytest.mark.parametrize(("quantity", "unit"), EVERY_UNIT)
def test_every_quantity_has_lawful_numbers_in_each_of_its_units(
    quantity: Quantity, unit: Unit
) -> None:
    low, high = lawful_range(quantity, unit)
    assert 0 <= low < high
    assert is_lawful(quantity, unit, low)
    assert is_lawful(quantity, unit, high)
    assert not is_lawful(quantity, unit, high * 1.01)
    assert not is_lawful(quantity, unit, -1)


def test_the_same_numbers_are_lawful_in_another_unit() -> None:
    low, high = lawful_range(Quantity.TEMPERATURE, F)
    for end, celsius in zip((low, high), lawful_range(Quantity.TEMPERATURE, C), strict=True):
        assert end == pytest.approx(REGISTRY.Quantity(celsius, "degC").to("degF").magnitude)
    heaviest = REGISTRY.Quantity(350, "kilogram").to("pound").magnitude
    assert lawful_range(Quantity.WEIGHT, LB)[1] == pytest.approx(heaviest)


@pytest.mark.parametrize(
    ("read", "unit", "shown", "shown_unit", "same"),
    [
        (36.4, C, 36.4, C, True),
        (36.5, C, 36.4, C, False),
        (97.5, F, 36.4, C, True),  # 97.52 by pint
        (97.9, F, 36.4, C, False),
        (101, LB, 46, KG, True),  # 101.4 by pint
        (100, LB, 46, KG, False),
        (46, KG, 101, LB, True),  # a whole kilogram is two pounds: no reader could say it nearer
        (47, KG, 101, LB, False),
        (46, KG, 46, KG, True),
        (47, KG, 46, KG, False),
        (5.5, Unit.MILLIMOLES_PER_LITRE, 99, Unit.MILLIGRAMS_PER_DECILITRE, True),
        (5, Unit.MILLIMOLES_PER_LITRE, 99, Unit.MILLIGRAMS_PER_DECILITRE, False),
        (9, Unit.PERCENT, 9, KG, None),
    ],
)
def test_a_number_that_was_read_is_the_one_shown(
    read: float, unit: Unit, shown: float, shown_unit: Unit, same: bool | None
) -> None:
    assert reads_the_same(read, unit, shown, shown_unit) is same


@given(st.floats(2, 350))
def test_what_is_read_to_the_whole_kilogram_is_the_weight_in_whole_pounds(kilograms: float) -> None:
    pounds = round(REGISTRY.Quantity(kilograms, "kilogram").to("pound").magnitude)
    nearest = REGISTRY.Quantity(pounds, "pound").to("kilogram").magnitude
    assert reads_the_same(round(nearest), KG, pounds, LB)


def test_there_is_no_way_between_an_inner_and_an_outer_measure() -> None:
    assert converted_to(28, Unit.FRENCH, Unit.MILLIMETRES) is None
    assert in_first_unit(Quantity.SIZE, Unit.FRENCH, 28) == 28
    assert math.isclose(in_first_unit(Quantity.WEIGHT, LB, 100), 45.359237)
