"""Pulse pressure and mean arterial pressure from a blood pressure as read."""

from __future__ import annotations

from dataclasses import dataclass

from coach.trade.questions import Question, first_question, question_outside

LOWEST_SYSTOLIC_MMHG, HIGHEST_SYSTOLIC_MMHG = 40.0, 300.0
"""mmHg; a cuff gauge ends at 300 (from memory: sphygmomanometer scales), and below 40 hardly a
sound or a pulse is left to read (common practice, no source)."""

HIGHEST_DIASTOLIC_MMHG = 200.0
"""mmHg; more is a misreading (common practice, no source). Sounds may go on down to zero."""

DIASTOLIC_WEIGHT = 2 / 3
"""Share of the lower number in the mean: (systolic + 2 x diastolic) / 3
([mean-pressure]); right for a usual pulse wave at a resting rate only."""

NARROW_SHARE = 0.25
"""A pulse pressure under this share of the systolic is called narrow ([pulse-pressure])."""

WIDE_MMHG = 100.0
"""mmHg; a pulse pressure above it is called wide ([pulse-pressure]; others say 60 or 70)."""


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


def pressure_sums(systolic_mmhg: float, diastolic_mmhg: float | None) -> PressureSums | Question:
    """Pulse pressure = systolic - diastolic; mean = diastolic + a third of the pulse pressure.

    All in mmHg. A pressure by touch has no lower number (None): nothing is worked out, and the
    lower one is asked for. So is what lies outside any reading, or the wrong way round.
    """
    question = question_outside(
        systolic_mmhg, LOWEST_SYSTOLIC_MMHG, HIGHEST_SYSTOLIC_MMHG, "the upper number"
    )
    if question:
        return question
    if diastolic_mmhg is None:
        return Question("By touch there is no lower number, so no mean: what is it by ear?")
    question = first_question(
        question_outside(diastolic_mmhg, 0, HIGHEST_DIASTOLIC_MMHG, "the lower number"),
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
        _check(pulse, systolic_mmhg),
    )


def _check(pulse_mmhg: float, systolic_mmhg: float) -> Question | None:
    if pulse_mmhg < NARROW_SHARE * systolic_mmhg:
        return Question("Those two lie close together: will you read the lower one again?")
    if pulse_mmhg > WIDE_MMHG:
        return Question("Those two lie far apart: will you read both again?")
    return None
