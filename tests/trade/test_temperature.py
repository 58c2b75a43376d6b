"""Celsius and Fahrenheit against pint and printed tables; which scale a bare number is of."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from known_numbers import known_numbers
from speakable import assert_speakable, question_of, value_of

from coach.trade.questions import Question
from coach.trade.spoken_sums import temperature_words
from coach.trade.temperature import Degree, Temperature, body_temperature

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
C, F = Degree.CELSIUS, Degree.FAHRENHEIT
USUAL = known_numbers().temperatures


@given(st.floats(-100, 200))
def test_temperatures_convert_as_pint_converts_them(value: float) -> None:
    expected = REGISTRY.Quantity(value, "degC").to("degF").magnitude
    assert Temperature(value).fahrenheit == pytest.approx(expected, abs=1e-9)
    back = REGISTRY.Quantity(value, "degF").to("degC").magnitude
    assert Temperature.of(value, F).celsius == pytest.approx(back, abs=1e-9)


@given(st.floats(-100, 200), st.sampled_from(Degree))
def test_a_temperature_comes_back_from_its_scale(value: float, degree: Degree) -> None:
    assert Temperature.of(value, degree).in_degree(degree) == pytest.approx(value, abs=1e-9)


@pytest.mark.parametrize(
    ("celsius", "fahrenheit"),
    [
        # eatsip365.com, Body temperature chart (weak); 37 also manuelsweb.com/temp.htm
        (35.0, 95.0),
        (35.5, 95.9),
        (36.0, 96.8),
        (36.5, 97.7),
        (37.0, 98.6),
        (37.2, 99.0),
        (37.5, 99.5),
        (38.0, 100.4),
        (38.5, 101.3),
        (39.0, 102.2),
    ],
)
def test_the_printed_table(celsius: float, fahrenheit: float) -> None:
    assert round(Temperature(celsius).fahrenheit, 1) == fahrenheit
    assert Temperature.of(fahrenheit, F).celsius == pytest.approx(celsius, abs=0.03)


@given(st.floats(allow_nan=True) | st.floats(0, 130), st.none() | st.sampled_from(Degree))
def test_any_number_is_a_body_temperature_or_a_question(
    value: float, degree: Degree | None
) -> None:
    answer = body_temperature(value, USUAL, degree)
    if isinstance(answer, Question):
        assert_speakable(answer.words)
        return
    assert 13.0 - 1e-9 <= answer.temperature.celsius <= 46.5 + 1e-9
    assert answer.read_in is (degree or answer.read_in)
    assert_speakable(temperature_words(answer))
    if answer.check:
        assert_speakable(answer.check.words)


@given(st.floats(13.0, 46.5))
def test_a_bare_number_is_of_one_scale_only(celsius: float) -> None:
    assert value_of(body_temperature(celsius, USUAL)).read_in is C
    fahrenheit = Temperature(celsius).fahrenheit
    if 13.0 <= Temperature.of(fahrenheit, F).celsius <= 46.5:
        assert value_of(body_temperature(fahrenheit, USUAL)).read_in is F


@pytest.mark.parametrize(
    ("value", "degree", "asked"),
    [
        (98.6, C, "was it Fahrenheit?"),
        (37, F, "was it Celsius?"),
        (50, None, "what did it show?"),
        (50, C, "what did it show?"),
        (0, None, "what did it show?"),
        (140, None, "what did it show?"),
        (math.nan, None, "What I heard"),
        (math.inf, F, "What I heard"),
    ],
)
def test_what_no_body_has_is_asked_about(value: float, degree: Degree | None, asked: str) -> None:
    assert asked in question_of(body_temperature(value, USUAL, degree))


@pytest.mark.parametrize(("value", "asked"), [(33.9, True), (34, False), (43, False), (43.5, True)])
def test_the_rare_is_measured_again(value: float, asked: bool) -> None:
    assert (value_of(body_temperature(value, USUAL, C)).check is not None) is asked


def test_what_is_said() -> None:
    assert temperature_words(value_of(body_temperature(38, USUAL))) == (
        "Thirty-eight Celsius is one hundred point four Fahrenheit."
    )
    assert temperature_words(value_of(body_temperature(98.6, USUAL))) == (
        "Ninety-eight point six Fahrenheit is thirty-seven Celsius."
    )
