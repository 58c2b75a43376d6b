"""The seconds counted aloud: begun, gone on with, ended, over the limit, and taken back."""

from __future__ import annotations

from bench_session import Run
from bench_skill import bench_skill

from coach.core.meaning import Kind, Meaning, Part, StepMention
from coach.dialogue.clock import LONGEST_COUNT_S
from coach.dialogue.effects import CancelTimer, CutOff, Say, StartTimer
from coach.dialogue.engine import advance, new_state
from coach.dialogue.events import CONVERSATION, Heard, SessionStarted, TimerFired
from coach.dialogue.state import State
from coach.dialogue.turn import COUNT
from coach.report.summary import Count

STARTS = Meaning("suctioning", Kind.STEP, steps=(StepMention("suction", part=Part.CLOCK_START),))
ENDS = Meaning("out", Kind.STEP, steps=(StepMention("suction", part=Part.CLOCK_END),))


def counting(at_s: float = 2.0) -> State:
    """A session in which the count began at that second."""
    state, _ = advance(
        new_state(bench_skill()), SessionStarted(0.0, "bench", conversation=CONVERSATION)
    )
    state, _ = advance(state, Heard(at_s, STARTS))
    return state


def said(effects: tuple[object, ...]) -> list[str]:
    return [effect.text for effect in effects if isinstance(effect, Say)]


def test_the_first_second_is_due_a_second_after_the_word_whatever_is_being_said() -> None:
    state, _ = advance(new_state(bench_skill()), SessionStarted(0.0, "bench"))
    state, effects = advance(state, Heard(2.0, STARTS))
    assert StartTimer(COUNT, 1.0, at_once=True) in effects
    assert said(effects) == []
    assert state.clock is not None and state.clock.started_s == 2.0


def test_a_late_second_is_made_up_for() -> None:
    state, effects = advance(counting(), TimerFired(3.4, COUNT))
    assert said(effects) == ["One."]
    assert CutOff() in effects, "a number is said at its time"
    [timer] = [effect for effect in effects if isinstance(effect, StartTimer)]
    assert (timer.name, timer.at_once, round(timer.seconds, 6)) == (COUNT, True, 0.6)
    _, effects = advance(state, TimerFired(9.0, COUNT))
    [timer] = [effect for effect in effects if isinstance(effect, StartTimer)]
    assert timer.seconds == 0.05


def test_saying_it_again_does_not_begin_anew() -> None:
    state, _ = advance(counting(), Heard(4.0, STARTS))
    assert state.clock is not None and state.clock.started_s == 2.0
    _, effects = advance(state, Heard(5.5, ENDS))
    assert said(effects)[0].startswith("Out after three seconds.")


def test_a_yes_ends_what_was_asked_about_while_it_was_timed() -> None:
    """The word for its end was not heard surely: the learner must not be stuck in the count."""
    asked, effects = advance(counting(), Heard(5.0, Meaning("mumbling", likely=("suction",))))
    assert said(effects) == ["Is this done: the suction?"]
    state, effects = advance(asked, Heard(6.5, Meaning("yes", Kind.ANSWER, answer="yes")))
    assert said(effects)[0].startswith("Out after four seconds.")
    assert (state.clock, set(state.done)) == (None, {"suction"})


def test_a_plain_done_while_it_is_timed_asks_for_the_word_at_the_end_alone() -> None:
    done = Meaning("that's done", Kind.ANSWER, answer="yes", done_said=True)
    _, effects = advance(counting(), Heard(5.0, done))
    assert said(effects)[0] == 'Say "out" when you are out.'


def test_one_second_is_one_second() -> None:
    state, effects = advance(counting(), Heard(3.0, ENDS))
    assert said(effects)[0].startswith("Out after one second.")
    assert CancelTimer(COUNT) in effects
    assert state.clocks == (Count("suction", 1.0, 10),)
    assert state.done == {"suction"}


def test_exactly_the_limit_is_not_over_it() -> None:
    state, effects = advance(counting(), Heard(12.0, ENDS))
    assert said(effects)[0].startswith("Out after ten seconds. ")
    assert not state.clocks[0].over
    state, effects = advance(counting(), Heard(12.1, ENDS))
    assert "; the limit is ten." in said(effects)[0]
    assert state.clocks[0].over


def test_an_end_without_a_beginning_credits_nothing() -> None:
    state, _ = advance(new_state(bench_skill()), SessionStarted(0.0, "bench"))
    state, effects = advance(state, Heard(2.0, ENDS))
    assert (state.done, state.clocks) == (frozenset(), ())
    assert not any("Out after" in line for line in said(effects))


def test_a_step_that_is_done_is_not_counted_again() -> None:
    state, _ = advance(counting(), Heard(5.0, ENDS))
    state, effects = advance(state, Heard(7.0, STARTS))
    assert state.clock is None
    assert not any(isinstance(effect, StartTimer) and effect.name == COUNT for effect in effects)


def test_the_count_ends_by_itself_when_out_is_never_said() -> None:
    run = Run("suctioning", LONGEST_COUNT_S + 30.0)
    assert run.state.clock is None
    assert run.events("clock-stopped") == [{"step": "suction"}]
    assert run.done == ()
    assert len([line for line in run.voice.lines if line == "Sixty."]) == 1


def test_a_count_is_not_what_is_said_again() -> None:
    run = Run("I'm ready", "suctioning", 3.0, "say that again")
    assert run.reply_to(2).startswith("Put on your gloves.")


def test_an_undone_count_credits_nothing_and_leads_back() -> None:
    run = Run("suctioning", 3.0, "undo")
    assert (run.done, run.summary.clocks) == ((), ())
    assert run.state.clock is None
    assert "The count is stopped and taken back. Put on your gloves." in run.reply_to(1)


def test_silence_for_good_stops_the_count() -> None:
    run = Run("suctioning", 3.0, "this is real", 30.0)
    assert run.voice.lines[-1] == "Call for help now."
    assert run.state.clock is None


def test_nobody_is_nudged_while_counting() -> None:
    run = Run("suctioning", 40.0, "out")
    assert run.events("nudged") == []


def test_done_is_not_enough_where_seconds_have_to_be_counted() -> None:
    run = Run("gloves on", "next", "I withdrew the catheter")
    assert "suction" not in run.done
    assert 'say "suctioning" as you start and "out" when you are out' in run.reply_to(2).replace(
        "Say", "say"
    )


def test_the_limit_is_told_once_and_kept() -> None:
    run = Run("suctioning", 15.0, "out")
    assert run.events("clock-over") == [{"step": "suction", "limit_s": 10}]
    assert run.summary.clocks == (Count("suction", 15.0, 10),)


def test_a_complication_waits_for_the_count_and_its_word_is_kept() -> None:
    run = Run(
        "suctioning",
        2.0,
        "mask is on",
        1.0,
        "out",
        complications=("refused",),
    )
    assert "The patient pulls" not in run.reply_to(1)
    assert "Out after three seconds. The patient pulls the mask off." in run.reply_to(2)
