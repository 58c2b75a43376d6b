"""Every skill is proved by dialogues: what a student says, and what the coach must make of it."""

from __future__ import annotations

import re

import pytest
from dialogue_sessions import ALL, SKILLS, dialogues_of, played, skill_named

from coach.app.script import shortfalls
from coach.procedure.dialogue_file import Dialogue
from coach.procedure.skill_file import SkillFile

SHORT = 2
"""Of utterances this short there are too few to say it otherwise ("gloves on")."""


@pytest.mark.parametrize("skill", SKILLS)
def test_every_skill_has_dialogues(skill: str) -> None:
    assert dialogues_of(skill), f"write procedures/{skill}.dialogues.yaml"


@pytest.mark.parametrize(
    ("skill", "dialogue"), ALL, ids=[f"{skill}: {dialogue.name}" for skill, dialogue in ALL]
)
def test_the_coach_answers_as_written(skill: str, dialogue: Dialogue) -> None:
    found = list(shortfalls(played(skill, dialogue)))
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
