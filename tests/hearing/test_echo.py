"""The coach's own words must not count as the learner's."""

from __future__ import annotations

import pytest

from coach.hearing.echo import interruption, is_echo, may_be_cut

LINE = "Check the gauge and read the pressure aloud. Say yes or no."


@pytest.mark.parametrize(
    "heard",
    [
        "check the gauge and read the pressure aloud say yes or no",
        "check the gauge and read",
        "the pressure aloud",
        "chek the gage and red the presure",
        "gauge and read the pleasure a loud",
        "yes",
        "no",
        "say yes or no",
    ],
)
def test_own_words_are_an_echo(heard: str) -> None:
    assert is_echo(heard, LINE)


@pytest.mark.parametrize(
    "heard",
    [
        "stop",
        "stop please",
        "this is real",
        "seventeen hundred p s i",
        "next",
        "go back",
        "not",
        "how long have i got",
        "",
    ],
)
def test_the_learners_words_are_not(heard: str) -> None:
    assert not is_echo(heard, LINE)


def test_a_word_inside_another_is_no_echo() -> None:
    assert not is_echo("no", "Now turn the adapter.")


def test_more_than_was_said_is_no_echo() -> None:
    assert not is_echo("open the valve i have opened it and it is leaking badly", "Open the valve.")


def test_nothing_said_nothing_echoes() -> None:
    assert not is_echo("stop", "")


@pytest.mark.parametrize(
    ("heard", "called"),
    [
        ("chek the stop a loud", "stop"),
        ("the gauge this is real and", "this is real"),
        ("check the gauge and read the pressure aloud", ""),
        ("nonstop", ""),
        ("say yes", ""),
        ("", ""),
    ],
)
def test_a_call_into_the_coachs_voice_is_found(heard: str, called: str) -> None:
    assert interruption(heard, LINE) == called


def test_what_the_coach_says_itself_is_no_call() -> None:
    assert interruption("you can say stop", "You can say stop at any time.") == ""


@pytest.mark.parametrize(
    ("heard", "said"),
    [
        ("pause", "Paused. Shall I end here?"),
        ("pause shall i end here", "Paused. Shall I end here?"),
        ("stop", "I stopped the clock."),
        ("wait", "I am waiting."),
    ],
)
def test_a_longer_form_of_a_word_said_is_the_coachs_own(heard: str, said: str) -> None:
    assert is_echo(heard, said)
    assert interruption(heard, said) == ""


@pytest.mark.parametrize("heard", ["stop", "wait", "no", "on"])
def test_a_word_that_only_begins_alike_is_the_learners(heard: str) -> None:
    assert not is_echo(heard, "Note the stomach, the waist and the only one that went off.")


@pytest.mark.parametrize(
    ("called", "heard", "said", "cut"),
    [
        ("stop", "and more than that goes to the stop", "More goes to the stomach.", True),
        ("stop", "and more stop goes to the", "More goes to the stomach.", False),
        ("stop", "and more than that stop", "More than that is wrong.", False),
        ("this is real", "wait this is real", "Read it aloud.", True),
        ("this is real", "wait this is real", "Look at it.", False),
    ],
)
def test_a_call_at_the_end_of_a_look_may_be_cut_from_a_longer_word(
    called: str, heard: str, said: str, cut: bool
) -> None:
    assert may_be_cut(called, heard, said) is cut
