"""Reads skill files and their dialogues."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from coach.core.errors import InputError
from coach.edges.shared_files import facts_for, fragments_for
from coach.edges.skill_folders import hides_another, skill_path
from coach.edges.skill_text import BrokenFileError, published_schema, read_text, shown
from coach.procedure.dialogue_file import Dialogue, parse_dialogues
from coach.procedure.facts import FactTable
from coach.procedure.fragments import Fragments
from coach.procedure.in_force import in_force
from coach.procedure.local_facts import LocalProgram
from coach.procedure.parse import ParsedSkill, parse_skill
from coach.procedure.skill_file import SkillFile


def load_skill(skill: str | Path, program: LocalProgram | None = None) -> SkillFile:
    """A skill by its id or the path of its file, as a program has it.

    InputError if there is none of that name, it cannot be read, or the program turns it off, and
    BrokenFileError with a line for each mistake in it.
    """
    path = skill if isinstance(skill, Path) else skill_path(skill)
    change = None if program is None else program.skills.get(path.stem)
    if program is not None and change is not None and change.off:
        raise InputError(f"{path.stem} is turned off by {program.name}: {change.off}")
    parsed = read_skill(path, program)
    if parsed.skill_file is None:
        raise BrokenFileError(shown(path), parsed.problems)
    skill_file = parsed.skill_file
    if hides_another(path):
        skill_file = replace(skill_file, hides=True)
    if program is None:
        return skill_file
    written = dict(skill_file.written)
    rules = in_force(program, path.stem, parsed.facts, written, facts_for(path.parent))
    return replace(skill_file, in_force=rules)


def read_skill(path: Path, program: LocalProgram | None = None) -> ParsedSkill:
    """What is in a skill file, as a program has it, or its problems.

    InputError if it, a table of facts or shared steps cannot be read, or these have mistakes.
    """
    table, fragments = facts_for(path.parent), fragments_for(path.parent)
    if program is None:
        return _as_written(read_text(path), shown(path), table, fragments)
    return parse_skill(
        read_text(path),
        shown(path),
        published_schema("skill.schema.json"),
        program.over(table),
        fragments,
        program.skills.get(path.stem),
    )


@lru_cache(maxsize=128)
def _as_written(text: str, file: str, table: FactTable, fragments: Fragments) -> ParsedSkill:
    """A skill as no program changes it: asked for by its dialogues and scenarios as well."""
    return parse_skill(text, file, published_schema("skill.schema.json"), table, fragments)


def load_dialogues(path: Path, skill_file: SkillFile | None = None) -> tuple[Dialogue, ...]:
    """The dialogues of a file, checked against the skill if it is given.

    InputError if it cannot be read, and BrokenFileError with a line for each mistake in it.
    """
    schema = published_schema("dialogues.schema.json")
    dialogues, problems = parse_dialogues(read_text(path), shown(path), schema, skill_file)
    if problems:
        raise BrokenFileError(shown(path), problems)
    return dialogues
