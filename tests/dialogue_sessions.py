"""The written dialogues of the program's skills, and how each is played."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from coach.app.script import Played
from coach.app.scripted_practice import practise_script
from coach.edges.skill_files import load_dialogues, load_skill
from coach.edges.skill_folders import is_skill_file
from coach.procedure.dialogue_file import Dialogue
from coach.procedure.skill_file import SkillFile

FOLDER = Path(__file__).parent.parent / "procedures"
SKILLS = tuple(sorted(file.stem for file in FOLDER.glob("*.yaml") if is_skill_file(file)))


@cache
def skill_named(skill: str) -> SkillFile:
    """A skill of the program, read once."""
    return load_skill(skill)


@cache
def dialogues_of(skill: str) -> tuple[Dialogue, ...]:
    """The dialogues of a skill; none if it has no file of them."""
    file = FOLDER / f"{skill}.dialogues.yaml"
    return load_dialogues(file, skill_named(skill)) if file.exists() else ()


ALL = [(skill, dialogue) for skill in SKILLS for dialogue in dialogues_of(skill)]


def played(skill: str, dialogue: Dialogue) -> Played:
    """A dialogue played through a session."""
    return practise_script(skill_named(skill), dialogue)
