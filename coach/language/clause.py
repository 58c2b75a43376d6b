"""A clause of what was said, and how it speaks of what it speaks of."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Mood(StrEnum):
    """How a clause speaks of what it speaks of.

    A HEDGED one denies, but confirms nothing; of the doings of OTHERS only what was found counts.
    What is AMISS ("too small", "full of blood") counts where it is a finding of a step. What was
    EARLIER ("he had a stroke last year") counts where the history is told, and is no finding now.
    What is of the patient's LIFE ("she had breakfast", "it began yesterday") counts only for steps
    that ask for it. What was ASKED ("I asked whether he takes any") counts for steps that ask.
    What an act has as its PURPOSE ("so it can't move") denies nothing.
    """

    PLAIN = "plain"
    QUESTION = "question"
    PLAN = "plan"
    HEDGED = "hedged"
    SUPPOSED = "supposed"
    OTHERS = "others"
    AWAY = "away"
    AMISS = "amiss"
    EARLIER = "earlier"
    LIFE = "life"
    ASKED = "asked"
    PURPOSE = "purpose"


@dataclass(frozen=True, slots=True)
class Word:
    """One word at its place in the utterance."""

    text: str
    stem: str
    place: int


@dataclass(frozen=True, slots=True)
class Clause:
    """Words between two breaks, in one mood; `ands` are the places of "and" within it.

    `head` is the word that opened it ("if", "then"), "" for none. `written`: it is, word for word,
    a phrase of a step, and told plainly for that alone.
    """

    words: tuple[Word, ...]
    mood: Mood = Mood.PLAIN
    ands: tuple[int, ...] = ()
    head: str = ""
    written: bool = False

    @property
    def texts(self) -> list[str]:
        """The words as said."""
        return [word.text for word in self.words]
