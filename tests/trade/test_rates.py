"""Rates from counts: how far a count can be off, and which counts nobody can have."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from known_numbers import known_numbers
from speakable import assert_speakable, question_of, value_of

from coach.dialogue.lines import counted_rate
from coach.trade.questions import Question
from coach.trade.rates import Counted, CountedRate, rate_from_count

counted = st.sampled_from(Counted)
BREATHS, PULSE = Counted.BREATHS, Counted.PULSE
FASTEST = known_numbers().fastest


@pytest.mark.parametrize(
    ("count", "seconds", "whole", "spread"),
    [
        (8, 30, 16, 2),  # the project's own example: 8 in 30 seconds is 16 a minute
        (4, 15, 16, 4),  # "15-s quadruple": Respir Care, doi 10.4187/respcare.06451
        (1, 4, 15, 15),  # 60 / the time of a single breath, same study
        (18, 60, 18, 1),
        (20, 15, 80, 4),
        (7, 20, 21, 3),
        (5, 24, 13, 2.5),  # 12.5: a half goes up
    ],
)
def test_counts_become_rates(count: int, seconds: float, whole: int, spread: float) -> None:
    rate = value_of(rate_from_count(count, seconds, BREATHS, FASTEST))
    assert rate.whole == whole
    assert rate.give_or_take == spread


@given(st.floats(1, 250), st.floats(0, 1, exclude_max=True), st.floats(2, 180))
def test_a_steady_rhythm_lies_within_what_its_count_allows(
    per_minute: float, phase: float, seconds: float
) -> None:
    # Counted here beat by beat, over a window that opens anywhere between two beats.
    period = 60 / per_minute
    beats = 0
    while (beats + phase) * period < seconds:
        beats += 1
    rate = CountedRate(PULSE, beats, seconds)
    assert rate.at_least - 1e-6 <= per_minute <= rate.at_most + 1e-6


@pytest.mark.parametrize(("seconds", "low", "high"), [(15, -7.16, 4.72), (30, -3.89, 2.97)])
def test_real_counts_differ_more_than_steady_ones_but_not_by_far(
    seconds: float, low: float, high: float
) -> None:
    # 95 % limits against a full minute, 770 counts on the wards (see the module): the spread that
    # one event makes has to be of that size, neither a tenth nor ten times it.
    half_width = (high - low) / 2
    spread = CountedRate(BREATHS, 5, seconds).give_or_take
    assert half_width / 2 <= spread <= half_width


@given(st.integers(1, 60), st.floats(2, 180), counted)
def test_longer_windows_are_surer(count: int, seconds: float, what: Counted) -> None:
    shorter, longer = CountedRate(what, count, seconds), CountedRate(what, count, seconds + 1)
    assert longer.give_or_take < shorter.give_or_take
    assert CountedRate(what, count + 1, seconds).per_minute > shorter.per_minute


@given(st.floats(allow_nan=True), st.floats(5, 120), counted)
def test_any_number_gives_a_rate_or_a_question(count: float, seconds: float, what: Counted) -> None:
    answer = rate_from_count(count, seconds, what, FASTEST)
    if isinstance(answer, Question):
        assert_speakable(answer.words)
    else:
        assert 0 <= answer.per_minute <= FASTEST.per_minute[what]


@given(st.integers(0, 700), st.floats(5, 120), counted)
def test_every_rate_can_be_said(count: int, seconds: float, what: Counted) -> None:
    answer = rate_from_count(count, seconds, what, FASTEST)
    if isinstance(answer, CountedRate):
        assert_speakable(counted_rate(answer))


def test_what_is_said() -> None:
    assert counted_rate(value_of(rate_from_count(8, 30, BREATHS, FASTEST))) == (
        "You counted eight in thirty seconds: sixteen a minute."
    )


@pytest.mark.parametrize(
    ("count", "seconds", "asked"),
    [
        (7.5, 30, "no whole number"),
        (-1, 30, "outside"),
        (math.nan, 30, "what I heard"),
        (454, 30, "outside zero to one hundred twenty"),
        (30, 8, "more than one hundred twenty a minute"),  # count and seconds swapped
    ],
)
def test_what_cannot_be_is_asked_about(count: float, seconds: float, asked: str) -> None:
    assert asked in question_of(rate_from_count(count, seconds, BREATHS, FASTEST))


@pytest.mark.parametrize("seconds", [0, -30, math.nan, math.inf])
def test_a_window_that_is_none_is_a_slip_of_the_program(seconds: float) -> None:
    with pytest.raises(ValueError, match="nothing is counted"):
        rate_from_count(8, seconds, BREATHS, FASTEST)
