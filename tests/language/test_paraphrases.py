"""Sentences of untrained students, in words that the skill files were not written from.

The sentences are invented here (common practice, no source): what they prove is the share of
natural speech that is understood, and that nothing else earns a step.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from coach.core.meaning import Meaning, Part
from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.context import Context
from coach.language.understand import understand
from coach.procedure.model import Skill
from coach.procedure.skill_file import SkillFile

DATA = Path(__file__).parent.parent / "data"
PARAPHRASES: dict[str, list[dict[str, Any]]] = yaml.safe_load(
    (DATA / "paraphrases.yaml").read_text("utf-8")
)
SMALL_TALK: list[str] = yaml.safe_load((DATA / "small_talk.yaml").read_text("utf-8"))
SKILLS = tuple(PARAPHRASES)

FEWEST_PER_SKILL = 30
FEWEST_TALK = 60
UNDERSTOOD = 0.92
"""Share of the paraphrases credited with no step due, a little under what was measured."""


def skill_for(name: str, line: dict[str, Any]) -> Skill:
    """The skill with the settings and the complication of a line."""
    came = frozenset({line["came"]}) if "came" in line else frozenset[str]()
    return loaded(name).chosen(line.get("with", {}), came)


@lru_cache
def loaded(name: str) -> SkillFile:
    """A skill of the program, read once."""
    return load_skill(name)


def credited(meaning: Meaning) -> list[tuple[str, Part]]:
    """The steps, or parts of steps, that an utterance would earn."""
    return [(mention.step, mention.part) for mention in meaning.steps if not mention.denied]


def part_of(line: dict[str, Any]) -> Part:
    """The part of the step that a line is about."""
    parts = {"start": Part.CLOCK_START, "end": Part.CLOCK_END}
    return parts[line["part"]] if "part" in line else Part.DONE


def outcome(name: str, line: dict[str, Any], due: bool) -> str:
    """How a line is taken: "right", "nothing", or what was credited wrongly."""
    if line.get("only") == "due" and not due:
        return "right"
    skill = skill_for(name, line)
    context = asked_context(skill, None, None)
    if due:
        steps = sorted(context.steps, key=lambda step: step.id != line["step"])
        context = Context(steps=tuple(steps), suggested=line["step"])
    found = credited(understand(line["says"], context))
    wanted = (line["step"], part_of(line))
    others = [step for step, _ in found if step not in {line["step"], line.get("also")}]
    if others:
        return f"{line['says']!r} credits {', '.join(others)}, not only {line['step']}"
    return "right" if wanted in found else "nothing"


@pytest.mark.parametrize("name", SKILLS)
def test_there_are_enough_and_all_are_different(name: str) -> None:
    said = [line["says"].lower() for line in PARAPHRASES[name]]
    assert len(said) >= FEWEST_PER_SKILL
    assert len(set(said)) == len(said)


@pytest.mark.parametrize("due", [False, True], ids=["any step open", "the step is due"])
def test_most_of_what_students_say_is_understood(
    due: bool, record_property: Callable[[str, object], None]
) -> None:
    results = {
        f"{name}: {line['says']}": outcome(name, line, due)
        for name, lines in PARAPHRASES.items()
        for line in lines
    }
    missed = [said for said, result in results.items() if result == "nothing"]
    right = sum(result == "right" for result in results.values())
    share = right / len(results)
    record_property("understood", f"{right} of {len(results)}")
    assert share >= UNDERSTOOD, f"{share:.1%} understood; not understood:\n" + "\n".join(missed)


@pytest.mark.parametrize("name", SKILLS)
@pytest.mark.parametrize("due", [False, True], ids=["any step open", "the step is due"])
def test_what_students_say_of_one_step_earns_no_other(name: str, due: bool) -> None:
    results = [outcome(name, line, due) for line in PARAPHRASES[name]]
    wrong = [result for result in results if result not in {"right", "nothing"}]
    assert not wrong, "\n".join(wrong)


def moments(name: str) -> list[Context]:
    """Every moment of a skill: each of its steps due, in each way of doing it."""
    skill_file = loaded(name)
    every = frozenset(complication.id for complication in skill_file.complications)
    skill = skill_file.chosen({}, every)
    context = asked_context(skill, None, None)
    found = [context]
    for step in context.steps:
        ordered = sorted(context.steps, key=lambda other: other.id != step.id)
        found.append(Context(steps=tuple(ordered), suggested=step.id))
    return found


@pytest.mark.parametrize("name", SKILLS)
def test_small_talk_questions_and_plans_earn_nothing(name: str) -> None:
    assert len(set(SMALL_TALK)) == len(SMALL_TALK) >= FEWEST_TALK
    wrong: dict[str, str] = {}
    anytime, *due = moments(name)
    for line in SMALL_TALK:
        first = understand(line, anytime)
        # A step that is due can only win what was a draw before, and a draw is likely.
        rest = [understand(line, moment) for moment in due] if first.likely else []
        for meaning in (first, *rest):
            steps = credited(meaning)
            if steps or meaning.done_said or meaning.readings or meaning.answer == "yes":
                wrong[line] = f"{line!r} is taken for {steps or meaning.kind}"
    assert not wrong, "\n".join(wrong.values())
