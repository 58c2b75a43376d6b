"""Compressions to breaths: two numbers of which the step asks for the first."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from coach.core.units import Quantity, Unit
from coach.language.number_ranges import Moment
from coach.language.numbers import SpokenNumber

BREATHS = 2.0
"""Breaths after each row of compressions, in every text (AHA 2020 and ERC 2021, from memory)."""


_BETWEEN = frozenset(
    "to and then compressions compression pushes pumps of those them with i we give for by".split()
)
"""Words between the row and the breaths: "thirty compressions and then two breaths"."""


def rows(
    words: Sequence[str], numbers: Sequence[SpokenNumber], moment: Moment
) -> dict[int, SpokenNumber]:
    """The numbers that are the row of "thirty to two" or "thirty compressions, two breaths", each
    with the place of the breaths' number.

    None where no step waits for a count.
    """
    if Quantity.COUNT not in {moment.quantity, *moment.step_ranges}:
        return {}
    return {
        breaths.start: row
        for row, breaths in pairwise(numbers)
        if breaths.values[0] == BREATHS
        and _leads_to_breaths(words, row.end, breaths)
        and moment.could_be_meant(Quantity.COUNT, Unit.COUNTED, row.values[0])
    }


def _leads_to_breaths(words: Sequence[str], row_end: int, breaths: SpokenNumber) -> bool:
    """Whether the words after the row lead to the number of the breaths."""
    gap = list(words[row_end : breaths.start])
    if gap in (["to"], ["compressions", "to"]):
        return True
    named = words[breaths.end : breaths.end + 1] in (["breaths"], ["breath"])
    alone = gap in (["and"], ["then"], ["and", "then"]) and breaths.end == len(words)
    return bool(gap) and _BETWEEN.issuperset(gap) and (named or alone)
