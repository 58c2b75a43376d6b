"""Questions asked back: of a length for the voice, and of any number."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from speakable import assert_speakable

from coach.trade.questions import Question, first_question, heard, question_outside


@pytest.mark.parametrize("words", ["Again.", "", "word " * 20 + "word?"])
def test_what_is_no_short_question_is_refused(words: str) -> None:
    with pytest.raises(ValueError, match="no question"):
        Question(words)


@given(st.floats(allow_nan=True), st.integers(0, 400), st.integers(0, 5000), st.booleans())
def test_every_number_outside_a_range_can_be_asked_about(
    value: float, low: int, width: int, whole: bool
) -> None:
    question = question_outside(value, low, low + width, "the motor score", whole=whole)
    inside = low <= value <= low + width
    if question is None:
        assert inside and not (whole and value % 1)
    else:
        assert not inside or whole
        assert_speakable(question.words)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (16, "sixteen"),
        (7.55, "seven point five"),
        (120.4, "one hundred twenty"),
        (-3, "minus three"),
        (math.nan, "what I heard"),
        (math.inf, "what I heard"),
        (1e6, "what I heard"),
    ],
)
def test_what_was_heard(value: float, words: str) -> None:
    assert heard(value) == words


def test_one_thing_is_asked_at_a_time() -> None:
    one, other = Question("One?"), Question("Other?")
    assert first_question(None, one, other) is one
    assert first_question(None, None) is None
    assert first_question() is None
