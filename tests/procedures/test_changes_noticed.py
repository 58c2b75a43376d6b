"""Dialogues notice a step that is gone and a fact that is changed.

The short form, a few of each; the whole is `python -m tests.benchmarks.mutations`.
"""

from __future__ import annotations

import pytest
from benchmarks.mutations import changes_of, scores_of

from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_ids

FEW = 2
IN_SHORT = ("step out", "fact changed")


@pytest.mark.parametrize("skill", skill_ids())
def test_a_few_changes_are_noticed(skill: str) -> None:
    # That all dialogues hold for the skill as it is, is what test_dialogues.py is about.
    scores = scores_of(skill, FEW, IN_SHORT, known_to_hold=True)
    assert sum(score.tried for score in scores.values())
    assert not [where for score in scores.values() for where in score.unnoticed]


def test_the_changes_are_those_that_are_meant() -> None:
    skill_file = load_skill("nasal-airway")
    for kind, where in (
        ("step out", "flange"),
        ("order turned", "gloves before size"),
        ("fact changed", "nasal-airway-length-adult"),
    ):
        assert where in [change.where for change in changes_of(skill_file, kind)]
    out = next(c for c in changes_of(skill_file, "step out") if c.where == "gloves")
    steps = out.skill_file.chosen({}).steps
    assert "gloves" not in [step.id for step in steps]
    assert "gloves" not in [first.step for step in steps for first in step.after]
    turned = next(c for c in changes_of(skill_file, "order turned") if c.where.endswith("size"))
    assert "size" in [first.step for first in turned.skill_file.chosen({}).step("gloves").after]
    dropped = [c.where for c in changes_of(skill_file, "negation dropped")]
    assert any(where.startswith("insert heard-as absent") for where in dropped)
