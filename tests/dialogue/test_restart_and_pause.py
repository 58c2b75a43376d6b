"""Starting over, and what still counts while the session is paused."""

from __future__ import annotations

from bench_session import Run

from coach.dialogue.state import Mode

TO_THE_MASK = (
    "gloves on, washer fine, regulator on",
    "1600 psi",
    "yes",
    "12 liters a minute",
    "yes",
    "mask is on",
)
REFUSED = ("refused",)


def test_a_complication_comes_again_after_a_restart_and_not_before_its_time() -> None:
    run = Run(*TO_THE_MASK, "start over", "what's left", complications=REFUSED)
    assert "swap" not in run.summary.missed
    assert run.state.to_come == REFUSED
    assert run.state.choices == {}
    again = Run(*TO_THE_MASK, "start over", *TO_THE_MASK, complications=REFUSED)
    assert len(again.events("complication")) == 2


def test_a_restart_forgets_counts_and_keeps_the_manner_of_speaking() -> None:
    words = ("I'm ready", "slower", "louder", "shorter", "suctioning", 8.0, "out", "start over")
    run = Run(*words)
    assert run.summary.clocks == ()
    assert run.state.short and run.state.rate < 1 < run.state.volume
    assert len(Run(*words, "undo").summary.clocks) == 1


def test_undoing_a_restart_keeps_what_was_said_of_the_voice_since() -> None:
    run = Run("my gloves are on", "start over", "faster", "undo")
    assert run.done == ("gloves",)
    assert run.state.rate > 1


def test_a_number_in_question_at_a_restart_is_not_taken_for_right_when_it_is_undone() -> None:
    run = Run(TO_THE_MASK[0], "about sixteen hundred psi", "start over", "undo", "yes")
    assert "gauge" not in run.done


def test_a_restart_cannot_be_undone_once_something_was_done_after_it() -> None:
    run = Run("gloves on, washer fine", "start over", "my gloves are on", "undo", "undo")
    assert run.done == ()
    assert "nothing to take back" in " ".join(run.voice.lines)


def test_only_the_count_goes_on_while_paused() -> None:
    run = Run("suctioning", 3.0, "wait", "out, and my gloves are on")
    assert run.done == ("suction",)
    assert run.state.clock is None
    assert run.summary.clocks[0].seconds == 3


def test_a_pause_keeps_the_nudge_and_the_numbers_away() -> None:
    run = Run(TO_THE_MASK[0], "about sixteen hundred psi", "wait", 300.0, "yes")
    assert run.events("nudged") == []
    assert "gauge" not in run.done


def test_a_pause_before_the_beginning_waits_for_the_beginning() -> None:
    run = Run("wait", "I'm ready")
    assert run.events("begun") == [{}]
    assert run.state.mode is Mode.ENDED
