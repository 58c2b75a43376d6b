"""What a schema cannot see in a skill file."""

from __future__ import annotations

from collections.abc import Iterator

from coach.core.problem import Problem
from coach.procedure.yaml_tree import Tree


def skill_checks(tree: Tree, file: str) -> Iterator[Problem]:
    """Every mistake of meaning, one by one."""
    yield from ()
