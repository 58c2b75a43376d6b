"""A time of day told right after a dose is no other dose."""

from __future__ import annotations

from dataclasses import replace

import pytest
from attempt_play import played
from benchmarks.written_attempts import FRESH, Written, written_attempts

GLUCOSE = next(one for one in written_attempts(FRESH) if one.skill == "oral-glucose")
DOSE = "dose/grams"


def told_after(*said: str) -> dict[str, list[float]]:
    """The numbers of the attempt with these words in place of the time."""
    place = GLUCOSE.turns.index("eleven fifteen, noted")
    attempt: Written = replace(
        GLUCOSE, turns=(*GLUCOSE.turns[:place], *said, *GLUCOSE.turns[place + 1 :])
    )
    numbers = played(attempt).numbers
    return {f"{number.step}/{number.name}": list(number.values) for number in numbers}


@pytest.mark.parametrize("time", ["eleven fifteen, noted", "it's eleven fifteen now"])
def test_a_time_does_not_take_the_place_of_a_dose(time: str) -> None:
    assert told_after(time)[DOSE] == [30]


def test_another_dose_still_does() -> None:
    assert told_after("no, fifteen")[DOSE] == [15]
    assert told_after("I mean fifteen grams")[DOSE] == [15]
