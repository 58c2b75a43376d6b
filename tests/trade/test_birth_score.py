"""The newborn's score against the published table, all 243 combinations."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from known_numbers import known_numbers
from speakable import assert_speakable, question_of, value_of

from coach.trade.birth_score import Sign, birth_score
from coach.trade.questions import Question
from coach.trade.spoken_sums import birth_words

TABLE = known_numbers().birth


def points(
    appearance: float, pulse: float, grimace: float, activity: float, breath: float
) -> dict[Sign, float]:
    return dict(zip(Sign, (appearance, pulse, grimace, activity, breath), strict=True))


def test_all_243_combinations() -> None:
    # MSD Manual, table Apgar Score: 7 to 10 at 5 minutes, 4 to 6, 0 to 3
    for combination in itertools.product((0, 1, 2), repeat=5):
        score = value_of(birth_score(points(*combination), 5, TABLE))
        assert score.total == sum(combination)
        assert score.band == (
            (0, 3) if score.total <= 3 else (4, 6) if score.total <= 6 else (7, 10)
        )
        assert_speakable(birth_words(score))
        if score.check:
            assert_speakable(score.check.words)


def test_the_signs_are_the_five_of_the_name() -> None:
    assert "".join(sign[0] for sign in Sign) == "apgar"


@pytest.mark.parametrize(
    ("given_points", "minute", "asked"),
    [
        (points(2, 2, 2, 2, 3), 5, "Respiration"),
        (points(-1, 2, 2, 2, 2), 5, "Appearance"),
        (points(2, 1.5, 2, 2, 2), 5, "no whole number"),
        (points(2, 2, math.nan, 2, 2), 5, "what I heard"),
        (points(2, 2, 2, 2, 2), 3, "one and five"),
        (points(2, 2, 2, 2, 2), math.nan, "What I heard"),
    ],
)
def test_what_cannot_be_is_asked_about(
    given_points: dict[Sign, float], minute: float, asked: str
) -> None:
    assert asked in question_of(birth_score(given_points, minute, TABLE))


def test_a_missing_sign_is_asked_for() -> None:
    partial = points(2, 2, 2, 2, 2)
    del partial[Sign.GRIMACE]
    assert question_of(birth_score(partial, 1, TABLE)) == "And grimace: zero, one or two?"


# MSD Manual: at one and five minutes; from memory, opinion 644 of the American College of
# Obstetricians and Gynecologists: then every five, up to twenty.
@pytest.mark.parametrize("minute", [1, 5, 10, 15, 20])
def test_the_minutes_at_which_it_is_scored(minute: int) -> None:
    assert value_of(birth_score(points(1, 2, 2, 2, 2), minute, TABLE)).minute == minute


@pytest.mark.parametrize(
    ("combination", "asked"),
    [
        ((0, 0, 0, 0, 0), None),
        ((1, 0, 0, 0, 1), "No pulse"),
        ((1, 2, 1, 0, 2), "limp"),
        ((1, 2, 2, 2, 2), None),
    ],
)
def test_odd_combinations_are_looked_at_again(
    combination: tuple[int, int, int, int, int], asked: str | None
) -> None:
    check = value_of(birth_score(points(*combination), 1, TABLE)).check
    assert (check is None) if asked is None else (asked in question_of(check))


@given(st.dictionaries(st.sampled_from(Sign), st.floats(allow_nan=True)), st.floats(allow_nan=True))
def test_any_numbers_give_a_score_or_a_question(scored: dict[Sign, float], minute: float) -> None:
    answer = birth_score(scored, minute, TABLE)
    if isinstance(answer, Question):
        assert_speakable(answer.words)


def test_what_is_said() -> None:
    assert birth_words(value_of(birth_score(points(1, 2, 2, 2, 2), 5, TABLE))) == (
        "Nine of ten at five minutes, in the band seven to ten."
    )
    assert birth_words(value_of(birth_score(points(0, 1, 1, 0, 1), 1, TABLE))) == (
        "Three of ten at one minute, in the band zero to three."
    )
