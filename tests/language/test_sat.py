"""The "sat" of an oximeter and of somebody who sat up."""

from __future__ import annotations

import pytest

from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.understand import understand


def steps(said: str) -> list[str]:
    """What a sentence tells of in the help with an inhaler."""
    words = asked_context(load_skill("inhaler-help").chosen({}), None, None)
    return [step.step for step in understand(said, words).steps]


@pytest.mark.parametrize("said", ["sats are coming up", "his sat is coming up"])
def test_a_saturation_that_comes_up_sits_nobody_up(said: str) -> None:
    """It is what is seen after the puff."""
    assert steps(said) == ["reassess"]


@pytest.mark.parametrize(
    "said", ["he sat up", "I sat him up", "then sat her up", "sat up straight"]
)
def test_who_sat_up_has_no_saturation(said: str) -> None:
    """The past of sitting."""
    assert steps(said) == ["upright"]
