"""Amounts as people write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.errors import InputError
from coach.core.units import Flow, Unit
from coach.trade.amounts import (
    WrittenPressure,
    parse_factor,
    parse_flow,
    parse_litres,
    parse_minutes,
    parse_pressure,
    parse_water,
)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("1700 psi", 1700, Unit.PSI),
        ("1700psi", 1700, Unit.PSI),
        ("1,700 PSI", 1700, Unit.PSI),
        (" 1700  psig ", 1700, Unit.PSI),
        ("117 bar", 117, Unit.BAR),
        ("117.5Bar", 117.5, Unit.BAR),
        ("13700 kPa", 13_700, Unit.KILOPASCAL),
        ("13,700 KPA", 13_700, Unit.KILOPASCAL),
        ("13.7 mpa", 13.7, Unit.MEGAPASCAL),
        ("0 psi", 0, Unit.PSI),
    ],
)
def test_pressures(text: str, value: float, unit: Unit) -> None:
    assert parse_pressure(text, "--pressure") == WrittenPressure(value, unit)


def test_a_bare_pressure_takes_the_given_unit_or_is_asked_about() -> None:
    assert parse_pressure("20", "--reserve", Unit.BAR) == WrittenPressure(20, Unit.BAR)
    assert parse_pressure("20 psi", "--reserve", Unit.BAR) == WrittenPressure(20, Unit.PSI)
    with pytest.raises(InputError, match=r'unit is --pressure 1700.*"1700 psi"'):
        parse_pressure("1700", "--pressure")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("full", "not a pressure"),
        ("", "not a pressure"),
        ("nan psi", "not a pressure"),
        ("inf psi", "not a pressure"),
        ("13,8 bar", "not a pressure"),
        ("1,70 psi", "not a pressure"),
        ("1700 L", "not in a unit"),
        ("1700 psi psi", "not in a unit"),
        ("-5 psi", "below zero"),
        ("9" * 400 + " psi", "too large or too small"),
        ("0.0000001 psi", "too large or too small"),
    ],
)
def test_what_is_no_pressure(text: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        parse_pressure(text, "--pressure")


@pytest.mark.parametrize("unit", ["", " L/min", "lpm", " LPM", "L", " liters a minute", "l/m"])
def test_flows(unit: str) -> None:
    assert parse_flow(f"2.5{unit}", "--flow") == Flow(2.5)


@pytest.mark.parametrize("text", ["fast", "", "nan", "inf", "15 psi", "1e3", "15 15", "-5", "--"])
def test_what_is_no_flow(text: str) -> None:
    with pytest.raises(InputError, match="flow"):
        parse_flow(text, "--flow")


@pytest.mark.parametrize("text", ["0", "0.0 L/min", "-0"])
def test_a_flow_of_zero_is_asked_about(text: str) -> None:
    with pytest.raises(InputError, match=r"^What is the flow\?"):
        parse_flow(text, "--flow")


def test_times_factors_and_volumes() -> None:
    assert parse_minutes("15", "--minutes").minutes == 15
    assert parse_minutes("7.5 min", "--minutes").minutes == 7.5
    assert parse_factor(".16", "--factor") == 0.16
    assert parse_factor("0.16 L/psi", "--factor") == 0.16
    assert parse_litres("360 L", "--contents").litres == 360
    assert parse_litres("1,500 litres", "--contents").litres == 1500
    assert parse_litres("1.5 m3", "--contents").litres == 1500
    assert parse_litres("1.5 m³", "--contents").litres == 1500
    assert parse_water("5L", "--water") == 5


@pytest.mark.parametrize("text", ["0", "-1", "nan", "inf", "", "many", "5 psi", "1e3"])
def test_what_is_no_time_factor_or_volume(text: str) -> None:
    for parse in (parse_minutes, parse_factor, parse_litres, parse_water):
        with pytest.raises(InputError, match="--it"):
            parse(text, "--it")


def test_slips_of_size_are_refused() -> None:
    with pytest.raises(InputError, match="check the point"):
        parse_factor("16", "--factor")
    with pytest.raises(InputError, match="--contents"):
        parse_water("340 L", "--water")


@given(st.text(max_size=20))
def test_any_text_is_an_amount_or_a_clear_refusal(text: str) -> None:
    for parse in (parse_pressure, parse_flow, parse_minutes, parse_factor, parse_litres):
        try:
            parse(text, "--it")
        except InputError as refused:
            assert len(str(refused)) > 20
