"""What the arithmetic asks back, as the refusal of an option."""

from __future__ import annotations

from typing import TypeVar

from coach.core.errors import InputError
from coach.trade.questions import Question

T = TypeVar("T")


def answer_or_ask(answer: T | Question, options: str) -> T:
    """The answer; InputError with the question, after the options that it is about."""
    if isinstance(answer, Question):
        raise InputError(f"{options}: {answer.words}")
    return answer
