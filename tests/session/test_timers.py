"""Timers count from now, or from the end of the coach's line."""

from __future__ import annotations

from coach.session.timers import Timers


def test_a_timer_fires_once_when_it_is_due() -> None:
    timers = Timers()
    timers.start("stand", 2.0, now_s=10.0)
    assert timers.take_due(11.9) is None
    assert timers.take_due(12.0) == "stand"
    assert timers.take_due(99.0) is None


def test_a_timer_started_while_the_coach_speaks_waits_for_the_end_of_the_line() -> None:
    timers = Timers()
    timers.start("stand", 2.0, now_s=None)
    assert timers.armed("stand")
    assert timers.next_due_s() is None
    timers.line_ended(30.0)
    assert timers.next_due_s() == 32.0


def test_the_one_due_longest_comes_first_and_a_new_one_replaces_the_old() -> None:
    timers = Timers()
    timers.start("nudge", 5.0, now_s=0.0)
    timers.start("stand", 2.0, now_s=0.0)
    timers.start("nudge", 1.0, now_s=0.0)
    assert [timers.take_due(9.0), timers.take_due(9.0), timers.take_due(9.0)] == [
        "nudge",
        "stand",
        None,
    ]


def test_a_cancelled_timer_is_forgotten() -> None:
    timers = Timers()
    timers.start("stand", 2.0, now_s=None)
    timers.cancel("stand")
    timers.line_ended(0.0)
    assert not timers.armed("stand")
