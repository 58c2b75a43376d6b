"""A step that was not heard: the coach says what it waits for, and later ones are not lost."""

from __future__ import annotations

from typing import Any

import pytest
from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.app.judging import rule_in_force
from coach.assessment.scoring import score
from coach.dialogue.events import SessionStarted
from coach.report.attempt import Mark, Result
from coach.session.journal_contents import JournalContents
from coach.session.journal_lines import JournalClosed, JournalOpened

MOUNT = "the regulator is on"
ASKED = "Mount the regulator: or is that done, as you told me, and after the washer?"
BEGAN = "2026-03-04T19:05:00+01:00"


def test_what_was_told_early_is_asked_about_and_counts_after_a_yes_only() -> None:
    """The washer was looked at and not heard; nobody has to say all of the rest again."""
    one = Run("I'm ready", "gloves on", MOUNT, "the washer is whole", "yes")
    assert one.reply_to(2) == "First the washer, because a bad washer leaks."
    assert one.reply_to(3) == f"Got it: the washer. {ASKED}"
    assert one.done == ("gloves", "washer", "mount")
    no = Run("I'm ready", "gloves on", MOUNT, "the washer is whole", "no", "next")
    assert no.done == ("gloves", "washer")
    assert no.reply_to(4) == "Mount the regulator."


@pytest.mark.parametrize(
    "words",
    [
        (MOUNT, "the regulator is not on", "the washer is whole", "yes"),
        ("the regulator is not on", "the washer is whole", "yes"),
    ],
)
def test_what_was_taken_back_or_denied_meanwhile_is_not_asked_about(words: tuple[str, ...]) -> None:
    """Then it has to be told anew."""
    one = Run("I'm ready", "gloves on", *words)
    assert "as you told me" not in " ".join(one.voice.lines)


def test_it_is_asked_about_once_and_talk_of_it_answers() -> None:
    """Told again, it counts by what is said now."""
    one = Run("I'm ready", "gloves on", MOUNT, "the washer is whole", MOUNT, "what's next")
    assert one.done == ("gloves", "washer", "mount")
    assert " ".join(one.voice.lines).count("as you told me") == 1


def test_the_coach_names_what_it_waits_for() -> None:
    """Told of the gauge, only the regulator was named, which cannot be mounted yet either."""
    said = Run("I'm ready", "gloves on", "I read the gauge", "next").reply_to(2)
    assert said == (
        "First the regulator, because there is no gauge before; I am still waiting for the washer."
    )


def test_a_number_of_a_step_told_early_is_asked_for() -> None:
    """The yes tells that the gauge was read, and not what it read."""
    one = Run(
        "I'm ready", "gloves on", "I read the gauge", "washer fine, regulator on", "yes", "next"
    )
    assert "or is that done, as you told me" in one.reply_to(3)
    assert "gauge" not in one.done
    assert one.reply_to(4) == "What does it read, in P S I?"


def test_what_is_timed_is_done_anew() -> None:
    """Nobody asks whether seconds ran that were never counted."""
    text = "    after: [{step: gloves, because: hands stay clean}]\n    clock:\n      limit-s"
    skill = bench_skill(TEXT.replace("    clock:\n      limit-s", text))
    one = Run("I'm ready", "suctioning", "gloves on", skill_file=skill)
    assert "as you told me" not in " ".join(one.voice.lines)


def scored(*words: str, **started: Any) -> Result:
    one = Run(*words, started=started)
    opened = JournalOpened("bench", BEGAN, "0", attempt="a" * 32)
    closed = JournalClosed(BEGAN)
    contents = JournalContents(opened, tuple(one.journal.events), closed, False, (), 0)
    return score(contents, bench_skill(), rule_in_force())


def test_what_was_never_asked_about_is_unclear_and_not_missed() -> None:
    """What came first was never heard: what was told after it may well be done."""
    words = ("I'm ready", "gloves on", MOUNT)
    marks = {step.step: step.mark for step in scored(*words).steps}
    assert (marks["washer"], marks["mount"]) == (Mark.MISSED, Mark.UNCLEAR)
    denied = scored(*words, "the washer is whole", "no")
    assert {step.step: step.mark for step in denied.steps}["mount"] is Mark.MISSED


def test_a_journal_of_before_comes_to_what_it_came_to() -> None:
    """It does not say how it was talked, so nothing is asked that was not asked then."""
    words = ("I'm ready", "gloves on", MOUNT, "the washer is whole", "yes")
    old = Run(*words[:4], started={"conversation": 1})
    assert old.done == ("gloves", "washer")
    assert "as you told me" not in " ".join(old.voice.lines)
    result = scored(*words[:3], conversation=1)
    assert {step.step: step.mark for step in result.steps}["mount"] is Mark.MISSED
    assert SessionStarted(0.0, "bench").conversation == 1
