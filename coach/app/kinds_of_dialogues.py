"""Which kinds of dialogues prove a skill, and which of them its dialogues lack."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from coach.app.script import Played
from coach.core.plain import Fields
from coach.dialogue.ending import summary_of
from coach.procedure.model import Skill
from coach.procedure.resolve import listed, mapping
from coach.procedure.skill_file import SkillFile
from coach.procedure.yaml_tree import Json

ORDERS = 3
"""Other lawful orders of a skill that its dialogues have at least, where it has so many."""


@dataclass(slots=True)
class Kinds:
    """What the dialogues of a skill hold.

    `straight` counts the runs in the suggested order to the end, `orders` those in another lawful
    order. `refused` are steps that safety held back, `forbidden` acts that must not happen and were
    done, `outside` steps and their readings of which a number was out of range.
    """

    straight: int = 0
    orders: int = 0
    refused: set[str] = field(default_factory=set)
    forbidden: set[str] = field(default_factory=set)
    complications: set[str] = field(default_factory=set)
    options: set[tuple[str, str]] = field(default_factory=set)
    outside: set[tuple[str, str]] = field(default_factory=set)


def kinds_of(dialogues: Iterable[Played]) -> Kinds:
    """What dialogues hold, by what came of them."""
    found = Kinds()
    for played in dialogues:
        state = played.state
        early = any(credit.early for credit in state.credits)
        refusals = list(_noted(played, "too-early"))
        done = all(step.id in state.done for step in state.skill.steps)
        found.straight += done and not (early or refusals or state.came)
        found.orders += early
        found.refused |= {str(data["step"]) for data in refusals if data["safety"]}
        found.forbidden |= {breach.act for breach in summary_of(state).forbidden}
        found.complications |= set(state.came)
        found.options |= set(state.skill.choices.items())
        found.outside |= {
            (str(data["step"]), str(data["reading"]))
            for data in (*_noted(played, "reading-offered"), *_noted(played, "impossible"))
            if data["doubt"] == "out-of-range"
        }
    return found


def kinds_missing(skill_file: SkillFile, found: Kinds, orders: int = ORDERS) -> Iterator[str]:
    """What is to be added to the dialogues of a skill so that they prove it, each as a sentence.

    `orders` is how many other lawful orders are asked for, where the skill has so many.
    """
    if not found.straight:
        yield "add a dialogue that does every step in the suggested order, to the end."
    lawful = min(orders, _orders_possible(skill_file.chosen({})))
    if found.orders < lawful:
        yield (
            f"add dialogues in other lawful orders, a step told before its place: there "
            f"{'is' if found.orders == 1 else 'are'} {found.orders} of {lawful}."
        )
    for step in sorted(_held_back(skill_file) - found.refused):
        yield f"add a dialogue that tells step '{step}' before what safety puts first."
    for act in skill_file.act_ids:
        if act not in found.forbidden:
            yield f"add a dialogue in which '{act}' is done, which must not happen."
    for complication in skill_file.complications:
        if complication.id not in found.complications:
            yield f"add a dialogue in which '{complication.id}' comes, by a finding or a seed."
    for name, setting in skill_file.settings.items():
        for option in setting.options:
            if (name, option) not in found.options:
                yield f"add a dialogue with settings: {{{name}: {option}}}."
    for step, reading in sorted(_readings(skill_file) - found.outside):
        yield f"add a dialogue with a {reading} outside its range at step '{step}'."


def _noted(played: Played, name: str) -> Iterator[Fields]:
    notes = (note for exchange in played.exchanges for note in exchange.notes)
    return (data for noted, data in notes if noted == name)


def _orders_possible(skill: Skill) -> int:
    """How many steps may change places with an earlier one of the suggested order."""
    waits: dict[str, set[str]] = {}
    possible = 0
    for step in skill.steps:
        if step.complication:
            continue
        firsts = {first.step for first in step.after}
        for first in tuple(firsts):
            firsts |= waits.get(first, set())
        possible += len(waits.keys() - firsts)
        waits[step.id] = firsts
    return possible


def _steps(skill_file: SkillFile) -> Iterator[dict[str, Json]]:
    return map(mapping, listed(skill_file.written["steps"]))


def _held_back(skill_file: SkillFile) -> set[str]:
    """Steps that have to wait for another for safety, with some choice."""
    return {
        str(step["id"])
        for step in _steps(skill_file)
        for part in (step, *map(mapping, listed(step.get("variants"))))
        if any(mapping(first).get("safety") for first in listed(part.get("after")))
    }


def _readings(skill_file: SkillFile) -> set[tuple[str, str]]:
    return {
        (str(step["id"]), str(mapping(reading)["name"]))
        for step in _steps(skill_file)
        for reading in listed(step.get("readings"))
    }
