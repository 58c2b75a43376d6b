"""The pace of compressions and breaths, as the table of facts has it for each age."""

from __future__ import annotations

from enum import StrEnum

from coach.core.errors import InputError
from coach.procedure.fact_references import stands_for
from coach.procedure.facts import FactTable, in_words
from coach.trade.pacing import SECONDS_PER_MINUTE, Pattern, middle_rate


class Paced(StrEnum):
    """What a pace is given for."""

    COMPRESSIONS = "compressions"
    VENTILATIONS = "ventilations"


class Age(StrEnum):
    """Ages that the facts tell apart."""

    ADULT = "adult"
    CHILD = "child"
    INFANT = "infant"


def pace_of(
    paced: Paced, age: Age, rescuers: int, per_minute: float | None, table: FactTable
) -> Pattern:
    """The pattern for that age, at `per_minute` or in the middle of what is right.

    InputError for a rate outside what the table of facts gives.
    """
    if paced is Paced.VENTILATIONS:
        shortest, longest = _ends(f"breath-interval-{age}", table)
        low, high = SECONDS_PER_MINUTE / longest, SECONDS_PER_MINUTE / shortest
        middle = SECONDS_PER_MINUTE / middle_rate(shortest, longest)
        return Pattern(_checked(per_minute, low, high, paced) or middle, breaths=1)
    low, high = _ends("compression-rate", table)
    rate = _checked(per_minute, low, high, paced) or middle_rate(low, high)
    alone = "compressions-one-rescuer"
    group = "adult" if age is Age.ADULT else "child"
    row = alone if rescuers == 1 else f"compressions-two-rescuers-{group}"
    return Pattern(
        rate,
        int(_number(row, table)),
        int(_number("breaths-after-compressions", table)),
        _number("breath-length", table),
    )


def _checked(rate: float | None, low: float, high: float, paced: Paced) -> float | None:
    if rate is None or low <= rate <= high:
        return rate
    right = in_words(low) if low == high else f"{in_words(low)} to {in_words(high)}"
    raise InputError(f"--rate {rate:g} is no pace for {paced}: give {right} a minute.")


def _ends(name: str, table: FactTable) -> tuple[float, float]:
    amount = table.facts[name].amount
    if amount.low is not None and amount.high is not None:
        return amount.low, amount.high
    return _number(name, table), _number(name, table)


def _number(name: str, table: FactTable) -> float:
    found = stands_for(f"fact.{name}", table)
    if not isinstance(found, float):
        raise InputError(f"The fact '{name}' is no number: mend the table of facts.")
    return found
