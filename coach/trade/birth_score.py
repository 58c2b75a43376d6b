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

USUAL_MINUTES = (1, 5)
"""Minutes after birth at which it is scored."""

LATER_MINUTES = (10, 15, 20)
"""Minutes at which it is scored again after a five-minute score under 7: every five ([ttmf]), up to
20 (from memory: American College of Obstetricians, opinion 644, 2015)."""


class Sign(StrEnum):
    """The five signs, in the order in which they are said."""

    APPEARANCE = "appearance"
    PULSE = "pulse"
    GRIMACE = "grimace"
    ACTIVITY = "activity"
    RESPIRATION = "respiration"


MEANINGS: dict[Sign, tuple[str, str, str]] = {
    Sign.APPEARANCE: ("blue or pale all over", "pink, but hands and feet blue", "pink all over"),
    Sign.PULSE: ("none", "under one hundred", "over one hundred"),
    Sign.GRIMACE: ("no response", "a grimace", "a sneeze or cough"),
    Sign.ACTIVITY: ("limp", "arms and legs bend a little", "moves actively"),
    Sign.RESPIRATION: ("not breathing", "slow or irregular", "a good cry"),
}
"""What 0, 1 and 2 points stand for, in own words after [msd-apgar]."""

POINTS_OF_SIGN = (0, 2)
"""Fewest and most points of each sign."""


class Band(StrEnum):
    """The band of a total ([msd-apgar]: 7 to 10, 4 to 6, 0 to 3)."""

    UPPER = "seven to ten"
    MIDDLE = "four to six"
    LOWER = "zero to three"


@dataclass(frozen=True, slots=True)
class BirthScore:
    """Points (0 to 2) for the five signs, `minute` minutes after birth.

    `check` is what to look at again, or None.
    """

    points: Mapping[Sign, int]
    minute: int
    check: Question | None = None

    @property
    def total(self) -> int:
        """0 to 10 points."""
        return sum(self.points.values())

    @property
    def band(self) -> Band:
        """The band of the total."""
        if self.total >= 7:
            return Band.UPPER
        return Band.MIDDLE if self.total >= 4 else Band.LOWER


def birth_score(points: Mapping[Sign, float], minute: float) -> BirthScore | Question:
    """The score at a minute; a missing sign, points other than 0, 1, 2 and a minute at which
    nobody scores are asked about."""
    if minute not in (*USUAL_MINUTES, *LATER_MINUTES):
        said = f"{capital(heard(minute))} minute{'' if minute == 1 else 's'}"
        return Question(f"{said}: it is scored at one and five. Which is it?")
    missing = [sign for sign in Sign if sign not in points]
    if missing:
        return Question(f"And {missing[0]}: zero, one or two?")
    question = first_question(
        *(question_outside(points[sign], *POINTS_OF_SIGN, f"{sign}", whole=True) for sign in Sign)
    )
    if question:
        return question
    whole = MappingProxyType({sign: int(points[sign]) for sign in Sign})
    return BirthScore(whole, int(minute), _check(whole))


def _check(points: Mapping[Sign, int]) -> Question | None:
    """Combinations that point to a slip (common practice, no source)."""
    others = sum(points.values()) - points[Sign.PULSE]
    if points[Sign.PULSE] == 0 and others:
        return Question("No pulse, but other signs: will you feel for the pulse again?")
    if points[Sign.RESPIRATION] == 2 and points[Sign.ACTIVITY] == 0:
        return Question("A good cry, but limp: will you look at both again?")
    return None
