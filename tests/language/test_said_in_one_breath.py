"""A question answered by its asker, findings in a row, what is bidden or promised, the time."""

from __future__ import annotations

import pytest

from coach.core.meaning import Meaning, Part
from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.understand import understand


def told(skill: str, text: str) -> Meaning:
    """What it means where all steps of a skill are open and a number of its first is awaited."""
    context = asked_context(load_skill(skill).chosen({}, frozenset()), None, None)
    return understand(text, context)


def credited(skill: str, text: str) -> set[str]:
    return {mention.step for mention in told(skill, text).steps if not mention.denied}


def test_a_yes_answers_what_the_speaker_asked_himself() -> None:
    assert credited("primary-survey", "is the scene safe, yes, okay I'm going in") == {"scene"}
    assert not credited("primary-survey", "is the scene safe")
    assert not credited("primary-survey", "is the scene safe, maybe")
    assert not credited("primary-survey", "should I open the airway, yes")


@pytest.mark.parametrize(
    "text",
    [
        "airway is patent, breathing is fine, pulse is good, skin's normal",
        "airway's patent, breathing's regular, strong pulse at the wrist",
    ],
)
def test_findings_in_a_row_tell_of_a_step_together(text: str) -> None:
    assert "abc" in credited("medical-assessment", text)


@pytest.mark.parametrize(
    "text",
    [
        "the airway bag is there, I moved the chair, breathing is hard in this heat",
        "airway is patent, breathing is not fine",
        "airway next, breathing later",
    ],
)
def test_other_rows_do_not(text: str) -> None:
    assert "abc" not in credited("medical-assessment", text)


def test_a_dont_told_to_the_patient_is_the_telling() -> None:
    assert credited("helmet-removal", "sir don't move your head") == {"tell"}
    assert credited("helmet-removal", "don't move your head for me") == {"tell"}
    assert not credited("helmet-removal", "I didn't tell him not to move")


def test_what_will_be_done_in_so_many_minutes_is_the_step_that_asks_in_how_many() -> None:
    meaning = told("medical-assessment", "I'll reassess her every five minutes")
    assert {mention.step for mention in meaning.steps} == {"again"}
    assert [reading.values for reading in meaning.readings] == [(5.0,)]
    assert not credited("medical-assessment", "I'll reassess her later")


@pytest.mark.parametrize(
    "text",
    ["so next we'd pull it off", "the helmet doesn't matter", "never mind the helmet"],
)
def test_what_would_be_done_or_does_not_matter_is_not_done(text: str) -> None:
    assert not credited("helmet-removal", text)


@pytest.mark.parametrize("text", ["what're you allergic to", "when'd you last eat, around noon"])
def test_a_question_may_be_contracted(text: str) -> None:
    assert credited("medical-assessment", text)


def test_the_time_by_the_clock_is_no_dose() -> None:
    assert not told("oral-glucose", "time is ten oh five, whole tube's in").readings
    assert not told("oral-glucose", "that was at nine fifteen, she got the entire tube").readings
    dose = told("oral-glucose", "fifteen grams").readings
    assert [reading.values for reading in dose] == [(15.0,)]
    gauge = told("oxygen-cylinder", "the gauge is at nine fifty").readings
    assert [reading.values for reading in gauge] == [(950.0,)]


@pytest.mark.parametrize(
    "text",
    ["may I put this splint on your arm for you", "do you mind if I have a look at your leg"],
)
def test_asking_whether_it_may_be_done_asks_for_consent(text: str) -> None:
    assert credited("long-bone-splint", text) == {"consent"}
    assert not credited("long-bone-splint", "can I have your scissors")
    assert credited("long-bone-splint", "he's far too sick to answer me") == {"consent"}


@pytest.mark.parametrize(
    ("skill", "text", "step"),
    [
        ("inhaler-help", "hold your breath as long as you can", "hold"),
        ("stroke-screen", "hold your arms out and close your eyes", "arms"),
        ("consciousness-scale", "tell me your name", "speak"),
        ("helmet-removal", "please lie still", "tell"),
    ],
)
def test_what_the_patient_is_told_to_do_is_the_telling(skill: str, text: str, step: str) -> None:
    assert credited(skill, text) == {step}


def test_what_is_found_ends_a_look_that_only_has_a_limit() -> None:
    (mention,) = told("cpr", "checking the pulse, there's no pulse").steps
    assert mention.step == "check"
    assert mention.part in {Part.DONE, Part.CLOCK_END}
    (mention,) = told("cpr", "checking the pulse").steps
    assert (mention.step, mention.part) == ("check", Part.CLOCK_START)
