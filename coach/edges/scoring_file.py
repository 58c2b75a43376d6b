"""Finds and reads the rule of scoring: the user's own, or the one that comes with the program."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from coach.core.errors import MissingError
from coach.core.problem import Problem
from coach.edges.data_files import data_folder
from coach.edges.skill_folders import SCORING, procedure_folders
from coach.edges.skill_text import BrokenFileError, published_schema, read_text, shown
from coach.procedure.schema_problems import schema_problems
from coach.procedure.yaml_tree import Json, read_tree


def read_scoring(path: Path) -> tuple[Json, tuple[Problem, ...]]:
    """The content of a rule of scoring, and its problems; the content counts only without."""
    file = shown(path)
    tree, problems = read_tree(read_text(path), file)
    if tree is None:
        return None, problems
    wrong = schema_problems(tree, published_schema("scoring.schema.json"), file)
    return tree.value, tuple(sorted({*problems, *wrong}))


def scoring_in_force() -> Mapping[str, Json]:
    """The rule of scoring: the user's own file, if there is one, before the program's.

    BrokenFileError for a file with mistakes.
    """
    for folder in procedure_folders():
        path = folder / SCORING
        if path.is_file():
            return _scoring(path)
    raise MissingError(f"{SCORING}, which comes with the program, is missing: install it again.")


def published_scoring() -> Mapping[str, Json]:
    """The rule of scoring that comes with the program, against which a local one is held."""
    return _scoring(data_folder("procedures") / SCORING)


def _scoring(path: Path) -> Mapping[str, Json]:
    content, problems = read_scoring(path)
    if problems or not isinstance(content, dict):
        raise BrokenFileError(shown(path), problems)
    return content
