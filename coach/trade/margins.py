"""Safety margins on oxygen: how much more than the sum to plan for, or how much to leave.

Leaving a third is the same as planning half as much again, leaving half the same as doubling:
both ways of saying it are one margin here. A margin comes on top of a reserve of pressure unless
the reserve is set to zero.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coach.core.units import Volume
from coach.trade.questions import Question, question_outside


@dataclass(frozen=True, slots=True)
class Margin:
    """A margin of safety: plan `multiplier` times the need; `source` says who does."""

    multiplier: float
    source: str

    @property
    def left_share(self) -> float:
        """The share of the contents that is left when the need is as planned (0 to 1)."""
        return 1 - 1 / self.multiplier

    def planned(self, need: Volume) -> Volume:
        """Litres to bring for a need in litres."""
        return Volume(need.litres * self.multiplier)

    def usable(self, contents: Volume) -> Volume:
        """Litres of the contents that may be planned for."""
        return Volume(contents.litres / self.multiplier)


@dataclass(frozen=True, slots=True)
class MarginHabits:
    """Who plans for how many times the need, by the number, and the most that is no slip.

    From the table of facts.
    """

    sources: Mapping[float, str]
    most: float


NO_MARGIN = Margin(1.0, "the plain sum; a reserve of pressure may still be kept")


def margin_of(multiplier: float, habits: MarginHabits) -> Margin | Question:
    """A margin with who has it; a multiplier under 1 plans too little, and is asked about."""
    question = question_outside(multiplier, 1, habits.most, "the multiplier")
    if question or multiplier == 1:
        return question or NO_MARGIN
    return Margin(multiplier, habits.sources.get(multiplier, "no published text has it"))
