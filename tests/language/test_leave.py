"""What is told of the patient's leave: given, refused, or only agreed on how things are.

That a refusal holds by word, by gesture or by turning away, and that a yes to a question of how
things are lets nobody act, is common practice, no source.
"""

from __future__ import annotations

import pytest

from coach.app.moment import moment_context
from coach.edges.skill_files import load_skill
from coach.language.understand import understand

REFUSED = [
    "he won't let me",
    "she says no, don't touch me",
    "she says no don't touch me",
    "don't touch me",
    "his mother won't let us",
    "they won't let us treat the child",
    "he says I may not touch him",
    "she said I may not",
    "she yells leave me alone",
    "he pushes my hand away",
    "he doesn't want me to touch him",
    "he doesn't want any help",
    "she did not agree to it",
    "he declines",
    "can I help you, he says no",
    "I had a look without asking her",
]

GIVEN = [
    "he agrees that I may help",
    "she agrees to it",
    "she agrees that I cut the sleeve",
    "he agrees it's okay to go on",
    "she says yes, you can",
    "her dad says go ahead",
    "she said sure",
    "he wants me to help",
    "may I have a look at that arm of yours",
    "is it okay with you if I hold your arm",
    "he lets me look after him",
    "would you like me to help, she nods",
    "I'm going to put a splint on, is that alright with you",
    "do I have your consent to go on",
    "hi, can I take a look at that",
    "can I help you? she says it's okay with her",
]

NEITHER = [
    "she agrees that it hurts",
    "she agrees it hurts",
    "he agrees with me that it looks bad",
    "he doesn't agree that it hurts",
    "she says yes it hurts",
    "he says okay it hurts",
    "she's okay",
    "he looks okay",
    "she is breathing okay",
    "his mother is okay",
    "she says she's okay",
    "he says his leg is okay",
    "she doesn't want a drink",
    "he says no headache",
    "he can't speak",
    "he doesn't feel cold",
    "if he won't let me I call medical direction",
    "alright",
    "okay",
    "he's not letting it move",
    "I didn't check the airway",
    "it won't go in",
    "doc says go ahead with it",
    "my partner let go of the head to help me",
    "does it hurt, he says no",
    "does it hurt, he says yes",
    "have you been drinking, she nods",
    "the strap won't let me pull it",
]


def of_consent(text: str, skill: str = "joint-splint") -> list[bool]:
    """Whether the consent is denied, for each time that it is spoken of while it is due."""
    context, _ = moment_context(skill, "consent", None)
    assert "consent" in {step.id for step in load_skill(skill).chosen({}).steps}
    told = understand(text, context).steps
    return [step.denied for step in told if step.step == "consent"]


@pytest.mark.parametrize("text", REFUSED)
def test_a_refusal_is_heard_as_one(text: str) -> None:
    assert of_consent(text) == [True]


@pytest.mark.parametrize("text", GIVEN)
def test_leave_is_heard_where_it_is_asked_for_or_given(text: str) -> None:
    assert of_consent(text) == [False]


@pytest.mark.parametrize("text", NEITHER)
def test_what_only_tells_how_things_are_is_no_leave_and_no_refusal(text: str) -> None:
    assert of_consent(text) == []


def test_a_refusal_is_of_the_step_that_asks_alone() -> None:
    context, _ = moment_context("joint-splint", "consent", None)
    told = understand("he won't let me cut the sleeve", context).steps
    assert [(step.step, step.denied) for step in told] == [("consent", True)]
