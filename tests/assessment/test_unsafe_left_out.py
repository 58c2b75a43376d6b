"""A step that nothing hangs on may be unsafe to leave out: its file says so."""

from __future__ import annotations

from dataclasses import replace

from attempt_play import played
from benchmarks.written_attempts import Written, written_attempts

from coach.app.judging import rule_in_force
from coach.assessment.by_hand import ByHand, with_marks
from coach.report.attempt import Mark, Verdict

# Common practice, no source: the airway comes out as soon as a gag returns.
WHOLE = next(one for one in written_attempts() if "airway is out" in str(one.turns[-1]))
GAG = "remove"


def ending(*turns: str) -> Written:
    """The attempt without its last words, ended with these."""
    return replace(WHOLE, turns=(*WHOLE.turns[:-1], *turns, "end the session", "yes"))


def test_an_airway_left_against_a_gag_is_a_safety_failure() -> None:
    result = played(ending())
    (failure,) = result.failures
    assert (failure.about, failure.corrected) == (GAG, False)
    assert failure.what == "the removal when the gag returns left out"
    assert "vomit" in failure.because
    assert result.verdict is Verdict.NOT_YET


def test_the_whole_attempt_has_none() -> None:
    assert played(WHOLE).failures == ()


def test_what_was_not_due_was_not_left_out() -> None:
    """The gag comes after the breaths: who stops before them left no airway against it."""
    shorter = replace(WHOLE, turns=(*WHOLE.turns[:-3], "end the session", "yes"))
    result = played(shorter)
    assert {step.step: step.mark for step in result.steps}[GAG] is Mark.MISSED
    assert GAG not in {failure.about for failure in result.failures}


def test_a_person_who_saw_it_done_takes_the_failure_back() -> None:
    seen = ByHand(Mark.DONE, "R. Castellan")
    result = with_marks(played(ending()), {GAG: seen}, rule_in_force())
    assert (result.failures, result.verdict) == ((), Verdict.READY)
