"""Quantities a learner reads aloud, the units they may be said in, and typed amounts."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from coach.core.errors import InputError

PSI_PER_BAR = 14.5037738
"""1 bar in pounds-force per square inch (NIST SP 811, 2008, appendix B.8)."""


class Quantity(StrEnum):
    """What a reading measures; the words are those of `--expect` and of the skill files."""

    PRESSURE = "pressure"
    FLOW = "flow"
    SATURATION = "saturation"
    VACUUM = "vacuum"
    RATE = "rate"
    PULSE_RATE = "pulse-rate"
    BREATHING_RATE = "breathing-rate"
    TIME = "time"
    LENGTH = "length"
    SIZE = "size"
    BLOOD_PRESSURE = "blood-pressure"
    GLUCOSE = "glucose"
    DOSE = "dose"
    COUNT = "count"
    AIRWAY_PRESSURE = "airway-pressure"
    PULL = "pull"
    BURNED_AREA = "burned-area"
    TEMPERATURE = "temperature"
    WEIGHT = "weight"


class Unit(StrEnum):
    """Units as written in skill files and in JSON."""

    PSI = "psi"
    BAR = "bar"
    KILOPASCAL = "kPa"
    MEGAPASCAL = "MPa"
    LITRES_PER_MINUTE = "L/min"
    PERCENT = "%"
    PER_MINUTE = "/min"
    SECONDS = "s"
    MINUTES = "min"
    MILLIMETRES = "mm"
    INCHES = "in"
    FRENCH = "Fr"
    MILLIMETRES_OF_MERCURY = "mmHg"
    MILLIGRAMS_PER_DECILITRE = "mg/dL"
    MILLIMOLES_PER_LITRE = "mmol/L"
    MILLIGRAMS = "mg"
    GRAMS = "g"
    COUNTED = "counted"
    CENTIMETRES_OF_WATER = "cmH2O"
    HECTOPASCAL = "hPa"
    POUNDS_FORCE = "lbf"
    NEWTONS = "N"
    KILOGRAMS_FORCE = "kgf"
    PERCENT_OF_WEIGHT = "% of weight"
    DEGREES_CELSIUS = "°C"
    DEGREES_FAHRENHEIT = "°F"
    KILOGRAMS = "kg"
    POUNDS = "lb"


UNITS_OF: dict[Quantity, tuple[Unit, ...]] = {
    Quantity.PRESSURE: (Unit.PSI, Unit.BAR, Unit.KILOPASCAL, Unit.MEGAPASCAL),
    Quantity.FLOW: (Unit.LITRES_PER_MINUTE,),
    Quantity.SATURATION: (Unit.PERCENT,),
    Quantity.VACUUM: (Unit.MILLIMETRES_OF_MERCURY, Unit.KILOPASCAL),
    Quantity.RATE: (Unit.PER_MINUTE,),
    Quantity.PULSE_RATE: (Unit.PER_MINUTE,),
    Quantity.BREATHING_RATE: (Unit.PER_MINUTE,),
    Quantity.TIME: (Unit.SECONDS, Unit.MINUTES),
    Quantity.LENGTH: (Unit.MILLIMETRES, Unit.INCHES),
    Quantity.SIZE: (Unit.MILLIMETRES, Unit.FRENCH),
    Quantity.BLOOD_PRESSURE: (Unit.MILLIMETRES_OF_MERCURY,),
    Quantity.GLUCOSE: (Unit.MILLIGRAMS_PER_DECILITRE, Unit.MILLIMOLES_PER_LITRE),
    Quantity.DOSE: (Unit.MILLIGRAMS, Unit.GRAMS),
    Quantity.COUNT: (Unit.COUNTED,),
    Quantity.AIRWAY_PRESSURE: (Unit.CENTIMETRES_OF_WATER, Unit.HECTOPASCAL),
    Quantity.PULL: (
        *(Unit.POUNDS_FORCE, Unit.NEWTONS, Unit.KILOGRAMS_FORCE),
        Unit.PERCENT_OF_WEIGHT,
    ),
    Quantity.BURNED_AREA: (Unit.PERCENT,),
    Quantity.TEMPERATURE: (Unit.DEGREES_CELSIUS, Unit.DEGREES_FAHRENHEIT),
    Quantity.WEIGHT: (Unit.KILOGRAMS, Unit.POUNDS),
}
"""Units each quantity may be read in; the first is taken for a bare number."""

RATES = frozenset({Quantity.RATE, Quantity.PULSE_RATE, Quantity.BREATHING_RATE})
"""How often a minute; of a RATE nobody has said what is counted, so it may be any of them."""

PERCENTAGES = frozenset({Quantity.SATURATION, Quantity.BURNED_AREA})
"""Read in percent, so that the unit does not tell which of them a number is."""


_PSI_PER_UNIT = {
    Unit.PSI: 1.0,
    Unit.BAR: PSI_PER_BAR,
    Unit.KILOPASCAL: PSI_PER_BAR / 100.0,
    Unit.MEGAPASCAL: PSI_PER_BAR * 10.0,
}


@dataclass(frozen=True, slots=True, order=True)
class Pressure:
    """A gauge pressure; `psi` is pounds-force per square inch above the air around."""

    psi: float

    @classmethod
    def of(cls, value: float, unit: Unit) -> Pressure:
        """A pressure from a number and its unit; InputError for a unit that is not of pressure."""
        if unit not in _PSI_PER_UNIT:
            raise InputError(
                f"{unit} is not a unit of cylinder pressure: use psi, bar, kPa or MPa."
            )
        return cls(value * _PSI_PER_UNIT[unit])

    @property
    def bar(self) -> float:
        """The same pressure in bar."""
        return self.psi / PSI_PER_BAR

    def in_unit(self, unit: Unit) -> float:
        """The number of this pressure in a unit of pressure."""
        return self.psi / _PSI_PER_UNIT[unit]


@dataclass(frozen=True, slots=True, order=True)
class Flow:
    """An oxygen flow in litres a minute."""

    litres_per_minute: float


@dataclass(frozen=True, slots=True, order=True)
class Volume:
    """A volume of gas at room pressure, in litres."""

    litres: float


@dataclass(frozen=True, slots=True, order=True)
class Duration:
    """A length of time in minutes, not rounded."""

    minutes: float

    @property
    def whole_minutes(self) -> int:
        """Full minutes, rounded down: a crew is never promised a minute it does not have."""
        return int(self.minutes + 1e-9)
