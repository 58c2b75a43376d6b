"""Burned area as a percentage of the body, by age: rule of nines, Lund-Browder table, palms.

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


HEAD_OF_INFANT, LEG_OF_INFANT = 18.0, 13.5
"""Percent up to one year ([burn-charts], and [burn-nines-child], which counts 14 for a leg and
nothing for the genitals). [burn-nines-healthwise] gives 21 for the head and 10 for an arm."""

GROWING_FROM_YEARS, ADULT_FROM_YEARS = 1, 10
"""Between these ages each whole year takes 1 percent from the head and adds a half to each leg
([burn-nines-child]). [burn-nines-year] begins at birth, so that its heads are one percent smaller;
the Lund-Browder table is nearer to the rule taken."""


def nines(age_years: float) -> dict[NinesPart, float]:
    """Percent of the body by part at that age in years; every age adds up to 100.

    Adult: 9 for head and arm, 18 for leg, front and back, 1 for the genitals ([burn-charts], after
    Wallace 1951).
    """
    grown = max(0, min(int(age_years), ADULT_FROM_YEARS) - GROWING_FROM_YEARS)
    leg = LEG_OF_INFANT + grown / 2
    return {
        NinesPart.HEAD: HEAD_OF_INFANT - grown,
        NinesPart.FRONT: 18.0,
        NinesPart.BACK: 18.0,
        NinesPart.LEFT_ARM: 9.0,
        NinesPart.RIGHT_ARM: 9.0,
        NinesPart.LEFT_LEG: leg,
        NinesPart.RIGHT_LEG: leg,
        NinesPart.GENITALS: 1.0,
    }


class ChartPart(StrEnum):
    """Parts of the body in the Lund-Browder table; left and right are counted together as two."""

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


CHART_FROM_YEARS = (0, 1, 5, 10, 15, 16)
"""Age in years at which each column begins. The table is printed at birth, 1, 5, 10, 15 and adult;
a column holds until the next, and that the adult's begins at 16 is common practice."""

_GROWING = {
    ChartPart.HEAD: (19.0, 17.0, 13.0, 11.0, 9.0, 7.0),
    ChartPart.THIGHS: (11.0, 13.0, 16.0, 17.0, 18.0, 19.0),
    ChartPart.LOWER_LEGS: (10.0, 10.0, 11.0, 12.0, 13.0, 14.0),
}
"""Percent by column ([lund-browder], whose numbers are one side, front or back, of one head, thigh
or leg)."""

_FIXED = {
    ChartPart.NECK: 2.0,
    ChartPart.FRONT: 13.0,
    ChartPart.BACK: 13.0,
    ChartPart.BUTTOCKS: 5.0,
    ChartPart.GENITALS: 1.0,
    ChartPart.UPPER_ARMS: 8.0,
    ChartPart.FOREARMS: 6.0,
    ChartPart.HANDS: 5.0,
    ChartPart.FEET: 7.0,
}
"""Percent at every age (from memory: Lund and Browder 1944; with the columns above each age adds up
to 100, which a single slip would break)."""


def lund_browder(age_years: float) -> dict[ChartPart, float]:
    """Percent of the body by part at that age in years; every age adds up to 100."""
    column = max(n for n, begins in enumerate(CHART_FROM_YEARS) if age_years >= begins)
    return {part: _FIXED.get(part) or _GROWING[part][column] for part in ChartPart}


@dataclass(frozen=True, slots=True)
class BurnedArea:
    """A burned area in percent of the body; `check` is what to look at again, or None."""

    percent: float
    check: Question | None = None


def burned_by_nines(shares: Mapping[NinesPart, float], age_years: float) -> BurnedArea | Question:
    """The area from the burned share (0 to 1) of each part, by the rule of nines for the age."""
    return _question_of(age_years, shares.values()) or _sum(nines(age_years), shares)


def burned_by_chart(shares: Mapping[ChartPart, float], age_years: float) -> BurnedArea | Question:
    """The area from the burned share (0 to 1) of each part, by the Lund-Browder table.

    Of arms, hands, thighs, legs, feet and buttocks one whole side is a share of 0.5.
    """
    return _question_of(age_years, shares.values()) or _sum(lund_browder(age_years), shares)


PERCENT_PER_PALM = 1.0
"""Percent of the body for the hand of the burned person, palm and fingers together. Measured, an
adult's is less (PALM_MEASURED), so the rule errs high. Of a child [burn-charts] counts the palm
without the fingers; of an adult that is a half ([palm-slate])."""

PALM_MEASURED = 0.78
"""Percent of the body that an adult's palm with its fingers was measured to be ([palm])."""

MOST_PALMS = 15.0
"""More is no longer a small burn, and palms mislead (from memory: ABC of burns, BMJ 2004)."""


def burned_by_palms(palms: float) -> BurnedArea | Question:
    """The area from how often the burned person's own hand covers it, fingers included."""
    question = question_outside(palms, 0, 100, "the palms")
    if question:
        return question
    check = None
    if palms > MOST_PALMS:
        check = Question("Palms suit small burns: what does the rule of nines say?")
    return BurnedArea(palms * PERCENT_PER_PALM, check)


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
