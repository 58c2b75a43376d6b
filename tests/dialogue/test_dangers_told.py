"""What would come before everything else is never taken for the step in hand."""

from __future__ import annotations

import pytest
from bench_session import Run

from coach.language.dangers import tells_danger


@pytest.mark.parametrize(
    "said",
    [
        "he gags",
        "she's vomiting",
        "he goes limp",
        "the patient stopped breathing",
        "no pulse anymore",
    ],
)
def test_a_danger_is_told_back_and_a_yes_credits_nothing(said: str) -> None:
    """Who says yes by reflex has not done the step."""
    run = Run("I'm ready", "gloves on", said, "yes")
    assert set(run.state.done) == {"gloves"}


@pytest.mark.parametrize(
    "said", ["he doesn't gag", "I'm coughing", "if he vomits I turn him", "no gag reflex"]
)
def test_what_is_not_there_or_not_the_patients_is_no_danger(said: str) -> None:
    """Nothing has happened."""
    assert not tells_danger(said)
