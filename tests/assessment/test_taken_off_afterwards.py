"""What is taken off when all that hangs on it is done is no step undone."""

from __future__ import annotations

from dataclasses import replace

from attempt_play import played
from benchmarks.written_attempts import FRESH, Written, written_attempts

from coach.report.attempt import Mark, Result

SHARPS = next(one for one in written_attempts(FRESH) if one.skill == "sharps")


def mark_of_gloves(result: Result) -> Mark:
    return {step.step: step.mark for step in result.steps}["gloves"]


def before(turn: str, *said: str) -> Written:
    """The attempt with more said before a turn that begins so."""
    place = next(n for n, one in enumerate(SHARPS.turns) if str(one).startswith(turn))
    return replace(SHARPS, turns=(*SHARPS.turns[:place], *said, *SHARPS.turns[place:]))


def test_gloves_that_come_off_at_the_end_were_on() -> None:
    """What has to come after the gloves was done; then they are taken off to wash."""
    assert any("gloves off" in str(turn) for turn in SHARPS.turns)
    assert mark_of_gloves(played(SHARPS)) is Mark.DONE


def test_gloves_that_come_off_before_what_needs_them_are_missed() -> None:
    assert mark_of_gloves(played(before("sharp out", "gloves off"))) is Mark.MISSED


def test_what_was_never_on_stays_missed_though_it_is_told_at_the_end() -> None:
    assert mark_of_gloves(played(before("ow", "I never had my gloves on"))) is Mark.MISSED
