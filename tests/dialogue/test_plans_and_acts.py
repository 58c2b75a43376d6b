"""A number that is only planned, wished for or supposed does not stand where the coach is quiet.

The sentences stand in `tests/data/plans_and_acts.yaml`. Each is said in an attempt in which
everything before its step is done, with and without punctuation.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from coach.dialogue.effects import Noted
from coach.dialogue.engine import advance, new_state
from coach.dialogue.events import Heard, SessionStarted
from coach.dialogue.moment import context_of
from coach.dialogue.state import Credit, Mode, State
from coach.edges.skill_files import load_skill
from coach.language.normal import plain
from coach.language.understand import understand

DATA = Path(__file__).parent.parent / "data" / "plans_and_acts.yaml"
SAID: dict[str, dict[str, list[dict[str, Any]]]] = yaml.safe_load(DATA.read_text("utf-8"))

STANDS = {"develop": 0.0, "apart": 0.1}
"""Largest share of the plans of which a number stands or a step counts."""

LOST = {"develop": 0.0, "apart": 0.05}
"""Largest share of the acts of which the number does not stand."""


@dataclass(frozen=True)
class Came:
    """What came of a sentence: the step's numbers that stand, and whether the step counts."""

    values: tuple[object, ...]
    counts: bool


@cache
def before(skill: str, step: str, choices: tuple[tuple[str, str], ...]) -> State:
    """An attempt in which everything that comes before the step is done, and nothing else."""
    skill_file = load_skill(skill)
    every = tuple(complication.id for complication in skill_file.complications)
    started = SessionStarted(0.0, skill, dict(choices), complications=every, way="recall")
    state, _ = advance(new_state(skill_file), started)
    state = replace(state, mode=Mode.RUNNING, came=frozenset(every))
    order = [one.id for one in state.skill.steps]
    done = tuple(Credit(one, 0.0) for one in order[: order.index(step)])
    return replace(state, credits=done)


def came_of(said: dict[str, Any]) -> Iterator[Came]:
    """What comes of the sentence as typed and as a recogniser writes it."""
    state = before(said["skill"], said["step"], tuple(said.get("with", {}).items()))
    for text in dict.fromkeys((said["says"], plain(said["says"]))):
        meaning = understand(text, context_of(state))
        _, effects = advance(state, Heard(1.0, meaning))
        noted = [effect for effect in effects if isinstance(effect, Noted)]
        stands = [n.data for n in noted if n.name == "reading-stands"]
        values = [data["value"] for data in stands if data["step"] == said["step"]]
        yield Came(tuple(values), any(n.name == "step-done" for n in noted))


def shown(said: dict[str, Any], came: object) -> str:
    """A line of what went wrong."""
    return f"{said['skill']} {said['step']}: {said['says']} -> {came}"


@pytest.mark.parametrize("half", SAID)
def test_a_plan_with_a_number_is_no_reading_and_no_step(
    half: str, record_property: Callable[[str, object], None]
) -> None:
    plans = SAID[half]["plans"]
    wrong = [
        shown(said, came)
        for said in plans
        for came in [list(came_of(said))]
        if any(one.values or one.counts for one in came)
    ]
    record_property("stands", f"{len(wrong)} of {len(plans)}")
    assert len(wrong) <= STANDS[half] * len(plans), "\n".join(wrong)


@pytest.mark.parametrize("half", SAID)
def test_an_act_told_with_its_number_stands(
    half: str, record_property: Callable[[str, object], None]
) -> None:
    acts = SAID[half]["acts"]
    lost = [
        shown(said, came)
        for said in acts
        for came in [list(came_of(said))]
        if any(float(said["value"]) not in one.values for one in came)
    ]
    record_property("lost", f"{len(lost)} of {len(acts)}")
    assert len(lost) <= LOST[half] * len(acts), "\n".join(lost)


def test_how_somebody_breathes_is_no_rule_for_a_number() -> None:
    """ "Normally" tells how, and not what is usual."""
    said = {
        "skill": "recovery-position",
        "step": "breathing",
        "says": "he's breathing normally, eight seconds",
    }
    assert all(one.values == (8.0,) for one in came_of(said))
    said["says"] = "we normally look for eight seconds"
    assert not any(one.values for one in came_of(said))


def test_there_are_enough_sentences() -> None:
    assert sum(len(lines) for lines in SAID["develop"].values()) >= 60
