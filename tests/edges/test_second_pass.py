"""The second ear is asked only for what the first is unsure of, and never waited for."""

from __future__ import annotations

import threading
import time
from dataclasses import dataclass, field

import numpy as np
import pytest

from coach.core.errors import MissingError
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges import second_pass
from coach.edges.second_pass import SURE, SecondPass
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.session.ports import Recogniser

KNOWN = frozenset("i put the seventeen hundred and fifty psi stop it".split())
SENTENCE = Hypothesis("i put the cateten redout", 0.2)
FLUENT = "I put the catheter in without"


def sound(seconds: float) -> Samples:
    return np.full(round(seconds * SAMPLE_RATE_HZ), 0.1, np.float32)


@dataclass
class Ear:
    """Hears what it is given, and counts how often it was asked."""

    gives: Hypothesis
    name: str = "own"
    asked: int = 0
    fails: bool = False

    spells: str = "i put the cateten redout"

    def spelt(self, samples: Samples) -> str:
        return self.spells

    def hear(self, samples: Samples, hint: Hint) -> Hypothesis:
        self.asked += 1
        if self.fails:
            raise RuntimeError("out of memory")
        return self.gives


@dataclass
class Opening:
    """Opens the second ear when the test lets it."""

    ear: Ear
    may: threading.Event = field(default_factory=threading.Event)
    begun: int = 0

    def __call__(self) -> Recogniser:
        self.begun += 1
        assert self.may.wait(10.0)
        return self.ear


def pair(first: Hypothesis, second: str = FLUENT, waits: bool = True) -> tuple[SecondPass, Ear]:
    """A first and a second ear, which is loaded when it is needed."""
    larger = Ear(Hypothesis(second, 0.6), "whisper")
    return SecondPass(Ear(first), KNOWN, lambda: larger, waits), larger


def test_an_unsure_sentence_is_heard_by_both() -> None:
    ears, _ = pair(SENTENCE)
    heard = ears.hear(sound(2.5), Hint())
    assert (heard.text, heard.confidence) == (SENTENCE.text, SENTENCE.confidence)
    assert heard.second_ear == (FLUENT, SURE)
    assert ears.name == "own"


@pytest.mark.parametrize(
    ("first", "seconds"),
    [
        (Hypothesis("stop", 0.2), 2.5),
        (Hypothesis("i put it", 0.1), 2.5),
        (Hypothesis("seventeen hundred and fifty psi", 0.9), 2.5),
        (SENTENCE, 1.5),
    ],
    ids=["command", "few words", "sure", "short"],
)
def test_what_is_short_sure_or_silent_never_waits_for_the_second_ear(
    first: Hypothesis, seconds: float
) -> None:
    ears, larger = pair(first)
    assert ears.hear(sound(seconds), Hint()) is first
    assert larger.asked == 0


@pytest.mark.parametrize(
    "first",
    [Hypothesis("", 0.0), Hypothesis("i put the cateten redout", 0.9)],
    ids=["refused", "with a word it does not know"],
)
def test_a_sentence_that_was_refused_or_has_a_foreign_word_is_heard_by_both(
    first: Hypothesis,
) -> None:
    ears, _ = pair(first)
    assert ears.hear(sound(2.5), Hint()).second_ear == (FLUENT, SURE)


def test_words_of_the_moment_are_known_ones() -> None:
    ears, larger = pair(Hypothesis("i put the flange on", 0.9))
    ears.hear(sound(2.5), Hint(None, ("the flange is on",)))
    assert larger.asked == 0


def test_noise_that_spells_hardly_anything_is_left_alone() -> None:
    ears, larger = pair(Hypothesis("", 0.0))
    assert isinstance(ears._first, Ear)
    ears._first.spells = "o e"
    assert ears.hear(sound(2.5), Hint()).second_ear is None
    assert larger.asked == 0


@pytest.mark.parametrize("invented", ["Thank you for watching!", "", "No, I did not do anything."])
def test_words_unlike_those_of_the_first_ear_are_not_taken(invented: str) -> None:
    ears, larger = pair(SENTENCE, invented)
    assert ears.hear(sound(2.5), Hint()).second_ear is None
    assert larger.asked == 1


def test_until_it_is_loaded_the_first_ear_is_alone_and_nothing_waits() -> None:
    opening = Opening(Ear(Hypothesis(FLUENT, 0.6)))
    ears = SecondPass(Ear(SENTENCE), KNOWN, opening)
    assert ears.hear(sound(2.5), Hint()) is SENTENCE
    assert ears.hear(sound(2.5), Hint()) is SENTENCE
    opening.may.set()
    for _ in range(1000):
        if ears.hear(sound(2.5), Hint()).second_ear:
            break
        time.sleep(0.01)
    assert ears.hear(sound(2.5), Hint()).second_ear == (FLUENT, SURE)
    assert opening.begun == 1


def test_nothing_is_loaded_before_it_is_needed() -> None:
    opening = Opening(Ear(SENTENCE))
    ears = SecondPass(Ear(Hypothesis("stop", 0.9)), KNOWN, opening)
    for _ in range(5):
        ears.hear(sound(2.5), Hint())
    assert opening.begun == 0


@pytest.mark.parametrize(
    ("why", "told"),
    [(MissingError("it is damaged: fetch it again"), "fetch it again"), (OSError("x"), "(x)")],
)
def test_without_a_second_ear_the_first_goes_on_and_the_reason_is_kept(
    why: Exception, told: str
) -> None:
    tries = []

    def fail() -> Recogniser:
        tries.append(1)
        raise why

    ears = SecondPass(Ear(SENTENCE), KNOWN, fail, waits=True)
    assert ears.trouble is None
    for _ in range(3):
        assert ears.hear(sound(2.5), Hint()) is SENTENCE
    assert tries == [1]
    assert told in str(ears.trouble)


def test_a_second_ear_that_fails_is_left_out_from_then_on() -> None:
    larger = Ear(SENTENCE, fails=True)
    ears = SecondPass(Ear(SENTENCE), KNOWN, lambda: larger, waits=True)
    for _ in range(3):
        assert ears.hear(sound(2.5), Hint()) is SENTENCE
    assert larger.asked == 1
    assert "out of memory" in str(ears.trouble)


@pytest.mark.parametrize(("passes", "left"), [(second_pass.MOST_SLOW, 0), (2, 2)])
def test_one_that_is_too_slow_again_and_again_is_left_out(
    passes: int, left: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    ears, larger = pair(SENTENCE, waits=False)
    while larger.asked == 0:
        ears.hear(sound(2.5), Hint())
        time.sleep(0.01)
    monkeypatch.setattr(second_pass, "SLOWEST_S", -1.0)
    for _ in range(passes):
        ears.hear(sound(2.5), Hint())
    monkeypatch.setattr(second_pass, "SLOWEST_S", 60.0)
    asked = larger.asked
    for _ in range(2):
        ears.hear(sound(2.5), Hint())
    assert larger.asked - asked == left
    assert (ears.trouble is None) == bool(left)
