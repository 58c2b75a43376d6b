"""What the arithmetic asks back, instead of computing with a number that is likely misheard."""

from __future__ import annotations

import math
from dataclasses import dataclass

from coach.trade.wording import number_words

MOST_WORDS = 20
"""Words in one spoken line: more is not kept in mind while the hands work (common practice, no
source)."""

_LONGEST_SAID = 10_000.0
_WHOLE_FROM = 100.0


@dataclass(frozen=True, slots=True)
class Question:
    """A question for the learner, in words for the voice; nothing was computed.

    ValueError when it is no question or longer than MOST_WORDS.
    """

    words: str

    def __post_init__(self) -> None:
        """Refuse what the voice could not ask in one breath."""
        if not self.words.endswith("?") or len(self.words.split()) > MOST_WORDS:
            raise ValueError(f'"{self.words}" is no question of at most {MOST_WORDS} words')


def heard(value: float) -> str:
    """The number as said, or "what I heard" where it is no number or ten thousand and more."""
    if not abs(value) < _LONGEST_SAID:
        return "what I heard"
    places = 0 if abs(value) >= _WHOLE_FROM else 1
    if abs(value) < 1:
        places = 2  # a tenth of a tenth may be what is outside
    return number_words(round(value, places))


def question_outside(
    value: float, low: float, high: float, what: str, *, whole: bool = False
) -> Question | None:
    """None for a number from `low` to `high` (whole, where asked); else what to ask.

    `what` is said before the number, three words at most: "the motor score".
    """
    if not low <= value <= high:
        limits = f"{number_words(low)} to {number_words(high)}"
        return Question(f"{capital(what)}, {heard(value)}, is outside {limits}: what was it?")
    if whole and value != math.floor(value):
        return Question(f"{capital(what)}, {heard(value)}, is no whole number: what was it?")
    return None


def first_question(*questions: Question | None) -> Question | None:
    """The first that is one: a learner is asked one thing at a time."""
    return next((question for question in questions if question is not None), None)


def capital(words: str) -> str:
    """The words with a capital at their beginning."""
    return words[:1].upper() + words[1:]
