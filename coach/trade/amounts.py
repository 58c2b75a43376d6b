"""Amounts as a user writes them ("1,700 psi", "15 L/min"), turned into typed ones."""

from __future__ import annotations

import re
from dataclasses import dataclass

from coach.core.errors import InputError
from coach.core.units import Duration, Flow, Pressure, Unit, Volume
from coach.trade.oxygen import checked_flow
from coach.trade.wording import number_words, unit_words

_AMOUNT = re.compile(
    r"\s*(?P<number>[+-]?(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)?(?:\.[0-9]*)?)\s*(?P<unit>[^0-9.,]*?3?)\s*"
)

_SMALLEST, _LARGEST = 0.001, 100_000.0
"""No gauge, flow, volume or factor lies outside, whatever its unit."""

_LETTERS_SHOWN = 30

_PRESSURE_UNITS = {
    "psi": Unit.PSI,
    "psig": Unit.PSI,
    "bar": Unit.BAR,
    "kpa": Unit.KILOPASCAL,
    "mpa": Unit.MEGAPASCAL,
}
_FLOW_UNITS = {
    f"{litre}{per}"
    for litre in ("l", "liter", "litre", "liters", "litres")
    for per in ("", "/min", "/m", "/minute", " a minute", " per minute", " / min", " min", "pm")
} | {""}
_LITRES_PER_UNIT = {
    "l": 1.0,
    "liter": 1.0,
    "liters": 1.0,
    "litre": 1.0,
    "litres": 1.0,
    "": 1.0,
    "m3": 1000.0,
}
_MINUTE_UNITS = {"", "m", "min", "mins", "minute", "minutes"}
_FACTOR_UNITS = {"", "l/psi", "liters per psi", "litres per psi"}

HIGHEST_FACTOR = 10.0
"""Litres per psi; the largest cylinder listed has 3.4 (UK J), so more is a slip (16 for 0.16)."""

HIGHEST_WATER_LITRES = 100.0
"""The largest cylinders hold some 50 L of water; more is a slip (gas litres for water litres)."""


@dataclass(frozen=True, slots=True)
class WrittenPressure:
    """A pressure as given: the number and its unit."""

    value: float
    unit: Unit

    @property
    def pressure(self) -> Pressure:
        """The typed amount."""
        return Pressure.of(self.value, self.unit)

    @property
    def words(self) -> str:
        """As said: "seventeen hundred P S I"."""
        return f"{number_words(self.value)} {unit_words(self.unit, self.value)}"

    def __str__(self) -> str:
        return f"{self.value:g} {self.unit}"


def parse_pressure(text: str, option: str, bare_unit: Unit | None = None) -> WrittenPressure:
    """A gauge pressure of zero or more; a number without a unit takes `bare_unit`, or is asked
    about (InputError)."""
    number, unit_text = amount(text)
    if number is None:
        raise InputError(
            f'{option} "{text}" is not a pressure: give a number and its unit, for example '
            '"1700 psi" or "117.5 bar".'
        )
    unit = _PRESSURE_UNITS.get(unit_text) if unit_text else bare_unit
    if unit is None and not unit_text:
        raise InputError(
            f'In which unit is {option} {text.strip()}? Write the unit too: "{text.strip()} psi", '
            "or bar, kPa or MPa."
        )
    if unit is None:
        raise InputError(
            f'{option} "{text}" is not in a unit of cylinder pressure: use psi, bar, kPa or MPa.'
        )
    if number < 0:
        raise InputError(f'{option} "{text}" is below zero: read the gauge again.')
    return WrittenPressure(number, unit)


def parse_flow(text: str, option: str) -> Flow:
    """A flow above zero in litres a minute; InputError asks for one that is zero."""
    number, unit_text = amount(text)
    if number is None or unit_text not in _FLOW_UNITS:
        raise InputError(f'{option} "{text}" is not a flow: give liters a minute, for example 15.')
    return checked_flow(Flow(number))


def parse_minutes(text: str, option: str) -> Duration:
    """A time above zero, in minutes."""
    return Duration(above_zero(text, option, _MINUTE_UNITS, "a time in minutes", "15"))


def parse_factor(text: str, option: str) -> float:
    """A cylinder factor in litres per psi, above zero and no larger than any cylinder has."""
    factor = above_zero(text, option, _FACTOR_UNITS, "a factor in liters per psi", "0.16")
    if factor > HIGHEST_FACTOR:
        raise InputError(
            f"{option} {factor:g} is larger than any cylinder has (a size D has 0.16, a size H "
            "3.14 liters per psi): check the point."
        )
    return factor


def parse_litres(text: str, option: str) -> Volume:
    """A volume above zero in litres ("360 L") or cubic meters ("1.5 m3")."""
    number = above_zero(text, option, set(_LITRES_PER_UNIT), "a volume in liters", '"360 L"')
    return Volume(number * _LITRES_PER_UNIT[amount(text)[1]])


def parse_water(text: str, option: str) -> float:
    """A water capacity in litres, above zero and no larger than any cylinder has."""
    litres = parse_litres(text, option).litres
    if litres > HIGHEST_WATER_LITRES:
        raise InputError(
            f"{option} {litres:g} L is more water than any cylinder holds: liters of oxygen are "
            "given with --contents."
        )
    return litres


def above_zero(text: str, option: str, units: set[str], what: str, example: str) -> float:
    """A number above zero in one of the units; InputError says what it has to be."""
    number, unit_text = amount(text)
    if number is None or unit_text not in units or number <= 0:
        raise InputError(
            f'{option} "{text}" is not {what} above zero: give a number, for example {example}.'
        )
    return number


def amount(text: str) -> tuple[float | None, str]:
    """The number as written (None: there is none) and the unit in lower case."""
    match = _AMOUNT.fullmatch(text)
    if match is None or not any(sign.isdigit() for sign in match["number"]):
        return None, ""
    number = float(match["number"].replace(",", ""))
    unit = " ".join(match["unit"].lower().replace("³", "3").split())
    if number and not _SMALLEST <= abs(number) <= _LARGEST:
        raise InputError(f'"{_shortened(text)}" is too large or too small to be right here.')
    return number, unit


def _shortened(text: str) -> str:
    return text if len(text) <= _LETTERS_SHOWN else f"{text[:_LETTERS_SHOWN]}..."
