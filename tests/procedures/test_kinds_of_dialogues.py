"""Every skill's dialogues hold what proves a skill: a straight run, other lawful orders, each
unlawful order that matters, each branch and choice, and each number outside its range."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache

import pytest
from dialogue_sessions import SKILLS, Unwatched, dialogues_of, skill_named

from coach.app.beginning import drawn
from coach.app.scripted_practice import practise_script
from coach.core.plain import Fields
from coach.procedure.resolve import listed, mapping

ORDERS = 3
"""Other lawful orders of a skill that its dialogues have at least."""

FEWER_ORDERS = {
    "cpr": "what may change its place lies before the first compression",
    "defibrillator": "the machine leads, and only the pads of a child may be chosen earlier",
}


class Notes(Unwatched):
    """Keeps what a session notes."""

    def __init__(self) -> None:
        self.notes: list[tuple[str, Fields]] = []

    def noted(self, name: str, data: Fields) -> None:
        self.notes.append((name, data))


@dataclass
class Kinds:
    """What the dialogues of a skill hold."""

    straight: int = 0
    orders: int = 0
    refused: set[str] = field(default_factory=set)
    complications: set[str] = field(default_factory=set)
    options: set[tuple[str, str]] = field(default_factory=set)
    outside: set[tuple[str, str]] = field(default_factory=set)


@cache
def kinds_of(skill: str) -> Kinds:
    """The dialogues played once each."""
    skill_file, found = skill_named(skill), Kinds()
    for dialogue in dialogues_of(skill):
        seen = Notes()
        complications = drawn(skill_file, dialogue.seed, live=False)
        state, _ = practise_script(skill_file, dialogue, seen, complications)
        early = any(credit.early for credit in state.credits)
        refusals = [data for name, data in seen.notes if name == "too-early"]
        done = all(step.id in state.done for step in state.skill.steps)
        found.straight += done and not (early or refusals or state.came)
        found.orders += early
        found.refused |= {str(data["step"]) for data in refusals if data["safety"]}
        found.complications |= set(state.came)
        found.options |= set(state.skill.choices.items())
        found.outside |= {
            (str(data["step"]), str(data["reading"]))
            for name, data in seen.notes
            if name == "reading-offered" and data["doubt"] == "out-of-range"
        }
    return found


@pytest.mark.parametrize("skill", SKILLS)
def test_the_dialogues_hold_each_kind(skill: str) -> None:
    skill_file, found = skill_named(skill), kinds_of(skill)
    assert found.straight, "a run in the suggested order, to the end"
    assert found.orders >= (1 if skill in FEWER_ORDERS else ORDERS), "other lawful orders"
    steps = [mapping(step) for step in listed(skill_file.written["steps"])]
    held = {
        str(step["id"])
        for step in steps
        for part in (step, *map(mapping, listed(step.get("variants"))))
        if any(mapping(first).get("safety") for first in listed(part.get("after")))
    }
    assert held <= found.refused, "each unlawful order that matters"
    assert {each.id for each in skill_file.complications} <= found.complications, "each branch"
    options = {
        (name, option)
        for name, setting in skill_file.settings.items()
        for option in setting.options
    }
    assert options <= found.options, "each choice"
    readings = {
        (str(step["id"]), str(mapping(reading)["name"]))
        for step in steps
        for reading in listed(step.get("readings"))
    }
    assert readings <= found.outside, "each number outside its range"
