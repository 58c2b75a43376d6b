"""A number is held against its range in the unit it was said in."""

from __future__ import annotations

from dataclasses import replace

import pytest
from attempt_play import played
from attempts import NOT_YET
from benchmarks.written_attempts import Written

from coach.report.attempt import NumberResult
from coach.report.attempt_text import attempt_text


def expected(skill: str, words: str, **settings: str) -> tuple[float, float, str, bool]:
    turns: list[str | float] = ["I'm ready", 2.0, words, 5.0, "finish", "yes"]
    result = played(Written("units", skill, turns, "", {}, "not-yet", settings=settings))
    (number,) = result.numbers
    return number.low, number.high, number.unit, number.in_range


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("I sized the airway, ninety millimeters", (80, 100, "mm", True)),
        # 80 mm are 3.15 in and 100 mm 3.94 in: an inch is 25.4 mm (NIST SP 811, appendix B.8).
        ("I sized the airway, three and a half inches", (3.15, 3.94, "in", True)),
        ("I sized the airway, ninety inches", (3.15, 3.94, "in", False)),
    ],
)
def test_a_length_in_inches_is_expected_in_inches(
    words: str, found: tuple[float, float, str, bool]
) -> None:
    assert expected("oral-airway", words) == found


def test_a_pressure_in_bar_is_expected_in_bar() -> None:
    """One bar is 14.5037738 psi (NIST SP 811, appendix B.8)."""
    low, high, unit, in_range = expected("oxygen-cylinder", "The gauge reads one hundred ten bar")
    psi_low, psi_high, _, _ = expected("oxygen-cylinder", "The gauge reads sixteen hundred psi")
    assert (unit, in_range) == ("bar", True)
    assert (low, high) == pytest.approx((psi_low / 14.5037738, psi_high / 14.5037738), rel=5e-3)


def test_what_a_scenario_shows_is_expected_as_one_number() -> None:
    """Not "86 to 86": the oximeter showed just that."""
    shown = NumberResult("need", "saturation", (88.0,), "%", 86.0, 86.0, False, False, 1.0)
    result = replace(NOT_YET, numbers=(shown,))
    assert "Number: saturation 88 %, expected 86 %" in attempt_text(result).splitlines()
