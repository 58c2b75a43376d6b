"""The newborn's score of five signs, taken one and five minutes after birth.

Signs and points: [msd-apgar]. The score describes; it never decides what is
done, nor waits: that is local protocol's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from coach.trade.questions import Question, capital, first_question, heard, question_outside
from coach.trade.wording import cardinal


class Sign(StrEnum):
    """The five signs, in the order in which they are said."""

    APPEARANCE = "appearance"
    PULSE = "pulse"
    GRIMACE = "grimace"
    ACTIVITY = "activity"
    RESPIRATION = "respiration"


POINTS_OF_SIGN = (0, 2)
"""Fewest and most points of each sign ([msd-apgar])."""


@dataclass(frozen=True, slots=True)
class BirthTable:
    """When a newborn is scored, and how totals are banded; the numbers are of the table of facts.

    It is scored at the two `usual_minutes` after birth, and where need be again every
    `again_every` minutes, up to `again_until`. Totals from `least_upper` and from `least_middle`
    are the upper and the middle band.
    """

    usual_minutes: tuple[int, int]
    again_every: int
    again_until: int
    least_upper: int
    least_middle: int

    @property
    def minutes(self) -> tuple[int, ...]:
        """All minutes at which it may be scored."""
        first, second = self.usual_minutes
        later = range(second + self.again_every, self.again_until + 1, self.again_every)
        return (first, second, *later)

    def band_of(self, total: int) -> tuple[int, int]:
        """The lowest and the highest total of the band of a total."""
        if total >= self.least_upper:
            return self.least_upper, POINTS_OF_SIGN[1] * len(Sign)
        if total >= self.least_middle:
            return self.least_middle, self.least_upper - 1
        return 0, self.least_middle - 1


@dataclass(frozen=True, slots=True)
class BirthScore:
    """Points (0 to 2) for the five signs, `minute` minutes after birth.

    `band` has the lowest and the highest total of the band that the total is in. `check` is what to
    look at again, or None.
    """

    points: Mapping[Sign, int]
    minute: int
    band: tuple[int, int]
    check: Question | None = None

    @property
    def total(self) -> int:
        """0 to 10 points."""
        return sum(self.points.values())


def birth_score(
    points: Mapping[Sign, float], minute: float, table: BirthTable
) -> BirthScore | Question:
    """The score at a minute; a missing sign, points other than 0, 1, 2 and a minute at which
    nobody scores are asked about."""
    if minute not in table.minutes:
        said = f"{capital(heard(minute))} minute{'' if minute == 1 else 's'}"
        usual = " and ".join(cardinal(usual) for usual in table.usual_minutes)
        return Question(f"{said}: it is scored at {usual}. Which is it?")
    missing = [sign for sign in Sign if sign not in points]
    if missing:
        return Question(f"And {missing[0]}: zero, one or two?")
    question = first_question(
        *(question_outside(points[sign], *POINTS_OF_SIGN, f"{sign}", whole=True) for sign in Sign)
    )
    if question:
        return question
    whole = MappingProxyType({sign: int(points[sign]) for sign in Sign})
    band = table.band_of(sum(whole.values()))
    return BirthScore(whole, int(minute), band, _check(whole))


def _check(points: Mapping[Sign, int]) -> Question | None:
    """Combinations that point to a slip (common practice, no source)."""
    others = sum(points.values()) - points[Sign.PULSE]
    if points[Sign.PULSE] == 0 and others:
        return Question("No pulse, but other signs: will you feel for the pulse again?")
    if points[Sign.RESPIRATION] == 2 and points[Sign.ACTIVITY] == 0:
        return Question("A good cry, but limp: will you look at both again?")
    return None
