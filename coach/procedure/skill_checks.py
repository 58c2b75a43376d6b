"""What a schema cannot see in a skill file. Works on files that may be wrong in any way."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePath

from coach.core.problem import Problem
from coach.procedure.resolve import mapping
from coach.procedure.skill_choices import choice_mistakes
from coach.procedure.skill_references import reference_mistakes
from coach.procedure.skill_texts import text_mistakes
from coach.procedure.wording import Mistake
from coach.procedure.yaml_tree import Json, Tree


def skill_checks(tree: Tree, file: str) -> Iterator[Problem]:
    """Every mistake of meaning in a skill file, one by one, in no order.

    Parts that the schema refuses are passed over, so that one mistake is told once.
    """
    root = mapping(tree.value)
    checks = (
        _name_mistakes(root, file),
        reference_mistakes(root),
        text_mistakes(root),
        choice_mistakes(root),
    )
    for check in checks:
        for path, message in check:
            yield Problem(file, tree.line(path), message)


def _name_mistakes(root: dict[str, Json], file: str) -> Iterator[Mistake]:
    written, name = root.get("id"), PurePath(file).stem
    if isinstance(written, str) and written != name:
        yield (
            ("id",),
            f"the id is '{written}', but the file is named '{name}': make them the same.",
        )
