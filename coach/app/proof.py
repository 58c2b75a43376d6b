"""What the dialogues of a skill prove: whether each comes out as written, and what is not tried."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from coach.app.kinds_of_dialogues import kinds_missing, kinds_of
from coach.app.script import Played, shortfalls
from coach.app.scripted_practice import practise_script
from coach.core.problem import Problem
from coach.edges.skill_files import load_dialogues, load_skill
from coach.edges.skill_text import shown


@dataclass(frozen=True, slots=True)
class Proof:
    """What came of the dialogues of a skill.

    `problems` tell where the coach does otherwise than is written, `missing` what is to be added
    so that they prove the skill.
    """

    played: int
    problems: tuple[Problem, ...]
    missing: tuple[str, ...]


def proof_of(skill: Path, dialogues: Path) -> Proof:
    """The dialogues of a file played, a twentieth of a second each; nothing of it is kept.

    InputError if one of the two files has mistakes or cannot be read.
    """
    skill_file = load_skill(skill)
    played = [
        practise_script(skill_file, dialogue) for dialogue in load_dialogues(dialogues, skill_file)
    ]
    problems = tuple(problem for each in played for problem in _problems(shown(dialogues), each))
    return Proof(len(played), problems, tuple(kinds_missing(skill_file, kinds_of(played))))


def _problems(file: str, played: Played) -> Iterator[Problem]:
    """What came out otherwise than is written. What differs in a later turn may well follow from
    the first that does, and says so."""
    first = None
    for shortfall in shortfalls(played):
        first = first or shortfall.line
        told = f"in dialogue '{played.dialogue.name}' {shortfall.message}"
        later = f" (it may follow from line {first})" if shortfall.line != first else ""
        yield Problem(file, shortfall.line, f"{told}{later}.")
