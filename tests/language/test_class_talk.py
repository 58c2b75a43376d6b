"""What people say to each other in a class credits no step, with every step of a skill open.

Skills that have paraphrases, by which their words were made precise, earn nothing; of the others
each may take a small share of the lines for a step.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_ids
from coach.language.normal import plain
from coach.language.understand import understand

DATA = Path(__file__).parent.parent / "data"
TALK: list[str] = [
    line
    for name in ("class_talk", "general_talk")
    for line in yaml.safe_load((DATA / f"{name}.yaml").read_text("utf-8"))
]
PRECISE = frozenset(yaml.safe_load((DATA / "paraphrases.yaml").read_text("utf-8")))
TAKEN = 0.05
"""Largest share of the lines that a skill without paraphrases takes for a step."""


@pytest.mark.parametrize("skill", skill_ids())
def test_talk_in_a_class_credits_no_step(skill: str) -> None:
    skill_file = load_skill(skill)
    came = frozenset(complication.id for complication in skill_file.complications)
    anytime = asked_context(skill_file.chosen({}, came), None, None)
    taken: dict[str, str] = {}
    for line in TALK:
        for text in (line, plain(line)):
            steps = [m.step for m in understand(text, anytime).steps if not m.denied]
            if steps:
                taken[line] = f"{text!r} is taken for {', '.join(steps)}"
    most = 0 if skill in PRECISE else TAKEN * len(TALK)
    assert len(taken) <= most, "\n".join(taken.values())


def test_there_are_enough_and_none_twice() -> None:
    assert len(set(TALK)) == len(TALK) >= 100
