"""What every line of the arithmetic keeps to, whatever the numbers."""

from __future__ import annotations

from typing import TypeVar

from coach.trade.questions import MOST_WORDS, Question

T = TypeVar("T")

ADVICE = {"dose", "doses", "administer", "inject", "drug", "patient", "treat", "milligrams"}
"""No sum is advice to treat anybody."""


def assert_speakable(words: str) -> None:
    """At most twenty words in at most two sentences, no digit or symbol, no advice."""
    assert len(words.split()) <= MOST_WORDS, words
    assert words[0].isupper(), words
    assert words[-1] in ".?", words
    assert words.count(".") + words.count("?") <= 2, words
    assert words.replace("P S I", "").replace("-", "").isascii(), words
    assert all(sign.isalpha() or sign in " ,.?:-'" for sign in words), words
    assert not ADVICE & set(words.lower().replace(".", "").replace(",", "").split()), words


def value_of(answer: T | Question) -> T:
    """The answer, which has to be worked out and not asked about."""
    assert not isinstance(answer, Question), answer
    return answer


def question_of(answer: object) -> str:
    """The words of a question, which has to be asked."""
    assert isinstance(answer, Question), answer
    assert_speakable(answer.words)
    return answer.words
