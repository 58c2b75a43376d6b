"""The questions before the first practice, through ear and voice: nothing is passed over."""

from __future__ import annotations

from fakes import FakeEar, FakeVoice
from known_cylinders import known_cylinders

from coach.app.first_questions import ask
from coach.app.senses import LEAST_SURE
from coach.cli.observers import JsonObserver
from coach.dialogue.first_questions import CYLINDER, NO_ANSWER, REGION, UNIT, needs_of
from coach.edges.skill_files import load_skill
from coach.hearing.hypothesis import Hypothesis
from coach.session.ports import TextHeard

ASKED = "Does your gauge show P S I or bar?"


def heard(text: str, sure: float) -> TextHeard:
    return TextHeard(Hypothesis(text, sure))


def asked_for_the_unit(*events: TextHeard | str | float) -> tuple[dict[str, str], list[str]]:
    """The answers that stand after these events, and what the coach said."""
    needs = needs_of(
        load_skill("oxygen-cylinder").chosen({}), (REGION, CYLINDER), known_cylinders()
    )
    assert needs.names == (UNIT,)
    voice = FakeVoice()
    interview, _ = ask(needs, 12.0, FakeEar(*events), voice, JsonObserver())
    return dict(interview.answers), voice.lines


def test_an_answer_that_was_hardly_heard_is_asked_for_again() -> None:
    answers, lines = asked_for_the_unit(heard("bar", LEAST_SURE - 0.01), heard("bar", 0.9), "yes")
    assert lines[1] == f"Sorry, I did not get that. {ASKED}"
    assert answers == {UNIT: "bar"}


def test_a_yes_that_was_hardly_heard_asks_for_it_again() -> None:
    answers, lines = asked_for_the_unit(heard("bar", 0.9), heard("yes", 0.2), heard("yes", 0.9))
    assert lines[1:3] == ["Bar, right?", "Sorry, I did not get that. Bar, right?"]
    assert answers == {UNIT: "bar"}


def test_talk_around_is_answered_once_and_takes_no_default() -> None:
    """What is hardly heard may be a neighbour: silence ends the questions, as if nobody spoke."""
    answers, lines = asked_for_the_unit(*[heard("bar", 0.1)] * 5, 13.0)
    assert lines[1:] == [f"Sorry, I did not get that. {ASKED}", NO_ANSWER]
    assert answers == {}
