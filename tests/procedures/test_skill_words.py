"""Every phrase of the skills that come with the program is heard as its step, and as no other."""

from __future__ import annotations

import pytest

from coach.app.heard_words import word_problems
from coach.edges.skill_folders import skill_paths


@pytest.mark.parametrize("skill", skill_paths())
def test_every_phrase_can_be_heard_as_its_step(skill: str) -> None:
    found = word_problems(skill_paths()[skill])
    assert not found, "\n".join(map(str, found))
