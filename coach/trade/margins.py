"""Safety margins on oxygen: how much more than the sum to plan for, or how much to leave.

Leaving a third is the same as planning half as much again, leaving half the same as doubling:
both ways of saying it are one margin here. A margin comes on top of a reserve of pressure unless
the reserve is set to zero.
"""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.units import Volume
from coach.trade.questions import Question, question_outside

LARGEST_MULTIPLIER = 4.0
"""No published habit goes beyond doubling; more is a slip."""


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


NO_MARGIN = Margin(1.0, "the plain sum; a reserve of pressure may still be kept")
KEEP_A_FIFTH = Margin(1.25, "x 0.8: [classic-an]")
HALF_AS_MUCH_AGAIN = Margin(1.5, "Common practice, no source")
KEEP_A_THIRD = Margin(1.5, "From memory: transfer and diving texts, thirds")
TWICE = Margin(2.0, "[frcem]")
KEEP_A_HALF = Margin(2.0, "The same as doubling the need: [frcem]")


def margin_of(multiplier: float) -> Margin | Question:
    """A margin of a program's own; a multiplier under 1 plans too little, and is asked about."""
    question = question_outside(multiplier, 1, LARGEST_MULTIPLIER, "the multiplier")
    return question or Margin(multiplier, "As set by the program")
