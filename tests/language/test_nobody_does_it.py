"""Who does it when it is nobody, and what is done in time with the patient's breath."""

from __future__ import annotations

import pytest

from coach.core.meaning import Meaning
from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.understand import understand


def told(skill: str, said: str) -> Meaning:
    """What a sentence comes to before anything of a skill is done."""
    return understand(said, asked_context(load_skill(skill).chosen({}), None, None))


@pytest.mark.parametrize("said", ["nobody's got the head", "nobody holds the head"])
def test_what_nobody_does_is_denied(said: str) -> None:
    """A head that nobody has got is a head that is not held."""
    assert [(step.step, step.denied) for step in told("log-roll", said).steps] == [("head", True)]


@pytest.mark.parametrize("said", ["nobody's touching him", "nobody's on the patient, clear"])
def test_what_nobody_is_to_do_is_no_denial(said: str) -> None:
    """That nobody touches the patient is what has to be told before a shock."""
    assert [(step.step, step.denied) for step in told("defibrillator", said).steps] == [
        ("clear", False)
    ]


@pytest.mark.parametrize(
    "said", ["when he breathes in I press the canister", "as she breathes in I press it"]
)
def test_what_keeps_time_with_a_breath_is_done(said: str) -> None:
    """It tells when in the breath, and no condition."""
    assert [step.step for step in told("inhaler-help", said).steps] == ["puff"]


def test_what_waits_for_something_else_is_a_plan() -> None:
    """ "When he is ready" comes first."""
    assert not told("inhaler-help", "when he's ready I press the canister").steps
