"""Numbers as spoken: by example, and cardinals against the open library num2words."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words  # type: ignore[import-untyped]  # it ships no types

from coach.core.units import Unit
from coach.trade.wording import (
    cardinal,
    digit_words,
    duration_words,
    number_words,
    read_back,
    unit_words,
)


@given(st.integers(-999_999_999_999, 999_999_999_999) | st.integers(0, 10_000))
def test_cardinals_agree_with_num2words(number: int) -> None:
    american = num2words(number, lang="en").replace(",", "").replace(" and ", " ")
    assert cardinal(number) == american


def test_a_cardinal_too_large_to_say_is_refused() -> None:
    with pytest.raises(ValueError, match="too large"):
        cardinal(10**12)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (1700, "seventeen hundred"),
        (1750, "seventeen fifty"),
        (1705, "seventeen hundred five"),
        (1710, "seventeen ten"),
        (1137, "eleven thirty-seven"),
        (2000, "two thousand"),
        (2050, "two thousand fifty"),
        (2200, "twenty-two hundred"),
        (2216, "twenty-two sixteen"),
        (1000, "one thousand"),
        (1005, "one thousand five"),
        (1050, "one thousand fifty"),
        (1100, "eleven hundred"),
        (9900, "ninety-nine hundred"),
        (13700, "thirteen thousand seven hundred"),
        (500, "five hundred"),
        (205, "two hundred five"),
        (94, "ninety-four"),
        (15, "fifteen"),
        (50, "fifty"),
        (0, "zero"),
        (-0.0, "zero"),
        (-0.0001, "zero"),
        (-2.5, "minus two point five"),
        (2.5, "two point five"),
        (0.5, "point five"),
        (0.16, "point one six"),
        (3.14, "three point one four"),
        (0.05, "point zero five"),
        (1700.0, "seventeen hundred"),
        (0.1 + 0.2, "point three"),
        (1e-7, "zero"),
    ],
)
def test_numbers_as_a_crew_says_them(value: float, words: str) -> None:
    assert number_words(value) == words


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_is_not_said(value: float) -> None:
    with pytest.raises(ValueError, match="not a number"):
        number_words(value)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (1700, "one seven zero zero"),
        (15, "one five"),
        (8, "eight"),
        (2.5, "two point five"),
        (0.5, "zero point five"),
        (13.8, "one three point eight"),
        (0, "zero"),
    ],
)
def test_numbers_digit_by_digit(value: float, words: str) -> None:
    assert digit_words(value) == words


@pytest.mark.parametrize(
    ("unit", "value", "words"),
    [
        (Unit.PSI, 1, "P S I"),
        (Unit.LITRES_PER_MINUTE, 15, "liters a minute"),
        (Unit.LITRES_PER_MINUTE, 1, "liter a minute"),
        (Unit.LITRES_PER_MINUTE, 0.5, "liters a minute"),
        (Unit.PERCENT, 94, "percent"),
        (Unit.PER_MINUTE, 10, "a minute"),
        (Unit.SECONDS, 1, "second"),
        (Unit.MILLIMETRES, 90, "millimeters"),
        (Unit.FRENCH, 14, "French"),
        (Unit.MILLIMETRES_OF_MERCURY, 300, "millimeters of mercury"),
        (Unit.MILLIGRAMS_PER_DECILITRE, 70, "milligrams per deciliter"),
        (Unit.MILLIMOLES_PER_LITRE, 3.9, "millimoles per liter"),
        (Unit.MILLIGRAMS, 0.3, "milligrams"),
        (Unit.GRAMS, 1, "gram"),
    ],
)
def test_units_as_said(unit: Unit, value: float, words: str) -> None:
    assert unit_words(unit, value) == words


def test_every_unit_can_be_said_without_symbols() -> None:
    for unit in Unit:
        assert unit_words(unit, 2).replace(" ", "").isalpha()


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (0, "zero minutes"),
        (1, "one minute"),
        (16, "sixteen minutes"),
        (60, "one hour"),
        (61, "one hour and one minute"),
        (65, "one hour and five minutes"),
        (120, "two hours"),
        (576, "nine hours and thirty-six minutes"),
    ],
)
def test_durations_as_said(minutes: int, words: str) -> None:
    assert duration_words(minutes) == words


def test_a_negative_duration_is_refused() -> None:
    with pytest.raises(ValueError, match="negative"):
        duration_words(-1)


@pytest.mark.parametrize(
    ("values", "unit", "words"),
    [
        ((1700,), Unit.PSI, "one seven zero zero, seventeen hundred P S I"),
        ((15,), Unit.LITRES_PER_MINUTE, "one five, fifteen liters a minute"),
        ((8,), Unit.LITRES_PER_MINUTE, "eight liters a minute"),
        ((2.5,), Unit.LITRES_PER_MINUTE, "two point five liters a minute"),
        (
            (110, 70),
            Unit.MILLIMETRES_OF_MERCURY,
            "one one zero over seven zero, one hundred ten over seventy",
        ),
    ],
)
def test_readings_are_said_back_as_digits_and_words(
    values: tuple[float, ...], unit: Unit, words: str
) -> None:
    assert read_back(values, unit) == words


@pytest.mark.parametrize("values", [(), (1.0, 2.0, 3.0)])
def test_a_reading_of_no_or_three_numbers_is_refused(values: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="one number"):
        read_back(values, Unit.PSI)


@given(st.integers(13, 19))
def test_fifteen_and_fifty_never_sound_the_same_when_read_back(teen: int) -> None:
    ty = (teen - 10) * 10
    said = read_back((teen,), Unit.PERCENT)
    assert said.split(",")[0] != read_back((ty,), Unit.PERCENT).split(",")[0]
