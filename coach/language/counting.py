"""Counting aloud: which words of it are for the coach, and which only keep time."""

from __future__ import annotations

from coach.core.meaning import Meaning, Part, StepMention
from coach.language.number_words import DIGITS, GRAMMAR_WORDS, TEENS, TENS

MOSTLY = 0.5
"""Share of numbers from which a turn is counting (common practice, no source)."""


NOT_COUNTED = frozenset(
    "a o oh over point dot decimal minus negative half quarter quarters".split()
)
"""Words of numbers with which nobody keeps time."""


def counts_aloud(text: str) -> bool:
    """Whether the words are counted: half of them or more are numbers ("thirty, breath")."""
    words = text.split()
    counted = GRAMMAR_WORDS - NOT_COUNTED
    numbers = [word for word in words if word in counted or word.isdecimal()]
    return numbers not in ([], ["and"]) and len(numbers) >= MOSTLY * len(words)


def counted_in(text: str) -> bool:
    """Whether there is a word with which somebody may have kept time."""
    words = {*DIGITS, *TEENS, *TENS}
    return any(word in words or word.isdecimal() for word in text.split())


def told_among_numbers(meaning: Meaning) -> tuple[StepMention, ...]:
    """What is told of steps while the learner may count: among numbers only how something ends.

    "Twenty-nine, thirty, breath" keeps time and tells of no breath; "thirty, hands off" ends it.
    """
    if not counts_aloud(meaning.text):
        return meaning.steps
    return tuple(mention for mention in meaning.steps if mention.part is Part.CLOCK_END)
