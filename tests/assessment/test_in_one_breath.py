"""A number and the step that hangs on it in one sentence: each counts where it was said."""

from __future__ import annotations

import pytest
from attempt_play import played
from benchmarks.written_attempts import Written

from coach.report.attempt import Result


def attempt(*breaths: str, safety_failure: str = "counts") -> Result:
    turns: list[str | float] = [
        "I'm ready",
        "my gloves and goggles are on",
        "he is unresponsive with no gag or cough",
        "the mouth is clear and suction is ready",
        *breaths,
        "the flange is on the lips",
        "the chest rises",
        "he gags and I take it out",
        "finish",
    ]
    written = Written(
        "breath", "oral-airway", turns, "", {}, "ready", safety_failure=safety_failure
    )
    return played(written)


SIZE = "I measured it from the corner of the mouth to the ear lobe"
REST = "I opened the mouth and put it in upside down and turned it"


@pytest.mark.parametrize("safety_failure", ["counts", "ends"])
def test_the_number_counts_before_what_is_said_after_it(safety_failure: str) -> None:
    result = attempt(f"{SIZE}, ninety millimeters. Then {REST}", safety_failure=safety_failure)
    assert (result.verdict, result.failures) == ("ready", ())


def test_a_wrong_number_is_known_to_what_is_said_after_it() -> None:
    result = attempt(f"{SIZE}, two hundred millimeters. Then {REST}")
    assert [failure.what for failure in result.failures] == [
        "the insertion with a wrong number of the size"
    ]
    assert result.verdict == "not-yet"


def test_what_is_said_before_the_number_comes_before_it() -> None:
    result = attempt(f"{REST}. {SIZE}, ninety millimeters")
    assert "the insertion before the size" in [failure.what for failure in result.failures]
    assert result.verdict == "not-yet"
