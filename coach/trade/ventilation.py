"""Volume per breath, minute ventilation, and what a ventilation device draws from a cylinder."""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.units import Flow
from coach.trade.questions import Question, first_question, question_outside

MILLILITRES_PER_LITRE = 1000.0

NO_DRIVING_GAS = Flow(0.0)
"""Of a device that electricity drives."""


@dataclass(frozen=True, slots=True)
class VentilationLimits:
    """What a ventilation device or a breath may be, both ends lawful; from the table of facts.

    Millilitres of a breath, breaths a minute, litres a minute, percent of oxygen in air, and the
    most litres a minute that drive a device itself. A breath from `adult_breath_ml` on is an
    adult's, who is given no more than `adult_rate_per_minute`.
    """

    breath_ml: tuple[float, float]
    rate_per_minute: tuple[float, float]
    adult_breath_ml: float
    adult_rate_per_minute: float
    minute_volume_l: tuple[float, float]
    air_percent: float
    most_driving_gas_l: float


@dataclass(frozen=True, slots=True, order=True)
class BreathVolume:
    """The volume of one breath, in millilitres."""

    millilitres: float


@dataclass(frozen=True, slots=True, order=True)
class MinuteVentilation:
    """What is breathed in a minute, in litres."""

    litres_per_minute: float


def minute_ventilation(
    breath: BreathVolume, breaths_per_minute: float, limits: VentilationLimits
) -> MinuteVentilation | Question:
    """Volume per breath x breaths a minute; what is outside any breathing is asked about."""
    question = first_question(
        _question_of_breath(breath, limits), _question_of_rate(breaths_per_minute, limits, breath)
    )
    if question:
        return question
    return MinuteVentilation(breath.millilitres * breaths_per_minute / MILLILITRES_PER_LITRE)


def breath_volume(
    ventilation: MinuteVentilation, breaths_per_minute: float, limits: VentilationLimits
) -> BreathVolume | Question:
    """Minute ventilation / breaths a minute; what no breath can be is asked about."""
    question = first_question(
        _question_of_ventilation(ventilation, limits),
        _question_of_rate(breaths_per_minute, limits),
    )
    if question:
        return question
    breath = BreathVolume(
        ventilation.litres_per_minute * MILLILITRES_PER_LITRE / breaths_per_minute
    )
    question = first_question(
        _question_of_breath(breath, limits), _question_of_rate(breaths_per_minute, limits, breath)
    )
    return question or breath


def device_flow(
    ventilation: MinuteVentilation,
    limits: VentilationLimits,
    oxygen_percent: float = 100.0,
    driving_gas: Flow = NO_DRIVING_GAS,
) -> Flow | Question:
    """Oxygen that a device draws: minute ventilation x share of oxygen + driving gas, in L/min.

    The formula of [frcem]. It counts the oxygen
    of the air mixed in as if it came from the cylinder, so a time errs on the short side.
    `oxygen_percent` runs from that of air to 100; a share given as a fraction is asked about.
    """
    if 0 < oxygen_percent <= 1:
        return Question("Is that a share of one? How many percent of oxygen is set?")
    question = first_question(
        _question_of_ventilation(ventilation, limits),
        question_outside(oxygen_percent, limits.air_percent, 100, "oxygen percent"),
        question_outside(
            driving_gas.litres_per_minute, 0, limits.most_driving_gas_l, "driving gas"
        ),
    )
    if question:
        return question
    breathed = ventilation.litres_per_minute * (oxygen_percent / 100)
    return Flow(breathed + driving_gas.litres_per_minute)


def _question_of_breath(breath: BreathVolume, limits: VentilationLimits) -> Question | None:
    if 0 < breath.millilitres < 2:
        return Question("Is that in liters? How many milliliters is one breath?")
    return question_outside(breath.millilitres, *limits.breath_ml, "one breath's volume")


def _question_of_rate(
    breaths_per_minute: float, limits: VentilationLimits, breath: BreathVolume | None = None
) -> Question | None:
    """What to ask of a rate that nobody is given, or no adult with a breath of that size."""
    slowest, fastest = limits.rate_per_minute
    if breath is not None and breath.millilitres >= limits.adult_breath_ml:
        fastest = limits.adult_rate_per_minute
        return question_outside(breaths_per_minute, slowest, fastest, "the adult's rate")
    return question_outside(breaths_per_minute, slowest, fastest, "the rate")


def _question_of_ventilation(
    ventilation: MinuteVentilation, limits: VentilationLimits
) -> Question | None:
    return question_outside(
        ventilation.litres_per_minute, *limits.minute_volume_l, "the minute volume"
    )
