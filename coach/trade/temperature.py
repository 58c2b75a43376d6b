"""Body temperature in Celsius and Fahrenheit; which of the two a bare number is."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from coach.trade.questions import Question, capital, heard

FAHRENHEIT_DEGREES_PER_CELSIUS = 1.8
FAHRENHEIT_AT_ZERO_CELSIUS = 32.0
"""Exact by definition ([nist])."""

LOWEST_CELSIUS, HIGHEST_CELSIUS = 13.0, 46.5
"""Degrees Celsius: the lowest and highest core temperatures that anyone is reported to have lived
through (13.0 of a girl in Sweden, [wikipedia-hypothermia]; 46.5 from memory: Slovis, Ann Emerg Med
1982;11:271-6).
No program has others: they part the two scales, and what can be heard as a body temperature."""


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


@dataclass(frozen=True, slots=True)
class UsualReadings:
    """What a thermometer shows that is not measured again: both ends in degrees Celsius, lawful.

    The table of facts has them.
    """

    low_celsius: float
    high_celsius: float


def body_temperature(
    value: float, usual: UsualReadings, degree: Degree | None = None
) -> BodyTemperature | Question:
    """A body temperature as read; a bare number takes the only scale that it can be of.

    What no living body had on the scale named (or on either) is asked about.
    """
    scale = scale_of(value)
    if scale is not None and degree in (None, scale):
        return BodyTemperature(Temperature.of(value, scale), scale, _check(value, scale, usual))
    if degree and scale:
        return Question(f"{capital(heard(value))} {degree} cannot be: was it {scale}?")
    return Question(f"{capital(heard(value))} cannot be a body temperature: what did it show?")


def scale_of(value: float) -> Degree | None:
    """The only scale that a body temperature of this number can be of; None for none."""
    return next((degree for degree in Degree if _possible(value, degree)), None)


def _possible(value: float, degree: Degree) -> bool:
    lowest, highest = Temperature(LOWEST_CELSIUS), Temperature(HIGHEST_CELSIUS)
    return lowest.in_degree(degree) <= value <= highest.in_degree(degree)


def _check(value: float, degree: Degree, usual: UsualReadings) -> Question | None:
    celsius = Temperature.of(value, degree).celsius
    # 93.2 Fahrenheit is 34 Celsius, but for the rounding of its last digits
    if usual.low_celsius - 1e-9 <= celsius <= usual.high_celsius + 1e-9:
        return None
    return Question(f"{capital(heard(value))} {degree} is rare: will you measure again?")
