"""What may become of a turn, and why."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from coach.core.meaning import (
    Command,
    Meaning,
)
from coach.hearing.hypothesis import Hypothesis


class Decision(StrEnum):
    """What becomes of a turn."""

    ACT = "act"
    READ_BACK = "read back"
    ASK_AGAIN = "ask again"
    IGNORE = "ignore"


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is to be done, the meaning as far as it counts, and why.

    `neighbour`: it was too faint to be the learner's. `told` is what a turn that is let pass would
    have come to, "" where nothing that can be told again.
    """

    decision: Decision
    meaning: Meaning
    reason: str
    neighbour: bool = False
    told: str = ""


OBEYED = frozenset({Command.STOP, Command.QUIET})
"""Obeyed even when faint and whoever says it: stopping asks, silence harms nobody."""


def acted(meaning: Meaning, hypothesis: Hypothesis, reason: str) -> Verdict:
    """The meaning with its confidence; a number is read back before it counts."""
    sure = round(meaning.confidence * hypothesis.confidence, 3)
    decision = Decision.READ_BACK if meaning.readings else Decision.ACT
    return Verdict(decision, replace(meaning, confidence=sure), reason)


def below(what: str, sure: float, least: float) -> str:
    """The reason of what was not heard surely enough."""
    return f"{what} heard at {sure:.2f}, less than {least:.2f}"
