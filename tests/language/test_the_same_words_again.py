"""Words that fit two steps: what is still to be done counts, and a finding is as good as a key."""

from __future__ import annotations

from coach.core.meaning import StepMention
from coach.language.context import Context, StepWords, Words
from coach.language.understand import understand

FIRST = StepWords("first", Words(phrases=("there is no pulse",), absent=("have/feel pulse",)))
SECOND = StepWords("second", Words(keys=("no pulse", "feel/have pulse")))


def told(words: str, suggested: str, *done: str) -> list[StepMention]:
    context = Context(steps=(FIRST, SECOND), suggested=suggested, done=frozenset(done))
    return list(understand(words, context).steps)


def test_said_again_it_is_of_the_step_that_is_still_to_be_done() -> None:
    assert told("there is no pulse", "first") == [StepMention("first")]
    assert told("there is no pulse", "second", "first") == [StepMention("second")]


def test_a_finding_is_of_the_step_that_asks_for_it() -> None:
    assert told("I feel a pulse", "first") == [StepMention("first", denied=True, found=True)]
    assert told("I feel a pulse", "second", "first") == [StepMention("second")]
