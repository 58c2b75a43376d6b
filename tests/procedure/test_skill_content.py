"""A skill kept as bytes: the same name for the same content, and the same skill back."""

from __future__ import annotations

import hashlib

import pytest

from coach.app.local_rules import program_in_force
from coach.edges.settings import load_settings
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_ids
from coach.procedure.skill_content import content_bytes, content_name, skill_file_of


@pytest.mark.parametrize("skill", skill_ids())
def test_a_skill_comes_back_from_its_bytes(skill: str) -> None:
    """Every text, order and range is the same, with the choices that are the defaults."""
    skill_file = load_skill(skill)
    content = content_bytes(skill_file)
    again = skill_file_of(content)
    assert again.chosen({}) == skill_file.chosen({})
    assert content_bytes(again) == content
    assert content_name(content) == hashlib.sha256(content).hexdigest() == again.file


def test_the_rules_in_force_come_back_too() -> None:
    """A program's name and what it weakens stay with the skill."""
    program = program_in_force(load_settings({"program": "riverside"}, {}))
    skill_file = load_skill("suction", program)
    assert skill_file.in_force is not None
    again = skill_file_of(content_bytes(skill_file))
    assert again.in_force == skill_file.in_force
    assert content_bytes(again) != content_bytes(load_skill("suction"))
