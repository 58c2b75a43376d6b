"""A sample of the written dialogues, spoken by a synthesised voice and heard by the recogniser.

In noise and for every skill: `python -m tests.benchmarks.spoken_dialogues`.
"""

from __future__ import annotations

import numpy as np
import pytest
from benchmarks.spoken_dialogues import Speak, spoken
from dialogue_sessions import dialogues_of, skill_named

from coach.core.sound import SAMPLE_RATE_HZ
from coach.edges.convert import convert
from coach.edges.engines import open_recogniser
from coach.edges.synthesiser import SystemSynthesiser
from coach.hearing.hypothesis import Hint, Hypothesis

SAMPLE = (
    *("aspirin", "bleeding-control", "burns", "cylinder-change", "defibrillator", "nasal-airway"),
    *("primary-survey", "stroke-screen", "trauma-assessment", "vital-signs"),
)
LEAST_SHARE = 0.8
"""Of steps and numbers that must count as they do typed: a voice that is hard to hear may miss
some, and then nothing else may count for them."""


@pytest.fixture(scope="module")
def speak() -> Speak:
    """A quiet room, with the voice that the program itself has."""
    synthesiser = SystemSynthesiser()
    recogniser = open_recogniser("own", None)
    pause = np.zeros(SAMPLE_RATE_HZ // 2, np.float32)

    def said(words: str, hint: Hint, number: int) -> Hypothesis:
        sound = convert(*synthesiser.render(words, (1.0, 0.85, 1.15)[number % 3]))
        return recogniser.hear(np.concatenate([pause, sound, pause]), hint)

    return said


@pytest.mark.parametrize("skill", SAMPLE)
def test_the_straight_run_counts_spoken_as_it_does_typed(skill: str, speak: Speak) -> None:
    told = spoken(skill_named(skill), dialogues_of(skill)[0], speak, "the program's own")
    assert not told.only_spoken, told
    there = told.steps + told.numbers - len(told.lost)
    assert there >= LEAST_SHARE * (told.steps + told.numbers), told
