"""How many times something was done: heard with the act, asked for, and held against its range."""

from __future__ import annotations

import pytest
from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.procedure.skill_file import SkillFile

ACTS = """steps:
  - id: blows
    name: the blows
    say: Give the blows.
    why: They shake it loose.
    how: With the heel of the hand.
    heard-as: {phrases: [i gave back blows], keys: [blow/blows back]}
    readings:
      - {name: blows, quantity: count, unit: counted, low: "{no-fact.5}", high: "{no-fact.5}", ask: How many blows?, outside: Give more., sources: [common]}
  - id: compress
    name: the compressions
    say: Compress the chest.
    why: They move the blood.
    how: Straight arms.
    heard-as: {phrases: [i compressed the chest], keys: [compression/compressions]}
    readings:
      - {name: pressed, quantity: count, unit: counted, low: "{no-fact.30}", high: "{no-fact.30}", ask: How many compressions?, outside: Give more., sources: [common]}
"""  # noqa: E501


def skill() -> SkillFile:
    return bench_skill(TEXT.replace("steps:\n", ACTS, 1))


def run(*words: str | float) -> Run:
    return Run("I'm ready", *words, skill_file=skill())


@pytest.mark.parametrize(
    "words", ["five back blows", "I gave five firm back blows", "back blows, 5"]
)
def test_the_number_is_heard_with_the_act(words: str) -> None:
    played = run(words, "yes")
    assert played.reply_to(1) == "Five, right?"
    assert played.done == ("blows",)


def test_a_number_of_something_else_is_none() -> None:
    assert run("I told five people that I gave back blows").reply_to(1).startswith("How many")


def test_a_number_belongs_to_the_act_it_is_said_with() -> None:
    played = run("thirty compressions", "yes")
    assert played.reply_to(1) == "Three zero, thirty; is that right?"
    assert played.done == ("compress",)


def test_the_wrong_number_is_corrected() -> None:
    played = run("six back blows", "yes", "five", "yes")
    assert "Give more." in played.reply_to(2)
    assert played.done == ("blows",)
    assert [data["value"] for data in played.events("reading-offered")] == [6.0, 5.0]
