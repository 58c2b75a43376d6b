"""Compressions to breaths: two numbers of which the step asks for the first."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from coach.core.units import Quantity, Unit
from coach.language.number_ranges import Moment
from coach.language.numbers import SpokenNumber

BREATHS = 2.0
"""Breaths after each row of compressions, in every text (AHA 2020 and ERC 2021, from memory)."""


def rows(
    words: Sequence[str], numbers: Sequence[SpokenNumber], moment: Moment
) -> dict[int, SpokenNumber]:
    """The numbers that are the row of "thirty to two", each with the place of the breaths' number.

    None where no step waits for a count.
    """
    if Quantity.COUNT not in {moment.quantity, *moment.step_ranges}:
        return {}
    return {
        breaths.start: row
        for row, breaths in pairwise(numbers)
        if breaths.values[0] == BREATHS
        and list(words[row.end : breaths.start]) in (["to"], ["compressions", "to"])
        and moment.could_be_meant(Quantity.COUNT, Unit.COUNTED, row.values[0])
    }
