"""Burned area as a percentage of the body, by age: rule of nines, chart by columns, palms.

Only partial and full thickness counts; skin that is merely red does not ([burn-redness]).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from coach.trade.questions import Question, first_question, question_outside

Part = TypeVar("Part", bound=StrEnum)

OLDEST_YEARS = 120.0
"""Years (from memory: nobody is known to have been much older)."""

OVER_SHARE = 1.0 + 1e-9
"""The whole of a part, forgiving floating-point rounding."""


class NinesPart(StrEnum):
    """Parts of the body in the rule of nines."""

    HEAD = "head and neck"
    FRONT = "front of the trunk"
    BACK = "back of the trunk"
    LEFT_ARM = "left arm"
    RIGHT_ARM = "right arm"
    LEFT_LEG = "left leg"
    RIGHT_LEG = "right leg"
    GENITALS = "genitals"


@dataclass(frozen=True, slots=True)
class RuleOfNines:
    """Percent of the body by part, from the table of facts; both bodies add up to 100.

    `infant` holds up to `grows_from_years`, `adult` from `grown_at_years` on; between them each
    whole year takes its share of what lies between the two.
    """

    infant: Mapping[NinesPart, float]
    adult: Mapping[NinesPart, float]
    grows_from_years: float
    grown_at_years: float

    def at(self, age_years: float) -> dict[NinesPart, float]:
        """Percent of the body by part at that age in years; every age adds up to 100."""
        years = self.grown_at_years - self.grows_from_years
        grown = max(0.0, min(int(age_years) - self.grows_from_years, years)) / years
        return {
            part: infant + (self.adult[part] - infant) * grown
            for part, infant in self.infant.items()
        }


class ChartPart(StrEnum):
    """Parts of the body in a chart by age; left and right are counted together as two."""

    HEAD = "head"
    NECK = "neck"
    FRONT = "front of the trunk"
    BACK = "back of the trunk"
    BUTTOCKS = "buttocks"
    GENITALS = "genitals"
    UPPER_ARMS = "upper arms"
    FOREARMS = "forearms"
    HANDS = "hands"
    THIGHS = "thighs"
    LOWER_LEGS = "lower legs"
    FEET = "feet"


@dataclass(frozen=True, slots=True)
class BodyChart:
    """Percent of the body by part in columns by age, from the table of facts.

    A column holds from its age in `from_years` until the next; the first begins at birth. Every
    column adds up to 100. The numbers are of a whole part, both sides and left and right.
    """

    from_years: tuple[float, ...]
    percent: Mapping[ChartPart, tuple[float, ...]]

    def at(self, age_years: float) -> dict[ChartPart, float]:
        """Percent of the body by part at that age in years."""
        column = max(n for n, begins in enumerate(self.from_years) if age_years >= begins)
        return {part: self.percent[part][column] for part in ChartPart}


@dataclass(frozen=True, slots=True)
class RuleOfPalms:
    """Percent of the body for the hand of the burned person, palm and fingers together.

    `percent` is that of the rule, `measured_percent` what an adult's was measured to be. Over
    `most` palms the burn is no longer small, and palms mislead. From the table of facts.
    """

    percent: float
    measured_percent: float
    most: float


@dataclass(frozen=True, slots=True)
class BurnTables:
    """All by which a burned area is worked out."""

    nines: RuleOfNines
    chart: BodyChart
    palms: RuleOfPalms


@dataclass(frozen=True, slots=True)
class BurnedArea:
    """A burned area in percent of the body; `check` is what to look at again, or None."""

    percent: float
    check: Question | None = None


def burned_by_nines(
    shares: Mapping[NinesPart, float], age_years: float, nines: RuleOfNines
) -> BurnedArea | Question:
    """The area from the burned share (0 to 1) of each part, by the rule of nines for the age."""
    return _question_of(age_years, shares.values()) or _sum(nines.at(age_years), shares)


def burned_by_chart(
    shares: Mapping[ChartPart, float], age_years: float, chart: BodyChart
) -> BurnedArea | Question:
    """The area from the burned share (0 to 1) of each part, by the chart for the age.

    Of arms, hands, thighs, legs, feet and buttocks one whole side is a share of 0.5.
    """
    return _question_of(age_years, shares.values()) or _sum(chart.at(age_years), shares)


def burned_by_palms(palms: float, rule: RuleOfPalms) -> BurnedArea | Question:
    """The area from how often the burned person's own hand covers it, fingers included."""
    question = question_outside(palms, 0, 100, "the palms")
    if question:
        return question
    check = None
    if palms > rule.most:
        check = Question("Palms suit small burns: what does the rule of nines say?")
    return BurnedArea(palms * rule.percent, check)


def _question_of(age_years: float, shares: Iterable[float]) -> Question | None:
    given = tuple(shares)
    return first_question(
        question_outside(age_years, 0, OLDEST_YEARS, "the age"),
        None if given else Question("Which parts are burned, and how much of each?"),
        *(
            None
            if 0 <= share <= OVER_SHARE
            else Question("No more than all of one part can be burned: how much of it is?")
            for share in given
        ),
    )


def _sum(table: Mapping[Part, float], shares: Mapping[Part, float]) -> BurnedArea:
    return BurnedArea(sum(table[part] * share for part, share in shares.items()))
