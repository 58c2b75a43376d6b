"""A skill file's text into a SkillFile, or into everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from coach.core.problem import Problem
from coach.procedure.resolve import mapping
from coach.procedure.schema_problems import schema_problems
from coach.procedure.skill_checks import skill_checks
from coach.procedure.skill_file import SkillFile, skill_file_from
from coach.procedure.yaml_tree import read_tree


@dataclass(frozen=True, slots=True)
class ParsedSkill:
    """Either a skill file or the problems (sorted by line) that keep it from being one."""

    skill_file: SkillFile | None
    problems: tuple[Problem, ...]


def parse_skill(text: str, file: str, schema: Mapping[str, Any]) -> ParsedSkill:
    """Read a skill file's text.

    `file` is the name the problems carry; its last part must be the skill's id. `schema` is the
    published `skill.schema.json`.
    """
    tree, problems = read_tree(text, file)
    if tree is None:
        return ParsedSkill(None, problems)
    if isinstance(tree.value, list):
        message = (
            "this is a list, as in a dialogue file: name such a file <skill>.dialogues.yaml, or "
            "begin a skill file with 'id: ...'."
        )
        return ParsedSkill(None, (Problem(file, tree.line(()), message),))
    found = {*problems, *schema_problems(tree, schema, file), *skill_checks(tree, file)}
    if found:
        return ParsedSkill(None, tuple(sorted(found)))
    return ParsedSkill(skill_file_from(mapping(tree.value), file), ())
