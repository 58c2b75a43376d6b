"""How much gas liquid oxygen gives; nothing is taken off for what boils away unused."""

from __future__ import annotations

from enum import StrEnum

from coach.core.units import Volume
from coach.trade.questions import Question, question_outside

GAS_LITRES_PER_LIQUID_LITRE = 860.0
"""Litres of gas at about 21 C from a litre of liquid (860.6: [lox]; rounded down, so
that a time errs on the short side)."""

GAS_LITRES_PER_POUND = 344.0
"""Litres of gas from a pound of liquid (344.24 there, rounded down: 860 / 2.5 lb per litre)."""

KILOGRAMS_PER_POUND = 0.45359237
"""Exact ([nist])."""

MOST_LIQUID_LITRES = 100.0
"""Litres in the largest vessel at home or on a vehicle (from memory: makers' data)."""


class LiquidUnit(StrEnum):
    """How an amount of liquid oxygen is given."""

    LITRES = "liters"
    POUNDS = "pounds"
    KILOGRAMS = "kilograms"


GAS_LITRES_PER_UNIT = {
    LiquidUnit.LITRES: GAS_LITRES_PER_LIQUID_LITRE,
    LiquidUnit.POUNDS: GAS_LITRES_PER_POUND,
    LiquidUnit.KILOGRAMS: GAS_LITRES_PER_POUND / KILOGRAMS_PER_POUND,
}
"""Litres of gas from one of each unit of liquid."""


def gas_of_liquid(
    amount: float, unit: LiquidUnit, full_percent: float = 100.0
) -> Volume | Question:
    """Litres of gas from an amount of liquid, or from the percentage that a vessel of that size is
    full.

    What no vessel of the trade holds is asked about.
    """
    per_unit = GAS_LITRES_PER_UNIT[unit]
    most = round(MOST_LIQUID_LITRES * GAS_LITRES_PER_LIQUID_LITRE / per_unit)
    question = question_outside(amount, 0, most, f"{unit} of liquid") or question_outside(
        full_percent, 0, 100, "percent full"
    )
    return question or Volume(amount * per_unit * full_percent / 100)
