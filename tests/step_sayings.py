"""Sentences of learners as data, each for a step of a skill, and which steps they credit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from coach.core.meaning import Meaning, StepMention
from coach.dialogue.moment import asked_context
from coach.edges.carelessness_table import read_carelessness
from coach.edges.skill_files import load_skill
from coach.language.context import Context
from coach.language.normal import plain
from coach.language.understand import understand
from coach.procedure.model import Skill

DATA = Path(__file__).parent / "data"


def halves_of(name: str) -> dict[str, Any]:
    """The halves of a file of sentences, by name."""
    halves: dict[str, Any] = yaml.safe_load((DATA / name).read_text("utf-8"))
    return halves


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
            context = Context(steps=tuple(ordered), suggested=self.step)
            yield understand(text, context, read_carelessness())

    def _by_finding(self, mention: StepMention) -> bool:
        """Whether a step was told by the bad finding that it is there for."""
        steps = {step.id: step for step in self.skill.steps}
        clock = steps[mention.step].clock if mention.step in steps else None
        return mention.found and clock is not None and clock.unless_found

    def credited(self) -> list[frozenset[str]]:
        """The steps credited each time; a general "done" is for the one asked for."""
        return [
            frozenset(m.step for m in meaning.steps if not m.denied or self._by_finding(m))
            & {step.id for step in self.skill.steps}
            | ({self.step} if meaning.done_said else frozenset())
            for meaning in self.meanings()
        ]


def sayings(half: dict[str, Any], kind: str) -> Iterator[Said]:
    """The sentences of one half: `not` or `credits`."""
    for skill_id, kinds in half.items():
        skill_file = load_skill(skill_id)
        every = frozenset(complication.id for complication in skill_file.complications)
        for step, lines in kinds.get(kind, {}).items():
            for line in lines:
                written = line if isinstance(line, dict) else {"says": line}
                skill = skill_file.chosen(written.get("with", {}), every)
                yield Said(skill, step, written["says"], frozenset(written.get("also", ())))


def safety_steps(skill: Skill) -> frozenset[str]:
    """Steps that must come first for safety, and those that something must come before."""
    first = {needed.step for step in skill.steps for needed in step.after if needed.safety}
    held = {step.id for step in skill.steps if any(needed.safety for needed in step.after)}
    return frozenset(first | held)


def wrongly_credited(skills: dict[str, Any]) -> tuple[list[str], int]:
    """The careless sentences that credit their step, or another safety step; and how many there
    are."""
    lines = list(sayings(skills, "not"))
    wrong = [
        f"{said.skill.id} {said.step}: {said.text}"
        for said in lines
        if any(
            said.step in credited or (credited - said.also) & safety_steps(said.skill)
            for credited in said.credited()
        )
    ]
    return wrong, len(lines)


def missed(skills: dict[str, Any]) -> tuple[list[str], int]:
    """The plain sentences that do not credit their step, and how many there are."""
    lines = list(sayings(skills, "credits"))
    lost = [
        f"{said.skill.id} {said.step}: {said.text}"
        for said in lines
        if not all(said.step in credited for credited in said.credited())
    ]
    return lost, len(lines)
