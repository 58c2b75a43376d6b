"""Gas from liquid oxygen against a textbook question, the gas law and pint."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from known_numbers import known_oxygen_numbers
from speakable import assert_speakable, question_of, value_of

from coach.core.units import Flow, Volume
from coach.trade.liquid_oxygen import KILOGRAMS_PER_POUND, LiquidUnit, gas_of_liquid
from coach.trade.oxygen import minutes_of_contents
from coach.trade.questions import Question
from coach.trade.spoken_sums import liquid_words

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
amounts = st.floats(0.01, 30)
units = st.sampled_from(LiquidUnit)
LIQUID = known_oxygen_numbers().liquid


def test_a_home_vessel_lasts_19_days() -> None:
    # Respiratory-care test question, qoschin.com PVtXI24TmlBY: 80 lb (2.5 lb a litre, 860 times the
    # volume) at 3 L/min, 8 hours a day: 19 days
    gas = value_of(gas_of_liquid(80, LiquidUnit.POUNDS, LIQUID))
    days = minutes_of_contents(gas, Flow(3)).minutes / 60 / 8
    assert int(days) == 19
    by_volume = value_of(gas_of_liquid(80 / 2.5, LiquidUnit.LITRES, LIQUID))
    assert gas.litres == pytest.approx(by_volume.litres)


def test_never_more_gas_than_published() -> None:
    # medicalalgorithms.com, Oxygen for respiratory supplies: 860.6 L a litre, 344.24 L a pound
    assert 860 <= LIQUID.gas_per_litre <= 860.6
    assert 344 <= LIQUID.gas_per_pound <= 344.24


def test_the_gas_law_says_the_same() -> None:
    # Liquid at its boiling point 1.141 kg/L, 31.998 g/mol (from memory: CRC Handbook); an ideal gas
    # at 1 atm and 70 F
    moles = 1141 / 31.998
    kelvin = REGISTRY.Quantity(70, "degF").to("kelvin").magnitude
    litres = moles * 0.082057 * kelvin
    assert litres == pytest.approx(LIQUID.gas_per_litre, rel=0.005)


def test_a_pound_is_pints_pound() -> None:
    assert REGISTRY.Quantity(1, "pound").to("kilogram").magnitude == pytest.approx(
        KILOGRAMS_PER_POUND
    )


@given(st.floats(0.01, 70))
def test_pounds_and_kilograms_agree(kilograms: float) -> None:
    pounds = REGISTRY.Quantity(kilograms, "kilogram").to("pound").magnitude
    assert value_of(gas_of_liquid(pounds, LiquidUnit.POUNDS, LIQUID)).litres == pytest.approx(
        value_of(gas_of_liquid(kilograms, LiquidUnit.KILOGRAMS, LIQUID)).litres
    )


@given(amounts, units, st.floats(0, 100))
def test_half_full_gives_half_as_much(amount: float, unit: LiquidUnit, percent: float) -> None:
    full = value_of(gas_of_liquid(amount, unit, LIQUID))
    part = value_of(gas_of_liquid(amount, unit, LIQUID, percent))
    assert part.litres == pytest.approx(full.litres * percent / 100)
    assert_speakable(liquid_words(amount, unit, part))


@pytest.mark.parametrize(
    ("amount", "unit", "percent", "asked"),
    [
        (-1, LiquidUnit.LITRES, 100, "Liters of liquid"),
        (500, LiquidUnit.POUNDS, 100, "Pounds of liquid"),
        (math.nan, LiquidUnit.KILOGRAMS, 100, "what I heard"),
        (2, LiquidUnit.LITRES, 120, "Percent full"),
        (2, LiquidUnit.LITRES, math.nan, "Percent full"),
    ],
)
def test_what_no_vessel_holds_is_asked_about(
    amount: float, unit: LiquidUnit, percent: float, asked: str
) -> None:
    assert asked in question_of(gas_of_liquid(amount, unit, LIQUID, percent))


@given(st.floats(allow_nan=True), units, st.floats(allow_nan=True))
def test_any_numbers_give_a_volume_or_a_question(
    amount: float, unit: LiquidUnit, percent: float
) -> None:
    answer = gas_of_liquid(amount, unit, LIQUID, percent)
    if isinstance(answer, Question):
        assert_speakable(answer.words)


def test_what_is_said() -> None:
    gas = value_of(gas_of_liquid(2, LiquidUnit.LITRES, LIQUID))
    assert liquid_words(2, LiquidUnit.LITRES, gas) == (
        "Two liters of liquid make about one thousand seven hundred twenty liters of gas."
    )
    assert liquid_words(1, LiquidUnit.POUNDS, Volume(344)) == (
        "One pound of liquid makes about three hundred forty-four liters of gas."
    )
