"""Pulse pressure and mean arterial pressure from a blood pressure as read."""

from __future__ import annotations

from dataclasses import dataclass

from coach.trade.questions import Question, first_question, question_outside

DIASTOLIC_WEIGHT = 2 / 3
"""Share of the lower number in the mean: (systolic + 2 x diastolic) / 3
([mean-pressure]); right for a usual pulse wave at a resting rate only."""


@dataclass(frozen=True, slots=True)
class PressureBounds:
    """What a blood pressure is held against; the numbers are those of the table of facts.

    `upper_mmhg` and `lower_mmhg` are what can be meant at all (both ends lawful; sounds may go on
    down to zero). A pulse pressure under `narrow_share` of the upper number (0 to 1) is narrow, one
    over `wide_mmhg` wide.
    """

    upper_mmhg: tuple[float, float]
    lower_mmhg: tuple[float, float]
    narrow_share: float
    wide_mmhg: float


@dataclass(frozen=True, slots=True)
class ArterialPressure:
    """A pressure in the arteries, in millimetres of mercury."""

    millimetres_of_mercury: float

    @property
    def whole(self) -> int:
        """Whole millimetres of mercury, to the nearest."""
        return int(self.millimetres_of_mercury + 0.5)


@dataclass(frozen=True, slots=True)
class PressureSums:
    """What follows from one blood pressure; `check` is what to read again, or None."""

    systolic: ArterialPressure
    diastolic: ArterialPressure
    pulse: ArterialPressure
    mean: ArterialPressure
    check: Question | None = None


def pressure_sums(
    systolic_mmhg: float, diastolic_mmhg: float | None, bounds: PressureBounds
) -> PressureSums | Question:
    """Pulse pressure = systolic - diastolic; mean = diastolic + a third of the pulse pressure.

    All in mmHg. A pressure by touch has no lower number (None): nothing is worked out, and the
    lower one is asked for. So is what lies outside any reading, or the wrong way round.
    """
    question = question_outside(systolic_mmhg, *bounds.upper_mmhg, "the upper number")
    if question:
        return question
    if diastolic_mmhg is None:
        return Question("By touch there is no lower number, so no mean: what is it by ear?")
    question = first_question(
        question_outside(diastolic_mmhg, *bounds.lower_mmhg, "the lower number"),
        Question("The lower number has to be below the upper: which two did you read?")
        if diastolic_mmhg >= systolic_mmhg
        else None,
    )
    if question:
        return question
    pulse = systolic_mmhg - diastolic_mmhg
    mean = DIASTOLIC_WEIGHT * diastolic_mmhg + (1 - DIASTOLIC_WEIGHT) * systolic_mmhg
    return PressureSums(
        ArterialPressure(systolic_mmhg),
        ArterialPressure(diastolic_mmhg),
        ArterialPressure(pulse),
        ArterialPressure(mean),
        _check(pulse, systolic_mmhg, bounds),
    )


def _check(pulse_mmhg: float, systolic_mmhg: float, bounds: PressureBounds) -> Question | None:
    if pulse_mmhg < bounds.narrow_share * systolic_mmhg:
        return Question("Those two lie close together: will you read the lower one again?")
    if pulse_mmhg > bounds.wide_mmhg:
        return Question("Those two lie far apart: will you read both again?")
    return None
