"""Volume per breath, minute ventilation, and what a ventilation device draws from a cylinder."""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.units import Flow
from coach.trade.questions import Question, first_question, question_outside

MILLILITRES_PER_LITRE = 1000.0

SMALLEST_BREATH_ML, LARGEST_BREATH_ML = 4.0, 2000.0
"""Millilitres: from a small newborn's breath to more than the 1.6 L of an adult bag can give (from
memory: newborn texts; bag makers' data)."""

SLOWEST_GIVEN, FASTEST_GIVEN = 4.0, 60.0
"""Breaths a minute that a device or a bag gives: the most is printed for newborns (fact
breath-rate-newborn), the least is below all that is printed (common practice, no source)."""

LEAST_ADULT_BREATH_ML, FASTEST_GIVEN_ADULT = 300.0, 35.0
"""A breath from this size on is an adult's (fact breath-volume-adult, what was scored as right),
who is given no more a minute than this (from memory: the trial of small breaths of the ARDS
Network, 2000, sets no more than 35; a ventilator's printed table ends at 28)."""

LEAST_MINUTE_VENTILATION_L, MOST_MINUTE_VENTILATION_L = 0.1, 60.0
"""Litres a minute: more than a device of the trade gives is a slip (from memory)."""

AIR_PERCENT = 21.0
"""Percent oxygen in air."""

NO_DRIVING_GAS = Flow(0.0)
"""Of a device that electricity drives."""

MOST_DRIVING_GAS_L = 20.0
"""Litres a minute that drive a device itself (from memory; 0.5 in the example of [frcem])."""


@dataclass(frozen=True, slots=True, order=True)
class BreathVolume:
    """The volume of one breath, in millilitres."""

    millilitres: float


@dataclass(frozen=True, slots=True, order=True)
class MinuteVentilation:
    """What is breathed in a minute, in litres."""

    litres_per_minute: float


def minute_ventilation(
    breath: BreathVolume, breaths_per_minute: float
) -> MinuteVentilation | Question:
    """Volume per breath x breaths a minute; what is outside any breathing is asked about."""
    question = first_question(
        _question_of_breath(breath), _question_of_rate(breaths_per_minute, breath)
    )
    if question:
        return question
    return MinuteVentilation(breath.millilitres * breaths_per_minute / MILLILITRES_PER_LITRE)


def breath_volume(
    ventilation: MinuteVentilation, breaths_per_minute: float
) -> BreathVolume | Question:
    """Minute ventilation / breaths a minute; what no breath can be is asked about."""
    question = first_question(
        _question_of_ventilation(ventilation), _question_of_rate(breaths_per_minute)
    )
    if question:
        return question
    breath = BreathVolume(
        ventilation.litres_per_minute * MILLILITRES_PER_LITRE / breaths_per_minute
    )
    return (
        first_question(_question_of_breath(breath), _question_of_rate(breaths_per_minute, breath))
        or breath
    )


def device_flow(
    ventilation: MinuteVentilation,
    oxygen_percent: float = 100.0,
    driving_gas: Flow = NO_DRIVING_GAS,
) -> Flow | Question:
    """Oxygen that a device draws: minute ventilation x share of oxygen + driving gas, in L/min.

    The formula of [frcem]. It counts the oxygen
    of the air mixed in as if it came from the cylinder, so a time errs on the short side.
    `oxygen_percent` runs from 21 to 100; a share given as a fraction is asked about.
    """
    if 0 < oxygen_percent <= 1:
        return Question("Is that a share of one? How many percent of oxygen is set?")
    question = first_question(
        _question_of_ventilation(ventilation),
        question_outside(oxygen_percent, AIR_PERCENT, 100, "oxygen percent"),
        question_outside(driving_gas.litres_per_minute, 0, MOST_DRIVING_GAS_L, "driving gas"),
    )
    if question:
        return question
    breathed = ventilation.litres_per_minute * (oxygen_percent / 100)
    return Flow(breathed + driving_gas.litres_per_minute)


def _question_of_breath(breath: BreathVolume) -> Question | None:
    if 0 < breath.millilitres < 2:
        return Question("Is that in liters? How many milliliters is one breath?")
    return question_outside(
        breath.millilitres, SMALLEST_BREATH_ML, LARGEST_BREATH_ML, "one breath's volume"
    )


def _question_of_rate(
    breaths_per_minute: float, breath: BreathVolume | None = None
) -> Question | None:
    """What to ask of a rate that nobody is given, or no adult with a breath of that size."""
    adult = breath is not None and breath.millilitres >= LEAST_ADULT_BREATH_ML
    fastest = FASTEST_GIVEN_ADULT if adult else FASTEST_GIVEN
    what = "the adult's rate" if adult else "the rate"
    return question_outside(breaths_per_minute, SLOWEST_GIVEN, fastest, what)


def _question_of_ventilation(ventilation: MinuteVentilation) -> Question | None:
    return question_outside(
        ventilation.litres_per_minute,
        LEAST_MINUTE_VENTILATION_L,
        MOST_MINUTE_VENTILATION_L,
        "the minute volume",
    )
