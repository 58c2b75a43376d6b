"""Pressures in centimetres of water and pulls: how they are said, and what they are elsewhere."""

from __future__ import annotations

import pint
import pytest

from coach.core.meaning import Doubt, Reading
from coach.core.units import Quantity, Unit
from coach.language.context import Range
from coach.language.readings import find_readings
from coach.trade.unit_conversions import converted_to
from coach.trade.wording import read_back

WATER, PULL = Quantity.AIRWAY_PRESSURE, Quantity.PULL
PRESSURE, LENGTH = Quantity.PRESSURE, Quantity.LENGTH
REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
SPLINT = Range(1, 15, Unit.POUNDS_FORCE, also=(Range(1, 10, Unit.PERCENT_OF_WEIGHT),))


def shown(readings: tuple[Reading, ...]) -> list[tuple[float, str]]:
    return [(reading.values[0], str(reading.unit)) for reading in readings]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("ten centimeters of water", 10),
        ("seven and a half centimetres of water", 7.5),
        ("five cm H2O", 5),
        ("five centimeters h two o", 5),
        ("8 cmH2O", 8),
        ("ten centimeters", 10),
        ("five of water", 5),
        ("ten of peep", 10),
        ("the valve is at ten", 10),
        ("CPAP is at seven", 7),
    ],
)
def test_centimetres_of_water_as_said(text: str, value: float) -> None:
    assert shown(find_readings(text, WATER)) == [(value, "cmH2O")]


def test_a_valve_may_be_marked_in_hectopascals() -> None:
    assert shown(find_readings("ten hectopascals", WATER)) == [(10, "hPa")]
    assert shown(find_readings("eight millibars", WATER)) == [(8, "hPa")]


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("fifteen pounds", 15, "lbf"),
        ("ten pounds of pull", 10, "lbf"),
        ("twelve lbs of traction", 12, "lbf"),
        ("fifteen", 15, "lbf"),
        ("fifty newtons", 50, "N"),
        ("six kilos", 6, "kgf"),
        ("six kilograms of traction", 6, "kgf"),
        ("ten percent of his body weight", 10, "% of weight"),
        ("eight percent of the patient's weight", 8, "% of weight"),
    ],
)
def test_pulls_as_said(text: str, value: float, unit: str) -> None:
    assert shown(find_readings(text, PULL)) == [(value, unit)]


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("fifteen pounds", True),
        ("sixteen pounds", False),
        ("sixty newtons", True),
        ("seventy newtons", False),
        ("six kilos", True),
        ("seven kilos", False),
        ("ten percent of her weight", True),
        ("eleven percent of her weight", False),
    ],
)
def test_each_unit_is_held_against_its_range(text: str, right: bool) -> None:
    [reading] = find_readings(text, PULL, SPLINT)
    assert (reading.doubt is not Doubt.OUT_OF_RANGE) is right


@pytest.mark.parametrize("expect", [None, PRESSURE, PULL, Quantity.SATURATION])
@pytest.mark.parametrize(
    "text",
    [
        "he weighs one hundred fifty pounds",
        "her weight is eighty kilos",
        "she's a two hundred pound woman",
        "a ninety kilogram man",
    ],
)
def test_what_somebody_weighs_is_no_reading(text: str, expect: Quantity | None) -> None:
    assert find_readings(text, expect) == ()


def test_a_weight_beside_a_pull_stays_a_weight() -> None:
    told = find_readings("he weighs eighty kilos, so I pull fifteen pounds", PULL, SPLINT)
    assert shown(told) == [(15, "lbf")]


def test_elsewhere_pounds_and_centimetres_are_what_they_were() -> None:
    assert shown(find_readings("seventeen hundred pounds", PRESSURE)) == [(1700, "psi")]
    assert shown(find_readings("seventeen hundred pounds", None)) == [(1700, "psi")]
    assert shown(find_readings("nine centimeters", LENGTH)) == [(90, "mm")]
    both = {PULL: SPLINT, PRESSURE: Range(200, 2200, Unit.PSI)}
    assert shown(find_readings("nineteen hundred pounds", None, step_ranges=both)) == [
        (1900, "psi")
    ]


@pytest.mark.parametrize(
    ("unit", "words"),
    [
        (Unit.CENTIMETRES_OF_WATER, "one zero, ten centimeters of water"),
        (Unit.POUNDS_FORCE, "one zero, ten pounds of pull"),
        (Unit.KILOGRAMS_FORCE, "one zero, ten kilograms of pull"),
        (Unit.PERCENT_OF_WEIGHT, "one zero, ten percent of the weight"),
    ],
)
def test_they_are_read_back_with_what_they_are(unit: Unit, words: str) -> None:
    assert read_back((10.0,), unit) == words


# NIST SP 811 (2008), appendix B.8: 1 cmH2O (conventional) = 98.0665 Pa, 1 lbf = 4.448222 N,
# 1 kgf = 9.80665 N, read from the copy of its table in the R package NISTunits 1.0.1.
@pytest.mark.parametrize(
    ("unit", "other", "published", "start", "end"),
    [
        (Unit.CENTIMETRES_OF_WATER, Unit.HECTOPASCAL, 0.980665, "cmH2O", "hectopascal"),
        (Unit.POUNDS_FORCE, Unit.NEWTONS, 4.448222, "force_pound", "newton"),
        (Unit.KILOGRAMS_FORCE, Unit.NEWTONS, 9.80665, "force_kilogram", "newton"),
        (Unit.KILOGRAMS_FORCE, Unit.POUNDS_FORCE, 2.204623, "force_kilogram", "force_pound"),
    ],
)
def test_they_convert_as_published_and_as_pint_does(
    unit: Unit, other: Unit, published: float, start: str, end: str
) -> None:
    by_pint: float = REGISTRY(f"1 {start}").to(end).magnitude
    assert converted_to(1, unit, other) == pytest.approx(published, rel=1e-6)
    assert by_pint == pytest.approx(published, rel=1e-4)
    assert converted_to(published, other, unit) == pytest.approx(1, rel=1e-6)


def test_a_share_of_the_weight_is_no_force() -> None:
    assert converted_to(10, Unit.PERCENT_OF_WEIGHT, Unit.POUNDS_FORCE) is None
