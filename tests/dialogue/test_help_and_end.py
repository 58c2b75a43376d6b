"""A hint, "I don't know" and "I'm done", said to a coach who leads and to one who keeps quiet."""

from __future__ import annotations

from typing import Any

import pytest
from bench_session import Run

from coach.core.meaning import YES_NO, Command
from coach.dialogue.lines import CONFIRM_STOP, NO_HELP
from coach.dialogue.state import Mode
from coach.language.context import Context
from coach.language.understand import understand

HINTS = (
    "hint",
    "give me a hint",
    "can I have a hint please",
    "another hint",
    "I don't know",
    "um, no idea",
    "I've gone blank",
    "I can't remember",
)
NEXT = (
    "what should I do",
    "what should I do now",
    "what do I do",
    "what's next",
    "I don't know what comes next",
    "I forgot what's next",
)
FINISHED = (
    "I'm done",
    "I'm finished",
    "okay, I'm done now",
    "I think I'm done",
    "that's everything",
    "that's all",
    "I've done everything",
    "finish",
)


def run(*words: str, way: str = "recall", **more: Any) -> Run:
    return Run("I'm ready", *words, started={"way": way, **more})


def said_after(one: Run) -> str:
    return one.voice.lines[-1]


@pytest.mark.parametrize("words", [*HINTS, *NEXT])
def test_in_recall_it_brings_the_smallest_hint(words: str) -> None:
    one = run(words)
    assert [data["level"] for data in one.events("hint")] == [1]


@pytest.mark.parametrize("words", [*HINTS, *NEXT])
def test_an_assessment_says_that_it_helps_nobody(words: str) -> None:
    assert NO_HELP in run(words, way="assessed").voice.lines


@pytest.mark.parametrize("words", HINTS)
def test_led_it_says_how_the_step_is_done(words: str) -> None:
    one = Run("I'm ready", words)
    assert "Pull them over the wrists." in one.voice.lines
    assert one.done == ()


@pytest.mark.parametrize("words", NEXT)
def test_led_it_names_the_step(words: str) -> None:
    lines = Run("I'm ready", words).voice.lines
    assert lines.count("Put on your gloves.") == 2, lines


@pytest.mark.parametrize("words", FINISHED)
@pytest.mark.parametrize("way", ["recall", "assessed"])
def test_a_quiet_coach_ends_after_a_yes(words: str, way: str) -> None:
    one = run("my gloves are on", words, "no", "the washer is whole", words, "yes", way=way)
    assert one.voice.lines.count(CONFIRM_STOP) == 2
    assert one.state.mode is Mode.ENDED
    assert one.done == ("gloves", "washer")


def test_led_who_is_done_is_done_with_the_step() -> None:
    """Which is credited as for "done": not where it has to be said aloud."""
    one = Run("I'm ready", "my gloves are on", "I'm done")
    assert one.voice.lines == Run("I'm ready", "my gloves are on", "done").voice.lines
    assert CONFIRM_STOP not in one.voice.lines


def test_who_does_not_know_an_answer_gives_none() -> None:
    """Asked for a yes or no, it is neither, and no request for help."""
    for words in ("I don't know", "no idea", "no clue"):
        meaning = understand(words, Context(expect=YES_NO))
        assert (meaning.answer, meaning.command) == (None, None), words


@pytest.mark.parametrize("words", ["skip that", "skip it", "leave that out"])
def test_a_step_is_left_out(words: str) -> None:
    assert understand(words, Context()).command is Command.SKIP


@pytest.mark.parametrize("words", ["say that again", "say it again please", "come again"])
def test_it_is_said_again(words: str) -> None:
    assert understand(words, Context()).command is Command.REPEAT
