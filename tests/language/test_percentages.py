"""Of what a percentage is told: what it is called by, what is waited for, or nobody can tell."""

from __future__ import annotations

import pytest

from coach.core.units import Quantity, Unit
from coach.language.context import Range
from coach.language.readings import find_readings

SATURATION, AREA = Quantity.SATURATION, Quantity.BURNED_AREA
RANGES = {quantity: Range(1, 100, Unit.PERCENT) for quantity in (SATURATION, AREA)}


@pytest.mark.parametrize("asked", [None, SATURATION, AREA])
@pytest.mark.parametrize(
    ("said", "quantity"),
    [
        ("eleven percent burned", AREA),
        ("about twelve percent of the body surface", AREA),
        ("burns over twenty percent of her body", AREA),
        ("the burned area is sixteen percent", AREA),
        ("i make it nine percent tbsa", AREA),
        ("spo2 ninety one percent", SATURATION),
        ("ninety six percent saturation", SATURATION),
        ("she is satting at eighty eight percent", SATURATION),
    ],
)
def test_what_it_is_called_by_decides(
    said: str, quantity: Quantity, asked: Quantity | None
) -> None:
    for ranges in ({}, RANGES):
        [reading] = find_readings(said, asked, step_ranges=ranges)
        assert (reading.quantity, reading.could_be_in) == (quantity, ())


@pytest.mark.parametrize("said", ["thirty one percent", "thirty one", "it's thirty one percent"])
def test_else_it_is_what_was_asked_for(said: str) -> None:
    for asked in (SATURATION, AREA):
        for ranges in ({}, RANGES):
            [reading] = find_readings(said, asked, step_ranges=ranges)
            assert (reading.quantity, reading.could_be_in) == (asked, ())


def test_else_it_is_what_a_step_waits_for() -> None:
    for quantity, allowed in RANGES.items():
        [reading] = find_readings("thirty one percent", None, step_ranges={quantity: allowed})
        assert (reading.quantity, reading.could_be_in) == (quantity, ())


@pytest.mark.parametrize(
    "said", ["thirty one percent", "his burns are dressed, it reads thirty one percent on oxygen"]
)
def test_where_both_may_be_meant_nobody_can_tell(said: str) -> None:
    [reading] = find_readings(said, None, step_ranges=RANGES)
    assert reading.could_be_in == ("percent saturation", "percent burned")
