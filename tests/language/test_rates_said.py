"""Of what a number is a rate: a patient's breaths are no pulse.

That pulse and breathing are told apart, and each by the minute, is a fact of the trade (common
practice, no source).
"""

from __future__ import annotations

import pytest

from coach.core.meaning import Expectation
from coach.core.units import Quantity, Unit
from coach.language.context import Range
from coach.language.readings import find_readings

PULSE, BREATHS, RATE = Quantity.PULSE_RATE, Quantity.BREATHING_RATE, Quantity.RATE
RANGES = {PULSE: Range(20, 250, Unit.PER_MINUTE), BREATHS: Range(4, 80, Unit.PER_MINUTE)}


def heard(text: str, asked: Expectation | None, *ranged: Quantity) -> list[tuple[Quantity, float]]:
    ranges = {quantity: RANGES.get(quantity, RANGES[PULSE]) for quantity in ranged}
    found = find_readings(text, asked, None, ranges)
    return [(reading.quantity, reading.values[0]) for reading in found]


@pytest.mark.parametrize("asked", [None, PULSE, BREATHS])
@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("he breathes, eighteen a minute", BREATHS),
        ("he breathes eighteen a minute", BREATHS),
        ("eighteen breaths a minute", BREATHS),
        ("eighteen a minute, he breathes well", BREATHS),
        ("the pulse is strong, eighteen a minute", PULSE),
        ("eighteen beats per minute", PULSE),
        ("his heart goes at eighteen a minute", PULSE),
        ("pulse eighteen", PULSE),
        ("respirations eighteen", BREATHS),
    ],
)
def test_what_is_counted_goes_before_what_was_asked(
    text: str, meant: Quantity, asked: Quantity | None
) -> None:
    assert heard(text, asked, PULSE, BREATHS) == [(meant, 18)]


def test_each_of_two_rates_has_its_own_name() -> None:
    assert heard("pulse ninety and respirations eighteen", None, PULSE, BREATHS) == [
        (PULSE, 90),
        (BREATHS, 18),
    ]
    assert heard("breaths eighteen a minute, pulse ninety a minute", PULSE, PULSE, BREATHS) == [
        (BREATHS, 18),
        (PULSE, 90),
    ]


@pytest.mark.parametrize("asked", [PULSE, BREATHS, RATE])
def test_a_rate_of_nothing_said_is_the_one_asked_for(asked: Quantity) -> None:
    assert heard("ninety a minute", asked, PULSE, BREATHS) == [(asked, 90)]
    assert heard("ninety", asked, PULSE, BREATHS) == [(asked, 90)]


def test_a_rate_of_nothing_said_is_the_only_one_that_a_step_wants() -> None:
    assert heard("ninety a minute", None, PULSE) == [(PULSE, 90)]
    assert heard("ninety a minute", None, PULSE, BREATHS) == [(RATE, 90)]


def test_where_any_rate_is_wanted_the_word_does_not_part_it_from_that() -> None:
    assert heard("one hundred ten beats a minute", RATE, RATE) == [(RATE, 110)]


def test_breaths_are_no_flow() -> None:
    assert heard("he breathes fifteen a minute", Quantity.FLOW, Quantity.FLOW) == [(BREATHS, 15)]
    assert heard("fifteen a minute", Quantity.FLOW, Quantity.FLOW) == [(Quantity.FLOW, 15)]
