"""Acts told in another order than that of doing, which counts or is asked about."""

from __future__ import annotations

import pytest

from coach.language.context import Context, StepWords, Words
from coach.language.understand import understand

OIL = StepWords("oil", Words(keys=("oil/oiled/oiling hinge",)))
SHUT = StepWords("shut", Words(keys=("shut/shutting/closed/closing gate",)))
SEAL = StepWords("seal", Words(keys=("seal/sealed/sealing crate lid",)))
STEPS = (OIL, SHUT, SEAL)


def told(words: str) -> list[str]:
    return [mention.step for mention in understand(words, Context(STEPS)).steps]


@pytest.mark.parametrize(
    "words",
    [
        "I shut the gate after I oiled the hinge",
        "I closed the gate after oiling the hinge",
        "I closed the gate, I had oiled the hinge",
        "I closed the gate, having oiled the hinge",
        "I closed the gate, but first I oiled the hinge",
        "I closed the gate, and before that I oiled the hinge",
        "I closed the gate once I had oiled the hinge",
        "once I had oiled the hinge I closed the gate",
        "when I had oiled the hinge I closed the gate",
        "after oiling the hinge I closed the gate",
        "I oiled the hinge and after that I closed the gate",
        "I oiled the hinge, and after I closed the gate I waited",
        "I oiled the hinge and then I closed the gate",
    ],
)
def test_what_was_done_first_counts_first(words: str) -> None:
    assert told(words) == ["oil", "shut"]


@pytest.mark.parametrize(
    "words",
    [
        "I oiled the hinge after I shut the gate",
        "I oiled the hinge after closing the gate",
        "I oiled the hinge after it was closed, the gate",
        "I oiled the hinge, I had closed the gate",
    ],
)
def test_also_where_that_was_the_wrong_one(words: str) -> None:
    assert told(words) == ["shut", "oil"]


@pytest.mark.parametrize(
    "words",
    [
        "once I have oiled the hinge I'll close the gate",
        "once I had oiled the hinge I would close the gate",
        "before I oiled the hinge",
        "when I have oiled the hinge",
        "after I oil the hinge",
    ],
)
def test_a_condition_is_nothing_done(words: str) -> None:
    assert told(words) == []


def test_what_was_done_after_something_unclear_is_asked_about() -> None:
    meaning = understand("I oiled the hinge after I shut it", Context(STEPS))
    assert meaning.steps == ()
    assert {"oil", "shut"} == set(meaning.likely)
    plainly = understand("I oiled the hinge after I came in", Context(STEPS))
    assert [mention.step for mention in plainly.steps] == ["oil"]
