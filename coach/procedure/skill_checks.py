"""What a schema cannot see in a skill file. Works on files that may be wrong in any way."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain
from pathlib import PurePath

from coach.core.problem import Problem
from coach.procedure.fact_references import fact_mistakes
from coach.procedure.facts import FactTable
from coach.procedure.plain_numbers import plain_number_mistakes
from coach.procedure.resolve import mapping
from coach.procedure.safety_order import safety_mistakes
from coach.procedure.skill_choices import choice_mistakes
from coach.procedure.skill_reach import reach_mistakes
from coach.procedure.skill_references import reference_mistakes
from coach.procedure.skill_texts import text_mistakes
from coach.procedure.spoken_length import length_mistakes
from coach.procedure.unsourced_doses import dose_mistakes
from coach.procedure.wording import Mistake
from coach.procedure.yaml_tree import Json, Tree


def skill_checks(
    tree: Tree, file: str, table_sources: Iterable[str] = (), numbers_known: bool = True
) -> Iterator[Problem]:
    """Every mistake of meaning in a skill file with its facts in place, one by one, in no order.

    Parts that the schema refuses are passed over, so that one mistake is told once.
    `table_sources` are the keys that the file may name beside its own; without `numbers_known`
    some number only stands for a fact that is not there.
    """
    root = mapping(tree.value)
    checks = (
        _name_mistakes(root, file),
        reference_mistakes(root, table_sources),
        text_mistakes(root),
        choice_mistakes(root, numbers_known),
        reach_mistakes(root),
        safety_mistakes(root),
        length_mistakes(root),
    )
    for check in checks:
        for path, message in check:
            yield Problem(file, tree.line(path), message)


def fact_checks(tree: Tree, file: str, table: FactTable) -> Iterator[Problem]:
    """Every mistake about facts in a skill file as it was written, one by one, in no order."""
    root = mapping(tree.value)
    checks = (fact_mistakes(root, table), plain_number_mistakes(root), dose_mistakes(root))
    for path, message in chain.from_iterable(checks):
        yield Problem(file, tree.line(path), message)


def _name_mistakes(root: dict[str, Json], file: str) -> Iterator[Mistake]:
    written, name = root.get("id"), PurePath(file).stem
    if isinstance(written, str) and written != name:
        yield (
            ("id",),
            f"the id is '{written}', but the file is named '{name}': make them the same.",
        )
