"""The written dialogues of the program's skills, and how each is played."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from coach.app.beginning import drawn
from coach.app.script import Exchange
from coach.app.scripted_practice import practise_script
from coach.core.meaning import Expectation, Meaning
from coach.core.plain import Fields
from coach.dialogue.state import State
from coach.edges.skill_files import load_dialogues, load_skill
from coach.edges.skill_folders import is_skill_file
from coach.procedure.dialogue_file import Dialogue
from coach.procedure.skill_file import SkillFile

FOLDER = Path(__file__).parent.parent / "procedures"
SKILLS = tuple(sorted(file.stem for file in FOLDER.glob("*.yaml") if is_skill_file(file)))


class Unwatched:
    """An observer that lets everything pass."""

    def said(self, text: str) -> None:
        """Not looked at."""

    def listening(self, step: str | None, expect: Expectation | None) -> None:
        """Not looked at."""

    def heard(self, meaning: Meaning) -> None:
        """Not looked at."""

    def noted(self, name: str, data: Fields) -> None:
        """Not looked at."""


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


@dataclass(frozen=True)
class Played:
    """What came of a dialogue."""

    state: State
    exchanges: list[Exchange]


def played(skill: str, dialogue: Dialogue) -> Played:
    """A dialogue played through a session."""
    skill_file = skill_named(skill)
    complications = drawn(skill_file, dialogue.seed, live=False)
    return Played(*practise_script(skill_file, dialogue, Unwatched(), complications))
