"""The pace of compressions and breaths, as the table of facts has it for each age."""

from __future__ import annotations

from enum import StrEnum

from coach.core.errors import InputError
from coach.procedure.fact_references import stands_for
from coach.procedure.facts import FactTable, in_words
from coach.trade.pacing import SECONDS_PER_MINUTE, Pattern, middle_rate

_RATE, _BREATHS, _BREATH = "compression-rate", "breaths-after-compressions", "breath-length"
"""Facts that every pace of compressions rests on."""


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
        shortest, longest = _ends(_interval(age), table)
        low, high = SECONDS_PER_MINUTE / longest, SECONDS_PER_MINUTE / shortest
        middle = SECONDS_PER_MINUTE / middle_rate(shortest, longest)
        return Pattern(_checked(per_minute, low, high, paced) or middle, breaths=1)
    low, high = _ends(_RATE, table)
    rate = _checked(per_minute, low, high, paced) or middle_rate(low, high)
    return Pattern(
        rate,
        int(_number(_row(age, rescuers), table)),
        int(_number(_BREATHS, table)),
        _number(_BREATH, table),
    )


def facts_of_pace(paced: Paced, age: Age, rescuers: int) -> tuple[str, ...]:
    """The names of the facts that such a pace rests on."""
    if paced is Paced.VENTILATIONS:
        return (_interval(age),)
    return (_RATE, _row(age, rescuers), _BREATHS, _BREATH)


def _interval(age: Age) -> str:
    return f"breath-interval-{age}"


def _row(age: Age, rescuers: int) -> str:
    group = "adult" if age is Age.ADULT else "child"
    return "compressions-one-rescuer" if rescuers == 1 else f"compressions-two-rescuers-{group}"


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
