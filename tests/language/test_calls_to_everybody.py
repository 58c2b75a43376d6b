"""A call to everybody around is no talk of other people."""

from __future__ import annotations

import pytest

from coach.core.meaning import StepMention
from coach.language.context import Context, StepWords, Words
from coach.language.understand import understand

CLEAR = StepWords(
    "clear",
    Words(
        keys=("everybody/everyone/stand clear",), absent=("somebody/someone/everybody touching",)
    ),
)


def told(words: str) -> list[StepMention]:
    return list(understand(words, Context(steps=(CLEAR,), suggested="clear")).steps)


@pytest.mark.parametrize(
    "words", ["everybody is clear", "everyone's clear", "stand clear everybody", "everybody clear"]
)
def test_everybody_is_called_clear(words: str) -> None:
    assert told(words) == [StepMention("clear")]


def test_somebody_who_touches_is_a_finding() -> None:
    assert told("somebody is touching him") == [StepMention("clear", denied=True, found=True)]


@pytest.mark.parametrize("words", ["everybody stands clear in the video", "everybody should clear"])
def test_talk_of_other_people_is_still_talk(words: str) -> None:
    assert told(words) == []
