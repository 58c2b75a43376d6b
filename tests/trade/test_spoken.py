"""What the voice says of a time: whole minutes, the assumptions aloud, two sentences at most."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from known_cylinders import find_cylinder

from coach.core.units import Duration, Flow, Pressure, Unit
from coach.trade.amounts import WrittenPressure
from coach.trade.cylinders import Region
from coach.trade.spoken import (
    Need,
    cylinder_words,
    reserve_words,
    rounded_up_in,
    spoken_answer,
)

RESERVE = WrittenPressure(200, Unit.PSI)
ASSUMED = (cylinder_words(find_cylinder("D")), reserve_words(RESERVE))
NEED = Need(Duration(15), 225, WrittenPressure(1607, Unit.PSI), enough=True)


def test_the_time_comes_first_and_the_assumptions_after() -> None:
    assert spoken_answer(Duration(16.9), Flow(15), ASSUMED) == (
        "Sixteen minutes at fifteen liters a minute, U S size D, factor point one six, "
        "keeping two hundred P S I in reserve."
    )


def test_at_the_reserve_the_cylinder_is_to_be_changed() -> None:
    assert spoken_answer(Duration(0), Flow(15), ASSUMED) == (
        "Zero minutes: change the cylinder. The gauge is at or below the reserve: U S size D, "
        "factor point one six, keeping two hundred P S I in reserve."
    )


def test_less_than_a_minute_is_not_called_a_minute() -> None:
    said = spoken_answer(Duration(0.99), Flow(15), ASSUMED)
    assert said.startswith("Less than one minute: change the cylinder. That is at fifteen liters")


@pytest.mark.parametrize(
    ("enough", "ending"),
    [
        (True, "P S I: what is left is enough."),
        (False, "P S I: what is left is not enough."),
        (None, "P S I."),
    ],
)
def test_a_need_is_the_second_sentence(enough: bool | None, ending: str) -> None:
    need = Need(Duration(15), 225, WrittenPressure(1607, Unit.PSI), enough)
    said = spoken_answer(Duration(16), Flow(15), ASSUMED, need)
    assert f". Fifteen minutes need at least sixteen hundred seven {ending}" in said


def test_a_need_no_cylinder_meets_is_not_given_in_pressure() -> None:
    need = Need(Duration(60), 900, WrittenPressure(5825, Unit.PSI), enough=False, beyond_full=True)
    said = spoken_answer(Duration(16), Flow(15), ASSUMED, need)
    assert said.endswith("One hour needs more than a full cylinder holds: plan for another.")


def test_a_need_alone_tells_its_flow_and_assumptions() -> None:
    need = Need(Duration(1), 15, WrittenPressure(294, Unit.PSI), None)
    assert spoken_answer(None, Flow(15), ASSUMED, need) == (
        "One minute at fifteen liters a minute needs at least two hundred ninety-four P S I, "
        "U S size D, factor point one six, keeping two hundred P S I in reserve."
    )
    with pytest.raises(ValueError, match="nothing to say"):
        spoken_answer(None, Flow(15), ASSUMED)


def test_a_need_without_a_gauge_is_in_liters() -> None:
    need = Need(Duration(7.5), 75, None, enough=False)
    said = spoken_answer(Duration(5), Flow(10), ("all of fifty liters used",), need)
    assert said.endswith(
        "Seven point five minutes need at least seventy-five liters: what is left is not enough."
    )


@given(st.none() | st.floats(0, 2000), st.floats(0.1, 60), st.none() | st.just(NEED))
def test_never_more_than_two_sentences_nor_a_digit(
    minutes: float | None, flow: float, need: Need | None
) -> None:
    if minutes is None:
        need = NEED
    left = Duration(minutes) if minutes is not None else None
    said = spoken_answer(left, Flow(flow), ASSUMED, need)
    assert 1 <= said.count(".") <= 2
    assert said[0].isupper()
    assert not any(sign.isdigit() for sign in said)
    assert "factor point one six" in said
    assert "keeping two hundred P S I in reserve" in said
    assert "minus" not in said


def test_no_reserve_is_said_too() -> None:
    assert reserve_words(WrittenPressure(0, Unit.PSI)) == "keeping nothing in reserve"


@pytest.mark.parametrize(
    ("region", "letter", "words"),
    [
        (Region.US, "M15", "U S size M fifteen, factor point one eight seven"),
        (Region.UK, "CD", "U K size C D, factor point one three seven"),
        (Region.ANZ, "D", "Australian and New Zealand size D, factor point six zero eight"),
    ],
)
def test_the_country_of_the_letter_is_said(region: Region, letter: str, words: str) -> None:
    assert cylinder_words(find_cylinder(letter, region)) == words


@given(
    st.integers(0, 5000).map(float) | st.floats(0, 5000),
    st.sampled_from([Unit.PSI, Unit.BAR, Unit.KILOPASCAL, Unit.MEGAPASCAL]),
)
def test_a_minimum_is_never_said_too_low(psi: float, unit: Unit) -> None:
    step = 0.1 if unit is Unit.MEGAPASCAL else 1
    said = rounded_up_in(Pressure(psi), unit)
    assert said.pressure >= Pressure(psi)
    assert said.value - Pressure(psi).in_unit(unit) < step + 1e-9
