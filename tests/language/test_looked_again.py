"""The look before and the look after (common practice, no source: circulation, movement and feeling
are looked at on both sides of a splint)."""

from __future__ import annotations

import pytest

from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.understand import understand


def steps(skill: str, said: str) -> list[str]:
    """What a sentence tells of while nothing is done yet."""
    words = asked_context(load_skill(skill).chosen({}), None, None)
    return [step.step for step in understand(said, words).steps]


@pytest.mark.parametrize(
    "said",
    [
        "afterwards he can feel and move his hands and feet",
        "and afterwards, he moves his feet",
        "he still moves his hands and feet",
        "the pulses are good in all four afterwards",
    ],
)
def test_what_is_looked_at_again_is_the_second_look(said: str) -> None:
    """Though the first look knows the words too, and was never told."""
    assert steps("helmet-removal", said) == ["after"]


def test_what_is_looked_at_is_the_first_look() -> None:
    """Without a word of a second time."""
    assert steps("helmet-removal", "he can feel and move his hands and feet") == ["before"]


def test_what_only_one_step_asks_for_is_that_step_a_second_time_too() -> None:
    """A head that is still held is held."""
    assert steps("log-roll", "I'm still holding the head") == ["head"]


def test_what_follows_in_one_breath_is_of_the_second_look_too() -> None:
    """Where the second look asks for it."""
    said = "and afterwards he can feel and move his hands and feet, pulses in all four"
    assert steps("helmet-removal", said) == ["after"]
