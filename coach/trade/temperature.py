"""Body temperature in Celsius and Fahrenheit; which of the two a bare number is."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from coach.trade.questions import Question, capital, heard

FAHRENHEIT_DEGREES_PER_CELSIUS = 1.8
FAHRENHEIT_AT_ZERO_CELSIUS = 32.0
"""Exact by definition ([nist])."""

LOWEST_CELSIUS, HIGHEST_CELSIUS = 13.7, 46.5
"""Degrees Celsius: the lowest and highest core temperatures that anyone is reported to have lived
through (from memory: Gilbert, Lancet 2000;355:375-6, and Slovis, Ann Emerg Med 1982;11:271-6)."""

LOWEST_MEASURED_CELSIUS, HIGHEST_MEASURED_CELSIUS = 34.0, 43.0
"""Degrees Celsius that a clinical thermometer has to cover (from memory: ISO 80601-2-56)."""


class Degree(StrEnum):
    """The two scales."""

    CELSIUS = "Celsius"
    FAHRENHEIT = "Fahrenheit"


@dataclass(frozen=True, slots=True, order=True)
class Temperature:
    """A temperature; `celsius` is in degrees Celsius."""

    celsius: float

    @classmethod
    def of(cls, value: float, degree: Degree) -> Temperature:
        """A temperature from a number and its scale."""
        if degree is Degree.CELSIUS:
            return cls(value)
        return cls((value - FAHRENHEIT_AT_ZERO_CELSIUS) / FAHRENHEIT_DEGREES_PER_CELSIUS)

    @property
    def fahrenheit(self) -> float:
        """The same in degrees Fahrenheit."""
        return self.celsius * FAHRENHEIT_DEGREES_PER_CELSIUS + FAHRENHEIT_AT_ZERO_CELSIUS

    def in_degree(self, degree: Degree) -> float:
        """The number of this temperature on a scale."""
        return self.celsius if degree is Degree.CELSIUS else self.fahrenheit


@dataclass(frozen=True, slots=True)
class BodyTemperature:
    """A body temperature, and the scale it was read in; `check` is what to measure again."""

    temperature: Temperature
    read_in: Degree
    check: Question | None = None


def body_temperature(value: float, degree: Degree | None = None) -> BodyTemperature | Question:
    """A body temperature as read; a bare number takes the only scale that it can be of.

    What no living body had on the scale named (or on either) is asked about.
    """
    for each in [degree] if degree else list(Degree):
        if _possible(value, each):
            return BodyTemperature(Temperature.of(value, each), each, _check(value, each))
    other = next((each for each in Degree if each is not degree and _possible(value, each)), None)
    if degree and other:
        return Question(f"{capital(heard(value))} {degree} cannot be: was it {other}?")
    return Question(f"{capital(heard(value))} cannot be a body temperature: what did it show?")


def _possible(value: float, degree: Degree) -> bool:
    lowest, highest = Temperature(LOWEST_CELSIUS), Temperature(HIGHEST_CELSIUS)
    return lowest.in_degree(degree) <= value <= highest.in_degree(degree)


def _check(value: float, degree: Degree) -> Question | None:
    celsius = Temperature.of(value, degree).celsius
    if LOWEST_MEASURED_CELSIUS <= celsius <= HIGHEST_MEASURED_CELSIUS:
        return None
    return Question(f"{capital(heard(value))} {degree} is rare: will you measure again?")
