"""What should have been done was not; what should have been done otherwise was, but not so."""

from __future__ import annotations

import pytest

from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.regrets import regretted
from coach.language.understand import understand

CONTEXT = asked_context(load_skill("oral-airway").chosen({}), None, None)


@pytest.mark.parametrize(
    "text",
    [
        "um I should have measured the airway",
        "I should've measured the airway",
        "we ought to have measured the airway",
        "I really should have measured the airway at least",
    ],
)
def test_what_should_have_been_done_is_told_as_not_done(text: str) -> None:
    assert [(m.step, m.denied) for m in understand(text, CONTEXT).steps] == [("size", True)]


@pytest.mark.parametrize(
    "text",
    [
        "I should have measured the airway first",
        "I should have measured the airway more carefully",
        "I should measure the airway",
        "I ought to measure the airway",
    ],
)
def test_a_duty_and_another_manner_credit_and_deny_nothing(text: str) -> None:
    meaning = understand(text, CONTEXT)
    assert not meaning.steps
    assert "size" in meaning.likely


@pytest.mark.parametrize("text", ["i should have gloves on", "she should have moved", "i have it"])
def test_no_regret(text: str) -> None:
    assert regretted(text.split()) is None
