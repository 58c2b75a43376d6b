"""What is denied, hedged or taken back: never taken for done, and good news never for bad.

The sentences and what must come of them stand in `tests/data/negations.yaml`. Each is tried as
typed and as a recogniser writes it, without punctuation.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.context import Context
from coach.language.normal import plain
from coach.language.understand import understand

DATA = Path(__file__).parent.parent / "data" / "negations.yaml"
SKILLS: dict[str, list[dict[str, Any]]] = yaml.safe_load(DATA.read_text("utf-8"))
FEWEST = 200
OUTCOMES = {"credits", "denies", "asks", "not"}
LINES = [(skill, line) for skill, lines in SKILLS.items() for line in lines]


def moment(skill: str, due: str) -> Context:
    """Every step of the skill open, its complications come, and one of them just asked for."""
    skill_file = load_skill(skill)
    every = frozenset(complication.id for complication in skill_file.complications)
    steps = asked_context(skill_file.chosen({}, every), None, None).steps
    ordered = sorted(steps, key=lambda step: step.id != due)
    return Context(steps=tuple(ordered), suggested=due)


@pytest.mark.parametrize(("skill", "line"), LINES, ids=[line["says"] for _, line in LINES])
def test_what_is_not_so_is_never_taken_for_done(skill: str, line: dict[str, Any]) -> None:
    now = moment(skill, line["due"])
    for text in dict.fromkeys((line["says"], plain(line["says"]))):
        meaning = understand(text, now)
        credited = sorted(m.step for m in meaning.steps if not m.denied)
        denied = sorted(m.step for m in meaning.steps if m.denied)
        if "not" in line:
            assert line["not"] not in credited, text
            assert not meaning.done_said, text
            continue
        assert credited == sorted(line.get("credits", [])), text
        assert denied == sorted(line.get("denies", [])), text
        if "asks" in line:
            assert line["asks"] in meaning.likely, text


def test_there_are_enough_and_each_has_an_outcome() -> None:
    assert len(LINES) >= FEWEST
    assert all(OUTCOMES & set(line) for _, line in LINES)
    said = [(skill, line["says"].lower()) for skill, line in LINES]
    assert len(set(said)) == len(said)
