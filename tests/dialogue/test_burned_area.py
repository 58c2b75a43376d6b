"""A burned area in an attempt: held against the parts, corrected, taken back."""

from __future__ import annotations

import pytest
from bench_session import Run, run_with_step

from coach.core.units import Quantity
from coach.report.attempt import Way

BURNED = """steps:
  - id: area
    name: the area
    say: Say how much is burned.
    why: Where to go hangs on it.
    how: Count the parts.
    heard-as: {phrases: [partial thickness], keys: [partial thickness]}
    readings:
      - name: area
        quantity: burned-area
        unit: "%"
        low: "{no-fact.1}"
        high: "{no-fact.100}"
        burned: {age-years: "{no-fact.30}"}
        ask: How many percent?
        sources: [common]
"""


def run(*words: str, way: Way = Way.ASSESSED) -> Run:
    return run_with_step(BURNED, *words, way=way)


@pytest.mark.parametrize(
    ("words", "in_range"),
    [
        # an arm is 9 percent by the rule of nines, of an adult 9.5 by Lund and Browder's table
        # (the sources are named in coach/trade/burns.py), and half of one half of that
        (("half of his right arm, nine percent",), False),
        (("half of his right arm, five percent",), True),
        (("partial thickness, the whole arm", "nine percent"), True),
        (("partial thickness, the whole arm", "eighteen percent"), False),
        (("partial thickness on the arm", "eighteen percent"), True),
        (("half of his right arm, nine percent", "no, five percent"), True),
        (("my gloves are on his whole arm", "nine percent, partial thickness"), True),
    ],
)
def test_a_quiet_coach_holds_it_against_the_parts(words: tuple[str, ...], in_range: bool) -> None:
    played = run(*words)
    [standing] = played.state.readings
    assert (standing.quantity, standing.in_range) == (Quantity.BURNED_AREA, in_range)
    assert "area" in played.done


def test_taken_back_the_parts_are_forgotten() -> None:
    told = ("partial thickness, the whole arm", "nine percent", "yes")
    played = run(*told, "I didn't do that", way=Way.LED)
    assert played.state.burned is None
    assert "area" not in played.done
