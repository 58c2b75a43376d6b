"""The coma scale: sums, groups, untested parts, infants, odd combinations."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from known_numbers import known_numbers
from speakable import assert_speakable, question_of, value_of

from coach.trade.consciousness import (
    EYE,
    MOTOR,
    VERBAL,
    Group,
    Scale,
    consciousness_score,
)
from coach.trade.questions import Question
from coach.trade.spoken_sums import consciousness_words

BOUNDS = known_numbers().consciousness
ALL = list(itertools.product(range(1, 5), range(1, 6), range(1, 7)))


def test_all_120_combinations() -> None:
    # doi 10.1186/s41984-020-00096-5, table 1: 13 and more mild, 9 to 12 moderate, 8 or less severe
    assert len(ALL) == 120
    for parts in ALL:
        score = value_of(consciousness_score(*parts, BOUNDS))
        assert score.total == sum(parts)
        assert score.group is (
            Group.MILD if sum(parts) > 12 else Group.SEVERE if sum(parts) < 9 else Group.MODERATE
        )
        assert_speakable(consciousness_words(score))
        if score.check:
            assert_speakable(score.check.words)


def test_the_steps_of_both_tables_are_complete() -> None:
    # Merck Manual, Modified Glasgow Coma Scale for Infants and Children: eye 4, verbal 5, motor 6
    assert set(EYE) == {1, 2, 3, 4}
    for scale in Scale:
        assert set(VERBAL[scale]) == {1, 2, 3, 4, 5}
        assert set(MOTOR[scale]) == {1, 2, 3, 4, 5, 6}
    # There an infant's motor 5 is the withdrawal from touch, an adult's the reach for the pain.
    assert "touch" in MOTOR[Scale.INFANT][5] and "touch" not in MOTOR[Scale.ADULT][5]
    assert "cries" in VERBAL[Scale.INFANT][3] and "words" in VERBAL[Scale.ADULT][3]


def test_one_more_point_never_gives_a_worse_group() -> None:
    order = [Group.SEVERE, Group.MODERATE, Group.MILD]
    for eye, verbal, motor in ALL:
        group = value_of(consciousness_score(eye, verbal, motor, BOUNDS)).group
        if motor < 6 and group:
            better = value_of(consciousness_score(eye, verbal, motor + 1, BOUNDS)).group
            assert better and order.index(better) >= order.index(group)


@pytest.mark.parametrize(
    "parts", [(None, 5, 6), (4, None, 6), (4, 5, None), (None, None, 6), (None, None, None)]
)
def test_what_was_not_tested_leaves_no_total(
    parts: tuple[int | None, int | None, int | None],
) -> None:
    # brainline.org as quoted by medizzy.com 24696374: "NT", not testable, beside every part
    score = value_of(consciousness_score(*parts, BOUNDS))
    assert score.total is None
    assert score.group is None
    assert "not tested" in consciousness_words(score)
    assert_speakable(consciousness_words(score))


def test_an_infant_has_a_total_but_no_adult_group() -> None:
    score = value_of(consciousness_score(4, 4, 5, BOUNDS, Scale.INFANT))
    assert score.total == 13
    assert score.group is None
    assert consciousness_words(score) == "Eyes four, verbal four, motor five: thirteen of fifteen."


@pytest.mark.parametrize(
    ("parts", "scale", "asked"),
    [
        ((1, 5, 6), Scale.ADULT, "Talking with eyes"),
        ((1, 4, 6), Scale.ADULT, "Talking with eyes"),
        ((1, 1, 6), Scale.ADULT, "never open"),
        ((4, 5, 2), Scale.ADULT, "best limb"),
        ((None, 5, 6), Scale.ADULT, None),
        ((4, 1, 6), Scale.ADULT, None),
        ((1, 1, 1), Scale.ADULT, None),
        ((1, 4, 6), Scale.INFANT, None),
    ],
)
def test_odd_combinations_are_asked_about_and_still_count(
    parts: tuple[int | None, int, int], scale: Scale, asked: str | None
) -> None:
    score = value_of(consciousness_score(*parts, BOUNDS, scale))
    assert (score.check is None) if asked is None else (asked in question_of(score.check))


@pytest.mark.parametrize(
    ("parts", "asked"),
    [
        ((5, 5, 6), "eye score"),
        ((4, 6, 6), "verbal score"),
        ((4, 5, 7), "motor score"),
        ((0, 5, 6), "eye score"),
        ((3.5, 5, 6), "no whole number"),
        ((math.nan, 5, 6), "what I heard"),
    ],
)
def test_points_that_no_part_has_are_asked_about(
    parts: tuple[float, float, float], asked: str
) -> None:
    assert asked in question_of(consciousness_score(*parts, BOUNDS))


@given(*(st.none() | st.floats(allow_nan=True) | st.integers(0, 7),) * 3, st.sampled_from(Scale))
def test_any_numbers_give_a_score_or_a_question(
    eye: float | None, verbal: float | None, motor: float | None, scale: Scale
) -> None:
    answer = consciousness_score(eye, verbal, motor, BOUNDS, scale)
    assert_speakable(answer.words if isinstance(answer, Question) else consciousness_words(answer))


def test_what_is_said() -> None:
    assert consciousness_words(value_of(consciousness_score(3, 4, 6, BOUNDS))) == (
        "Eyes three, verbal four, motor six: thirteen of fifteen, grouped as mild."
    )
    assert consciousness_words(value_of(consciousness_score(4, 5, 6, BOUNDS))) == (
        "Eyes four, verbal five, motor six: fifteen of fifteen."
    )
