"""The numbers that `coach oxygen` works with besides the cylinders, from the table of facts."""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.errors import InputError
from coach.procedure.facts import Fact, FactTable
from coach.trade.liquid_oxygen import LiquidOxygen
from coach.trade.margins import MarginHabits
from coach.trade.ventilation import VentilationLimits

LIQUID = ("liquid-oxygen-gas", "liquid-oxygen-gas-pound", "liquid-vessel-most")
DEVICE = ("device-breath", "device-rate", "device-minute-volume")
ADULT = ("device-breath-adult", "device-rate-adult")
AIR, DRIVING = "oxygen-of-air", "device-driving-gas"
MARGIN, MARGIN_MOST = "oxygen-margin", "oxygen-margin-most"

OXYGEN_FACTS = (*LIQUID, *DEVICE, *ADULT, AIR, DRIVING, MARGIN, MARGIN_MOST)
"""All facts that these numbers rest on."""


@dataclass(frozen=True, slots=True)
class OxygenNumbers:
    """What liquid oxygen gives, what a ventilation device may have, and which margins there are."""

    liquid: LiquidOxygen
    device: VentilationLimits
    margins: MarginHabits


def oxygen_numbers(table: FactTable, file: str) -> OxygenNumbers:
    """The numbers by a table; InputError, with the `file` to mend, for one that it lacks."""

    def fact(name: str) -> Fact:
        if name not in table.facts:
            raise InputError(f"{file} has no fact '{name}', which coach oxygen works with: add it.")
        return table.facts[name]

    def one(name: str) -> float:
        value = fact(name).amount.value
        if not isinstance(value, float):
            raise InputError(f"{file}: fact '{name}' has to be one number: give it as 'value'.")
        return value

    def ends(name: str) -> tuple[float, float]:
        low, high = fact(name).amount.low, fact(name).amount.high
        if low is None or high is None:
            raise InputError(f"{file}: fact '{name}' has to be a range: give 'low' and 'high'.")
        return low, high

    breath, rate, volume = map(ends, DEVICE)
    adult_breath, adult_rate = map(one, ADULT)
    return OxygenNumbers(
        LiquidOxygen(*map(one, LIQUID)),
        VentilationLimits(breath, rate, adult_breath, adult_rate, volume, one(AIR), one(DRIVING)),
        MarginHabits(_who_plans(fact(MARGIN), table), one(MARGIN_MOST)),
    )


def _who_plans(fact: Fact, table: FactTable) -> dict[float, str]:
    """The names of the texts behind each number of a fact."""
    found: dict[float, list[str]] = {}
    texts = ((each.amount, each.sources) for each in fact.differs.values())
    for amount, keys in ((fact.amount, fact.sources), *texts):
        if isinstance(amount.value, float):
            found.setdefault(amount.value, []).extend(_named(table, keys))
    return {times: "; ".join(names) for times, names in found.items()}


def _named(table: FactTable, keys: tuple[str, ...]) -> list[str]:
    sources = (table.sources[key] for key in keys)
    return [f"{s.name}{' (from memory)' if s.from_memory else ''}" for s in sources]
