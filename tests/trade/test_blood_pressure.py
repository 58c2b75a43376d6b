"""Pulse and mean pressure against printed examples and by their properties."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from known_numbers import known_numbers
from speakable import assert_speakable, question_of, value_of

from coach.trade.blood_pressure import PressureSums, pressure_sums
from coach.trade.questions import Question
from coach.trade.spoken_sums import pressure_words

BOUNDS = known_numbers().pressures


def sums_of(systolic: float, diastolic: float | None) -> PressureSums | Question:
    """What follows from two numbers by the table of facts."""
    return pressure_sums(systolic, diastolic, BOUNDS)


@pytest.mark.parametrize(
    ("systolic", "diastolic", "pulse", "mean", "printed"),
    [
        (120, 80, 40, 93.3, 93),  # wikilectures.eu, Mean arterial pressure: 93.3
        (130, 85, 45, 100.0, 100),  # qammunity.org 20424589 (weak): 100
        (83, 50, 33, 61.0, 61),  # cravencountryjamboree.com (weak): 61
    ],
)
def test_printed_examples(
    systolic: float, diastolic: float, pulse: float, mean: float, printed: int
) -> None:
    sums = value_of(sums_of(systolic, diastolic))
    assert sums.pulse.millimetres_of_mercury == pulse
    assert sums.mean.millimetres_of_mercury == pytest.approx(mean, abs=0.05)
    assert sums.mean.whole == printed


@given(st.floats(allow_nan=True) | st.floats(40, 300), st.none() | st.floats(allow_nan=True))
def test_any_numbers_give_sums_or_a_question(systolic: float, diastolic: float | None) -> None:
    answer = sums_of(systolic, diastolic)
    if isinstance(answer, Question):
        assert_speakable(answer.words)


@given(st.integers(40, 300), st.integers(0, 200))
def test_the_mean_lies_between_nearer_the_lower_number(systolic: int, diastolic: int) -> None:
    answer = sums_of(systolic, diastolic)
    if diastolic >= systolic:
        assert "below the upper" in question_of(answer)
        return
    sums = value_of(answer)
    mean = sums.mean.millimetres_of_mercury
    assert diastolic < mean < systolic
    assert systolic - mean == pytest.approx(2 * (mean - diastolic))
    assert_speakable(pressure_words(sums))
    if sums.check:
        assert_speakable(sums.check.words)


@given(st.integers(41, 299), st.integers(0, 199))
def test_a_higher_number_never_lowers_the_mean(systolic: int, diastolic: int) -> None:
    if diastolic + 1 >= systolic:
        return
    mean = value_of(sums_of(systolic, diastolic)).mean
    for higher in ((systolic + 1, diastolic), (systolic, diastolic + 1)):
        other = value_of(sums_of(*higher)).mean
        assert other.millimetres_of_mercury > mean.millimetres_of_mercury


def test_by_touch_there_is_no_mean() -> None:
    assert "By touch" in question_of(sums_of(120, None))


@pytest.mark.parametrize(
    ("systolic", "diastolic", "asked"),
    [
        (80, 120, "below the upper"),
        (120, 120, "below the upper"),
        (12, 8, "upper number"),
        (1120, 80, "upper number"),
        (120, -8, "lower number"),
        (260, 210, "lower number"),
        (math.nan, 80, "what I heard"),
        (260, math.nan, "what I heard"),
    ],
)
def test_what_cannot_be_is_asked_about(systolic: float, diastolic: float, asked: str) -> None:
    assert asked in question_of(sums_of(systolic, diastolic))


@pytest.mark.parametrize(
    ("systolic", "diastolic", "asked"),
    [
        # StatPearls NBK482408: under a quarter of the systolic is narrow ("if 100, under 25"), over
        # 100 wide
        (100, 76, "close together"),
        (100, 75, None),
        (180, 80, None),
        (181, 80, "far apart"),
    ],
)
def test_narrow_and_wide_are_read_again(
    systolic: float, diastolic: float, asked: str | None
) -> None:
    check = value_of(sums_of(systolic, diastolic)).check
    assert (check is None) if asked is None else (asked in question_of(check))


def test_what_is_said() -> None:
    assert pressure_words(value_of(sums_of(120, 80))) == (
        "One hundred twenty over eighty: pulse pressure forty, mean about ninety-three."
    )
