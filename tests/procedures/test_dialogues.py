"""Every skill is proved by dialogues: what a student says, and what the coach must make of it."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from coach.app.beginning import drawn
from coach.app.practice import practise_script
from coach.app.script import shortfalls
from coach.cli.meaning_json import meaning_fields
from coach.core.meaning import Expectation, Meaning
from coach.core.plain import Fields
from coach.edges.skill_files import is_skill_file, load_dialogues, load_skill
from coach.procedure.dialogue_file import Dialogue
from coach.procedure.skill_file import SkillFile

FOLDER = Path(__file__).parent.parent.parent / "procedures"
SKILLS = tuple(sorted(file.stem for file in FOLDER.glob("*.yaml") if is_skill_file(file)))
SHORT = 2
"""Of utterances this short there are too few to say it otherwise ("gloves on")."""


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


@pytest.mark.parametrize("skill", SKILLS)
def test_every_skill_has_dialogues(skill: str) -> None:
    assert dialogues_of(skill), f"write procedures/{skill}.dialogues.yaml"


@pytest.mark.parametrize(
    ("skill", "dialogue"), ALL, ids=[f"{skill}: {dialogue.name}" for skill, dialogue in ALL]
)
def test_the_coach_answers_as_written(skill: str, dialogue: Dialogue) -> None:
    skill_file = skill_named(skill)
    complications = drawn(skill_file, dialogue.seed, live=False)
    state, exchanges = practise_script(skill_file, dialogue, Unwatched(), complications)
    played = [exchange.turn for exchange in exchanges if exchange.turn is not None]
    assert played == list(dialogue.turns), f"the session ended after {len(played)} turns"
    found = list(shortfalls(dialogue, exchanges, state, meaning_fields))
    assert not found, "\n".join(f"{skill}.dialogues.yaml, {line}" for line in found)


def plain(text: str) -> str:
    """Lower case without punctuation."""
    return " ".join(re.findall(r"[a-z0-9']+", text.lower()))


def listened_for(skill_file: SkillFile) -> set[str]:
    """Every phrase that stands anywhere in a skill file's `heard-as`, plain."""
    found: set[str] = set()

    def walk(value: object, inside: bool) -> None:
        if isinstance(value, dict):
            for key, part in value.items():
                walk(part, inside or key in {"heard-as", "start", "end"})
                if key == "phrases" and inside:
                    found.update(plain(str(phrase)) for phrase in part)
        elif isinstance(value, list):
            for part in value:
                walk(part, inside)

    walk(skill_file.written, inside=False)
    return found


@pytest.mark.parametrize("skill", SKILLS)
def test_learners_do_not_speak_the_words_of_the_skill_file(skill: str) -> None:
    phrases = listened_for(skill_named(skill))
    assert phrases
    copied = sorted(
        {
            f"line {turn.line}: {turn.learner}"
            for dialogue in dialogues_of(skill)
            for turn in dialogue.turns
            if turn.learner is not None
            and len(plain(turn.learner).split()) > SHORT
            and plain(turn.learner) in phrases
        }
    )
    assert not copied, "\n".join(copied)
