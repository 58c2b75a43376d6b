"""What students say beside the act: what it is for, what goes easily, what they ask and hear."""

from __future__ import annotations

import pytest

from coach.core.meaning import Command, Meaning
from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.context import Context
from coach.language.understand import understand


def told(skill: str, text: str) -> Meaning:
    """What it means where all steps of a skill are open."""
    steps = asked_context(load_skill(skill).chosen({}, frozenset()), None, None).steps
    return understand(text, Context(steps=steps))


def credited(meaning: Meaning) -> set[str]:
    return {mention.step for mention in meaning.steps if not mention.denied}


def denied(meaning: Meaning) -> set[str]:
    return {mention.step for mention in meaning.steps if mention.denied}


@pytest.mark.parametrize(
    ("skill", "text", "steps"),
    [
        ("helmet-removal", "I hold the helmet with both hands so it can't move", {"hold-helmet"}),
        ("log-roll", "hands on both sides of the head so that she can't move it", {"head"}),
    ],
)
def test_what_an_act_is_for_denies_nothing(skill: str, text: str, steps: set[str]) -> None:
    meaning = told(skill, text)
    assert credited(meaning) == steps
    assert not denied(meaning)


def test_what_follows_from_a_finding_still_denies() -> None:
    meaning = told("oral-glucose", "he's drowsy so he can't swallow")
    assert denied(meaning) == {"swallow"}


def test_what_goes_with_no_problem_is_so() -> None:
    assert credited(told("aspirin", "he can swallow, no problem")) == {"awake"}
    assert credited(told("aspirin", "he can swallow no problem")) == {"awake"}
    assert denied(told("aspirin", "he has a problem swallowing")) == {"awake"}
    assert not denied(told("aspirin", "no problem swallowing"))


@pytest.mark.parametrize(
    "text",
    [
        "any allergies to aspirin, no",
        "any allergies, aspirin, ibuprofen, anything like that, no, none",
        "do you have any allergies, no he doesn't",
    ],
)
def test_a_question_and_its_answer_take_nothing_back(text: str) -> None:
    meaning = told("aspirin", text)
    assert credited(meaning) == {"allergy"}
    assert not denied(meaning)


def test_who_tells_of_an_allergy_is_allergic() -> None:
    assert denied(told("aspirin", "he's allergic to aspirin")) == {"allergy"}


def test_what_was_told_is_still_taken_back() -> None:
    assert denied(told("aspirin", "he is awake and alert, no wait he isn't")) == {"awake"}


@pytest.mark.parametrize("words", ["I'd call that nine percent", "I'd put it at nine percent"])
def test_an_estimate_is_no_plan(words: str) -> None:
    meaning = told("burns", f"the whole left arm is burned, {words}")
    assert [reading.values for reading in meaning.readings] == [(9.0,)]
    assert meaning.readings[0].outlook is None


def test_what_is_kept_from_the_patient_is_told_to_him() -> None:
    assert credited(told("shock", "nothing to eat or drink for you, sir")) == {"nothing-by-mouth"}


@pytest.mark.parametrize(
    "text",
    ["okay let's do it", "set, let's go", "good to go", "okay, I think I'm ready", "let's do this"],
)
def test_a_session_begins_with_what_people_say(text: str) -> None:
    assert told("gloves", text).command is Command.RESUME
