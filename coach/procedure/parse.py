"""A skill file's text into a SkillFile, or into everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from coach.core.problem import Problem
from coach.procedure.fact_references import all_stand, facts_named, with_facts
from coach.procedure.facts import EMPTY, FactTable
from coach.procedure.fragments import (
    NO_FRAGMENTS,
    Fragments,
    fragment_mistakes,
    with_fragments,
)
from coach.procedure.local_skills import SkillChange
from coach.procedure.numbers import numbers_of
from coach.procedure.resolve import mapping
from coach.procedure.schema_problems import schema_problems
from coach.procedure.skill_checks import fact_checks, skill_checks
from coach.procedure.skill_file import SkillFile, skill_file_from
from coach.procedure.skill_references import sources_named
from coach.procedure.worked_out import facts_worked_with, number_checks
from coach.procedure.yaml_tree import Json, read_tree


@dataclass(frozen=True, slots=True)
class ParsedSkill:
    """Either a skill file or the problems (sorted by line) that keep it from being one.

    `facts` are the names of the facts that it rests on.
    """

    skill_file: SkillFile | None
    problems: tuple[Problem, ...]
    facts: tuple[str, ...] = ()


def parse_skill(
    text: str,
    file: str,
    schema: Mapping[str, Any],
    table: FactTable = EMPTY,
    fragments: Fragments = NO_FRAGMENTS,
    change: SkillChange | None = None,
) -> ParsedSkill:
    """Read a skill file's text.

    `file` is the name the problems carry; its last part must be the skill's id. `schema` is the
    published `skill.schema.json`. `table` has the facts and sources that the file may name; the
    skill's own sources then hold those that are behind it as well. `fragments` are the shared steps
    that it may use; a mistake in what it adds to one has the line of what it added. `change` is
    what a program does otherwise: a checked one, for a file that is sound without it.
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
    unknown = fragment_mistakes(mapping(tree.value), fragments)
    whole = replace(tree, value=with_fragments(tree.value, fragments))
    if change is not None:
        whole = replace(whole, value=change.applied(mapping(whole.value)))
    filled = replace(whole, value=with_facts(whole.value, table))
    found = {
        *problems,
        *(Problem(file, tree.line(path), message) for path, message in unknown),
        *schema_problems(filled, schema, file),
        *fact_checks(whole, file, table),
        *number_checks(filled, file, table),
        *skill_checks(filled, file, table.sources, all_stand(whole.value, table)),
    }
    if found:
        return ParsedSkill(None, tuple(sorted(found)))
    written = mapping(filled.value)
    worked_with = facts_worked_with(filled.value)
    facts = tuple(dict.fromkeys((*facts_named(whole.value), *worked_with)))
    sources = _sources_behind(mapping(whole.value), facts, table)
    skill_file = skill_file_from({**written, "sources": {**sources}}, file)
    skill_file = replace(
        skill_file,
        cylinders=table.oxygen_cylinders(),
        numbers=numbers_of(worked_with, table),
    )
    return ParsedSkill(skill_file, (), facts)


def _sources_behind(
    root: dict[str, Json], facts: tuple[str, ...], table: FactTable
) -> dict[str, str]:
    """The file's own sources, then those of the table that its texts and its facts name."""
    own = {key: str(name) for key, name in mapping(root.get("sources")).items()}
    behind = [
        source
        for name in facts
        if name in table.facts
        for source in table.facts[name].all_sources()
    ]
    return {**table.names_of((*sources_named(root), *behind)), **own}
