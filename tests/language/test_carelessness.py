"""What is weighed of how a step is told, and what comes of a doubt."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from coach.core.errors import InputError
from coach.core.meaning import DoubtedStep, Kind
from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.hearing.hypothesis import Hypothesis
from coach.language.carelessness import Carelessness, Telling, parse_carelessness, traits_of
from coach.language.context import Context
from coach.language.understand import understand
from coach.session.likeliest import understood

POCKETS = Carelessness({"word pocket": 3.0, "word rest": 1.0, "besides 1": -0.5}, -1.0, 0.0)
"""A table that doubts whatever is told with a pocket."""


def context() -> Context:
    return asked_context(load_skill("aspirin").chosen({}), None, None)


class Kept:
    """Doubts nothing and keeps what it is shown."""

    def __init__(self) -> None:
        self.told: dict[str, Telling] = {}

    def doubts(self, telling: Telling) -> None:
        self.told[telling.step.id] = telling


def test_what_is_doubted_is_likely_and_not_credited() -> None:
    text = "he chewed and swallowed the tablets, the rest went to a pocket"
    assert [mention.step for mention in understand(text, context()).steps] == ["give"]
    meaning = understand(text, context(), POCKETS)
    assert (meaning.kind, meaning.steps, meaning.likely) == (Kind.NONE, (), ("give", "complaint"))
    assert meaning.doubted == (DoubtedStep("give", ("rest", "pocket")),)


def test_the_words_of_the_step_itself_are_never_weighed() -> None:
    kept = Kept()
    understand("he chewed and swallowed the tablets slowly", context(), kept)
    traits = traits_of(kept.told["give"]).words
    assert "word slowli" in traits
    assert not any(own in trait for trait in traits for own in ("chew", "tablet", "swallow"))


def test_with_small_words_besides_nothing_is_doubted() -> None:
    doubtful = Carelessness({}, 5.0, 0.0)
    assert understand("okay he has chewed and swallowed the tablets", context(), doubtful).steps
    assert not understand("he chewed and swallowed the tablets grinning", context(), doubtful).steps


def test_a_denial_stays_a_denial() -> None:
    doubtful = Carelessness({}, 5.0, 0.0)
    text = "he hasn't chewed and swallowed the tablets in his pocket"
    denied = understand(text, context())
    assert denied.steps[0].denied
    assert understand(text, context(), doubtful) == denied


def test_only_what_safety_hangs_on_is_doubted() -> None:
    skill = load_skill("oxygen-delivery").chosen({})
    safety = {step.id: step.safety for step in asked_context(skill, None, None).steps}
    assert safety["flow"]
    assert not safety["explain"]
    unhung = tuple(replace(step, safety=False) for step in context().steps)
    text = "he chewed and swallowed the tablets, the rest went to a pocket"
    meaning = understand(text, Context(steps=unhung), POCKETS)
    assert [mention.step for mention in meaning.steps] == ["give"]


def test_the_other_text_is_not_taken_for_what_is_doubted() -> None:
    heard = Hypothesis(
        "he chewed and swallowed the tablets, the rest went to a pocket",
        0.9,
        second="he chewed and swallowed the tablets",
    )
    assert understood(heard, context(), POCKETS).steps == ()


@pytest.mark.parametrize("tree", [[], {"weights": []}, {"base": 1, "weights": {}}])
def test_what_is_no_table_is_said_to_be_none(tree: object) -> None:
    with pytest.raises(InputError, match="table"):
        parse_carelessness(tree, "table.json")


def test_a_weight_that_is_no_number_is_named() -> None:
    tree = json.loads('{"base": 0, "limit": 1, "weights": {"word but": "much"}}')
    with pytest.raises(InputError, match="word but"):
        parse_carelessness(tree, "table.json")
