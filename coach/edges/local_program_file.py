"""Reads a local program, checked against the facts and the skills that it changes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from coach.core.problem import Problem
from coach.edges.scoring_file import published_scoring
from coach.edges.shared_files import facts_for, fragments_for
from coach.edges.skill_files import read_skill
from coach.edges.skill_folders import skill_beside, skill_paths
from coach.edges.skill_text import BrokenFileError, published_schema, read_text, shown
from coach.procedure.fragments import with_fragments
from coach.procedure.local_facts import LocalProgram, parse_local_facts
from coach.procedure.resolve import mapping
from coach.procedure.yaml_tree import Json, read_tree


def load_local_program(path: Path) -> LocalProgram:
    """A program's own rules, checked against the table of facts of its folder and the skills.

    InputError if it cannot be read, and BrokenFileError with a line for each mistake in it, also
    where a skill would not be sound any more.
    """
    text = read_text(path)
    program, problems = parse_local_facts(
        text,
        shown(path),
        published_schema("local.schema.json"),
        facts_for(path.parent),
        _SkillsAsWritten(path.parent) if "skills:" in text else {},
        published_scoring(),
    )
    if program is not None:
        problems = tuple(_problems_with(program, path))
    if program is None or problems:
        raise BrokenFileError(shown(path), problems)
    return program


class _SkillsAsWritten(Mapping[str, dict[str, Json]]):
    """The content of every known skill that can be read, with shared steps in place.

    Each is read when it is asked for: a program changes few of them. So is one that only stands
    beside the program's file, and nobody else knows.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._paths = skill_paths()
        self._read: dict[str, dict[str, Json] | None] = {}

    def __getitem__(self, name: str) -> dict[str, Json]:
        if name not in self._read:
            path = self._paths.get(name) or skill_beside(name, self._folder)
            if path is None:
                raise KeyError(name)
            tree, _ = read_tree(read_text(path), shown(path))
            self._read[name] = (
                None
                if tree is None
                else mapping(with_fragments(tree.value, fragments_for(path.parent)))
            )
        found = self._read[name]
        if found is None:
            raise KeyError(name)
        return found

    def __iter__(self) -> Iterator[str]:
        return (name for name in self._paths if name in self)

    def __len__(self) -> int:
        return sum(1 for _ in self)


def _problems_with(program: LocalProgram, file: Path) -> Iterator[Problem]:
    """What is wrong with the skills as the program has them, at the lines of its own file."""
    for name, change in program.skills.items():
        path = None if change.off else skill_beside(name, file.parent)
        for problem in () if path is None else read_skill(path, program).problems:
            message = f"with these changes skill '{name}' is not sound: {problem.message}"
            yield Problem(shown(file), change.line, message)
