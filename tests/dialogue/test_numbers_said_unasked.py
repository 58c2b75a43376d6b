"""Where nobody asks, a number belongs to what it is said of, and changes nothing else."""

from __future__ import annotations

import pytest
from attempt_play import played
from benchmarks.written_attempts import Written

EPINEPHRINE = (
    "I'm ready",
    "zero point three milligrams",
)


def numbers(skill: str, *turns: str | float, **settings: str) -> dict[str, tuple[float, ...]]:
    """The numbers that stand at the end, by step and name."""
    result = played(Written("", skill, turns, "", {}, "", settings=settings))
    return {f"{each.step}/{each.name}": each.values for each in result.numbers}


@pytest.mark.parametrize("time", ["given at eleven oh five", "the time is eight thirty"])
def test_a_time_of_day_changes_no_dose(time: str) -> None:
    assert numbers("epinephrine-auto-injector", *EPINEPHRINE, time) == {"dose/milligrams": (0.3,)}


def test_a_correction_without_a_unit_still_counts() -> None:
    turns = ("I'm ready", "the dose is zero point one five milligrams", "sorry zero point three")
    assert numbers("epinephrine-auto-injector", *turns) == {"dose/milligrams": (0.3,)}


def test_a_gauge_that_was_bled_changes_no_pressure() -> None:
    turns = ("I'm ready", "the gauge reads two thousand psi", "I bleed it until the gauge is zero")
    assert numbers("oxygen-cylinder", *turns)["pressure/pressure"] == (2000.0,)


def test_how_high_the_cuff_is_pumped_is_no_blood_pressure() -> None:
    """A pressure by ear has two numbers, the first sound and the last (common practice)."""
    turns = (
        "I'm ready",
        "the cuff is on above the elbow",
        "the pulse goes away at one hundred and ten",
        "stethoscope on the artery",
        "pumping up to one hundred forty",
    )
    assert numbers("vital-signs", *turns) == {"estimate/pulse-gone": (110.0,)}


def test_a_number_is_heard_after_a_step_was_left_out() -> None:
    """The patient was told nothing, but the minutes are said where they belong."""
    turns = ("I'm ready", "the values are written down with the time", "again in five minutes")
    assert numbers("vital-signs", *turns)["again/minutes"] == (5.0,)


def test_the_breaths_of_a_patient_are_no_pulse() -> None:
    """Where only the pulse is wanted, and where both are (common practice, no source)."""
    turns = ("I'm ready", "he breathes, eighteen a minute", "his pulse is strong, ninety")
    assert numbers("trauma-assessment", *turns) == {"vitals/pulse": (90.0,)}
    told = ("I'm ready", "the pulse is sixteen a minute")
    assert "breaths/count" not in numbers("vital-signs", *told)
