"""What a careless learner says must not credit a step; what a plain one says should.

The sentences stand in `tests/data/careless_sayings.yaml`. Each is tried as typed and as a
recogniser writes it. No step that safety hangs on may be credited wrongly; what is missed has a
ceiling, a little over what was measured, and raising it needs its reason in the CHANGELOG.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import yaml

from coach.core.meaning import Meaning
from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.context import Context
from coach.language.normal import plain
from coach.language.understand import understand
from coach.procedure.model import Skill

DATA = Path(__file__).parent.parent / "data" / "careless_sayings.yaml"
HALVES: dict[str, Any] = yaml.safe_load(DATA.read_text("utf-8"))

MISSED = {"develop": 0.08, "apart": 0.05}
"""Largest share of the plain sentences that do not credit their step."""

CREDITED = {"develop": 0.0, "apart": 0.16}
"""Largest share of the careless sentences that credit their step, or another safety step."""


@dataclass(frozen=True)
class Said:
    """A sentence for a step of a skill, with its settings."""

    skill: Skill
    step: str
    text: str
    also: frozenset[str]

    def meanings(self) -> Iterator[Meaning]:
        """What it means with and without punctuation while its step has just been asked for."""
        steps = asked_context(self.skill, None, None).steps
        ordered = sorted(steps, key=lambda step: step.id != self.step)
        for text in dict.fromkeys((self.text, plain(self.text))):
            yield understand(text, Context(steps=tuple(ordered), suggested=self.step))

    def credited(self) -> list[frozenset[str]]:
        """The steps credited each time; a general "done" is for the one asked for."""
        return [
            frozenset(m.step for m in meaning.steps if not m.denied)
            & {step.id for step in self.skill.steps}
            | ({self.step} if meaning.done_said else frozenset())
            for meaning in self.meanings()
        ]


def sayings(half: str, kind: str) -> Iterator[Said]:
    """The sentences of one half: `not` or `credits`."""
    for skill_id, kinds in HALVES[half].items():
        skill_file = load_skill(skill_id)
        every = frozenset(complication.id for complication in skill_file.complications)
        for step, lines in kinds[kind].items():
            for line in lines:
                written = line if isinstance(line, dict) else {"says": line}
                skill = skill_file.chosen(written.get("with", {}), every)
                yield Said(skill, step, written["says"], frozenset(written.get("also", ())))


def safety_steps(skill: Skill) -> frozenset[str]:
    """Steps that must come first for safety, and those that something must come before."""
    first = {needed.step for step in skill.steps for needed in step.after if needed.safety}
    held = {step.id for step in skill.steps if any(needed.safety for needed in step.after)}
    return frozenset(first | held)


@pytest.mark.parametrize("half", HALVES)
def test_what_a_careless_learner_says_credits_nothing(
    half: str, record_property: Callable[[str, object], None]
) -> None:
    lines = list(sayings(half, "not"))
    wrong = [
        f"{said.skill.id} {said.step}: {said.text}"
        for said in lines
        if any(
            said.step in credited or (credited - said.also) & safety_steps(said.skill)
            for credited in said.credited()
        )
    ]
    record_property("credited", f"{len(wrong)} of {len(lines)}")
    assert len(wrong) <= CREDITED[half] * len(lines), "\n".join(wrong)


@pytest.mark.parametrize("half", HALVES)
def test_what_a_plain_learner_says_is_credited(
    half: str, record_property: Callable[[str, object], None]
) -> None:
    lines = list(sayings(half, "credits"))
    missed = [
        f"{said.skill.id} {said.step}: {said.text}"
        for said in lines
        if not all(said.step in credited for credited in said.credited())
    ]
    record_property("missed", f"{len(missed)} of {len(lines)}")
    assert len(missed) <= MISSED[half] * len(lines), "\n".join(missed)


def test_there_are_enough_for_each_skill() -> None:
    for skill_id, kinds in HALVES["develop"].items():
        assert sum(map(len, kinds["not"].values())) >= 15, skill_id
        assert sum(map(len, kinds["credits"].values())) >= 10, skill_id
        steps = {step.id for said in sayings("develop", "not") for step in said.skill.steps}
        assert steps >= set(kinds["not"]), skill_id
