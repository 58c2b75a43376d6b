"""Every skill's dialogues hold what proves a skill: a straight run, other lawful orders, each
unlawful order that matters, each branch and choice, and each number outside its range."""

from __future__ import annotations

import pytest
from dialogue_sessions import SKILLS, dialogues_of, played, skill_named

from coach.app.kinds_of_dialogues import ORDERS, kinds_missing, kinds_of

FEWER_ORDERS = {
    "cpr": "what may change its place lies before the first compression",
    "defibrillator": "the machine leads, and only the pads of a child may be chosen earlier",
}


@pytest.mark.parametrize("skill", SKILLS)
def test_the_dialogues_hold_each_kind(skill: str) -> None:
    found = kinds_of(played(skill, dialogue) for dialogue in dialogues_of(skill))
    orders = 1 if skill in FEWER_ORDERS else ORDERS
    assert not list(kinds_missing(skill_named(skill), found, orders))
