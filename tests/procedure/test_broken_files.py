"""Broken skill, fact, dialogue and program files: each has the exact lines that are printed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from skill_samples import (
    DIALOGUES_SCHEMA,
    FACTS,
    LOCAL,
    LOCAL_SCHEMA,
    SAMPLE,
    TALK,
    line_of,
    parsed,
    parsed_facts,
    sample_table,
)

from coach.core.problem import Problem
from coach.edges.scoring_file import published_scoring
from coach.procedure.dialogue_file import parse_dialogues
from coach.procedure.local_facts import parse_local_facts
from coach.procedure.resolve import mapping
from coach.procedure.yaml_tree import read_tree

FILE = Path(__file__).parents[1] / "data" / "broken_files.yaml"
CASES: list[dict[str, Any]] = yaml.safe_load(FILE.read_text("utf-8"))


def _skill(text: str) -> tuple[Problem, ...]:
    return parsed(text).problems


def _facts(text: str) -> tuple[Problem, ...]:
    return parsed_facts(text).problems


def _local(text: str) -> tuple[Problem, ...]:
    tree, _ = read_tree(SAMPLE, "sample-skill.yaml")
    skills = {"sample-skill": mapping(tree.value if tree else None)}
    table = sample_table()
    rule = published_scoring()
    return parse_local_facts(text, "river.local.yaml", LOCAL_SCHEMA, table, skills, rule)[1]


def _dialogues(text: str) -> tuple[Problem, ...]:
    skill_file = parsed().skill_file
    return parse_dialogues(text, "sample-skill.dialogues.yaml", DIALOGUES_SCHEMA, skill_file)[1]


READ: dict[str, tuple[str, Callable[[str], tuple[Problem, ...]]]] = {
    "skill": (SAMPLE, _skill),
    "facts": (FACTS, _facts),
    "local": (LOCAL, _local),
    "dialogues": (TALK, _dialogues),
}


def changes(case: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """What is replaced by what, in order."""
    yield case["replace"], case["by"]
    if "and" in case:
        yield from changes(case["and"])


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_a_broken_file_has_exactly_these_lines(case: dict[str, Any]) -> None:
    text, read = READ[case["of"]]
    assert read(text) == (), "the sample itself must be sound"
    for old, new in changes(case):
        assert text.count(old) == 1, f"{old!r} must stand once in the sample"
        text = text.replace(old, new)
    wanted = [(line_of(line["at"].lstrip(), text), line["says"]) for line in case["lines"]]
    assert [(problem.line, problem.message) for problem in read(text)] == wanted


def test_no_two_cases_are_the_same() -> None:
    assert len({case["name"] for case in CASES}) == len(CASES)
    assert len({(case["of"], case["replace"], case["by"]) for case in CASES}) == len(CASES)
