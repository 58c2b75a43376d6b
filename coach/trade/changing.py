"""A reading that answers to what was done: it goes towards another value, fast at first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Towards:
    """From `begun_s` on the value goes towards `value`: half of the way in each `half_s` seconds.

    With `half_s` 0 it is there at once.
    """

    begun_s: float
    value: float
    half_s: float


def value_at(at_s: float, start: float, changes: Sequence[Towards]) -> float:
    """The value at a time in seconds; of the changes begun by then each goes on from the last.

    An exponential approach: value = target + (before - target) * 2 ** (-seconds / half_s).
    """
    value = start
    begun = [change for change in sorted(changes, key=_begun) if change.begun_s <= at_s]
    for number, change in enumerate(begun):
        until_s = begun[number + 1].begun_s if number + 1 < len(begun) else at_s
        if change.half_s <= 0:
            value = change.value
        else:
            share = 2.0 ** (-(until_s - change.begun_s) / change.half_s)
            value = change.value + (value - change.value) * share
    return value


def _begun(change: Towards) -> float:
    return change.begun_s
