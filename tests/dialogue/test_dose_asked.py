"""A question for the dose is answered in every state by where to look, and never by a number."""

from __future__ import annotations

import pytest
from bench_session import Run

from coach.dialogue import lines
from coach.dialogue.events import CONVERSATION
from coach.dialogue.state import Mode
from coach.edges.skill_files import load_skill
from coach.report.attempt import Way

QUESTIONS = ("what's the dose", "how much aspirin do i give", "how many milligrams")


@pytest.mark.parametrize("skill", ["aspirin", "epinephrine-auto-injector", "naloxone-nasal"])
def test_it_is_never_told_and_the_label_is_named(skill: str) -> None:
    run = Run("I'm ready", *QUESTIONS, skill_file=load_skill(skill))
    for number in (1, 2, 3):
        assert run.reply_to(number).startswith(lines.DOSE_NEVER_TOLD)
    assert not any(map(str.isdigit, lines.DOSE_NEVER_TOLD))
    assert run.state.misses == 0 and not run.events("not-understood")


def test_before_the_beginning_and_in_a_pause_too() -> None:
    run = Run(
        "what's the dose", "I'm ready", "wait", "what's the dose", "stop", "what's the dose", "no"
    )
    assert [run.reply_to(number) for number in (0, 3, 5)] == [lines.DOSE_NEVER_TOLD] * 3


@pytest.mark.parametrize("way", [Way.RECALL, Way.ASSESSED])
def test_a_quiet_coach_says_it_too_and_notes_nothing_unclear(way: Way) -> None:
    run = Run("I'm ready", "what's the dose", started={"way": way.value})
    assert run.reply_to(1).startswith(lines.DOSE_NEVER_TOLD)
    assert not run.events("unclear")


def test_a_session_that_was_silenced_stays_silent() -> None:
    run = Run("I'm ready", "this is real", "what's the dose")
    assert run.reply_to(2) == "" and run.state.mode is not Mode.RUNNING


def test_journals_of_before_come_to_what_they_came_to() -> None:
    before = Run("I'm ready", "what's the dose", started={"conversation": CONVERSATION - 1})
    assert before.reply_to(1).startswith("Sorry, I did not get that.")
    assert before.state.misses == 1
