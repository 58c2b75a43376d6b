"""How much gas liquid oxygen gives; nothing is taken off for what boils away unused."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from coach.core.units import Volume
from coach.trade.questions import Question, question_outside

KILOGRAMS_PER_POUND = 0.45359237
"""Exact ([nist])."""


class LiquidUnit(StrEnum):
    """How an amount of liquid oxygen is given."""

    LITRES = "liters"
    POUNDS = "pounds"
    KILOGRAMS = "kilograms"


@dataclass(frozen=True, slots=True)
class LiquidOxygen:
    """Litres of gas from a litre and from a pound of liquid, and the litres that the largest vessel
    of the trade holds; from the table of facts."""

    gas_per_litre: float
    gas_per_pound: float
    most_litres: float

    def gas_of_one(self, unit: LiquidUnit) -> float:
        """Litres of gas from one of a unit of liquid."""
        return {
            LiquidUnit.LITRES: self.gas_per_litre,
            LiquidUnit.POUNDS: self.gas_per_pound,
            LiquidUnit.KILOGRAMS: self.gas_per_pound / KILOGRAMS_PER_POUND,
        }[unit]


def gas_of_liquid(
    amount: float, unit: LiquidUnit, liquid: LiquidOxygen, full_percent: float = 100.0
) -> Volume | Question:
    """Litres of gas from an amount of liquid, or from the percentage that a vessel of that size is
    full.

    What no vessel of the trade holds is asked about.
    """
    per_unit = liquid.gas_of_one(unit)
    most = round(liquid.most_litres * liquid.gas_per_litre / per_unit)
    question = question_outside(amount, 0, most, f"{unit} of liquid") or question_outside(
        full_percent, 0, 100, "percent full"
    )
    return question or Volume(amount * per_unit * full_percent / 100)
