"""Checks any file of the folder of skills, whatever its name says it is."""

from __future__ import annotations

from pathlib import Path

from coach.core.errors import InputError
from coach.core.problem import Problem
from coach.edges.local_program_file import load_local_program
from coach.edges.scenario_files import read_scenario
from coach.edges.scoring_file import read_scoring
from coach.edges.shared_files import read_facts, read_fragments
from coach.edges.skill_files import load_dialogues, read_skill
from coach.edges.skill_folders import (
    ENDINGS,
    FACTS,
    FRAGMENTS,
    SCORING,
    is_dialogue_file,
    is_local_file,
    is_scenario_file,
    skill_of_dialogues,
)
from coach.edges.skill_text import BrokenFileError, UnreadableFileError
from coach.procedure.skill_file import SkillFile


def files_in(folder: Path) -> tuple[Path, ...]:
    """Skill and dialogue files in a folder and the folders below it, in order of their paths."""
    return tuple(
        path
        for path in sorted(folder.rglob("*"))
        if path.suffix in ENDINGS and not any(part.startswith(".") for part in path.parts[-1:])
    )


def check_file(path: Path) -> tuple[Problem, ...]:
    """Every problem of a file of skills, dialogues, facts, shared steps or a program's numbers.

    The name tells which of these it is.

    The names in a dialogue file are checked against the skill that it is of, if that is sound.
    """
    try:
        if path.name == FACTS:
            return read_facts(path).problems
        if path.name == FRAGMENTS:
            return read_fragments(path).problems
        if path.name == SCORING:
            return read_scoring(path)[1]
        if is_scenario_file(path):
            return read_scenario(path)[1]
        if is_local_file(path):
            load_local_program(path)
            return ()
        if not is_dialogue_file(path):
            return read_skill(path).problems
        load_dialogues(path, _skill_of(path))
    except BrokenFileError as broken:
        return broken.problems
    except UnreadableFileError as unreadable:
        return (unreadable.problem,)
    return ()


def _skill_of(dialogues: Path) -> SkillFile | None:
    try:
        skill = skill_of_dialogues(dialogues)
        return None if skill is None else read_skill(skill).skill_file
    except InputError:
        return None
