"""The conversation played from words to lines, on the bench skill."""

from __future__ import annotations

import pytest
from bench_session import Run
from bench_skill import bench_skill

from coach.core.meaning import Command, Kind, Meaning
from coach.dialogue.effects import CutOff, Say
from coach.dialogue.engine import UnlawfulEventError, advance, new_state
from coach.dialogue.events import (
    Heard,
    InputEnded,
    KeyPressed,
    LineEnded,
    SessionStarted,
    SpeechEnded,
    SpeechStarted,
    TimerFired,
)
from coach.dialogue.state import Mode, ReadBack
from coach.session.ports import EarReported, KeyHit

STRAIGHT = (
    "I'm ready",
    "my gloves are on",
    "the washer looks fine",
    "the regulator is on",
    "seventeen hundred",
    "yes",
    "ten liters a minute",
    "yes",
    "face mask is on",
    "suctioning",
    8.0,
    "out",
)
ALL_DONE = ("gloves", "washer", "mount", "gauge", "flow", "fit", "suction")


def test_a_straight_run_does_everything_in_order() -> None:
    run = Run(*STRAIGHT)
    assert run.done == ALL_DONE
    assert run.summary.missed == ()
    assert run.summary.out_of_order == ()
    assert run.summary.oxygen_minutes == 24  # (1700 - 200) psi x 0.16 L/psi / 10 L/min
    assert run.state.mode is Mode.ENDED


def test_a_session_begins_and_ends_with_the_caution() -> None:
    run = Run(*STRAIGHT)
    assert "never patient care" in run.voice.lines[0]
    assert "medical direction decide" in run.voice.lines[0]
    assert "never patient care" in run.voice.lines[-1]


def test_no_line_is_longer_than_two_sentences() -> None:
    run = Run(*STRAIGHT, "help", "why", "how", "what's left", "how long have I got")
    for line in run.voice.lines:
        assert sum(line.count(mark) for mark in ".?!") <= 2, line


def test_a_safety_prerequisite_is_told_with_its_reason_and_nothing_is_credited() -> None:
    run = Run("I'm ready", "the regulator is on")
    assert run.done == ()
    assert "First the washer, because a bad washer leaks" in run.reply_to(1)
    assert run.events("too-early")[0]["safety"] is True


def test_order_within_a_sentence_counts_for_safety() -> None:
    assert Run("my gloves are on, regulator mounted and the washer is whole").done == (
        "gloves",
        "washer",
    )


def test_a_prerequisite_of_order_may_come_later_in_the_sentence() -> None:
    run = Run("the washer is fine", "the regulator is mounted and my gloves are on")
    assert set(run.done) == {"washer", "gloves", "mount"}


def test_early_steps_are_told_apart() -> None:
    run = Run("I'm ready", "the washer is whole", "my gloves are on")
    assert run.summary.out_of_order == ("washer",)


def test_a_denied_step_is_taken_back() -> None:
    run = Run("my gloves are on", "no wait my gloves are not on")
    assert run.done == ()
    assert run.events("taken-back") == [{"step": "gloves"}]


def test_undo_takes_back_what_was_credited_last() -> None:
    run = Run("gloves on and washer fine", "that's not what I said")
    assert run.done == ()


def test_done_is_asked_aloud_once_where_an_evaluator_must_hear_it() -> None:
    run = Run("I'm ready", "done", "done", "done")
    assert "aloud" in run.reply_to(2)
    assert run.done == ("gloves", "washer")
    assert run.events("not-said-aloud") == [{"step": "washer"}]


def test_a_number_stands_after_two_seconds_of_silence_if_it_was_sure() -> None:
    run = Run("gloves on, washer fine, regulator on", "sixteen hundred psi", 2.5)
    assert run.done[-1] == "gauge"
    assert run.events("reading-stands")[0]["how"] == "silence"
    assert "one six zero zero, sixteen hundred P S I" in run.reply_to(1).lower().replace(
        "p s i", "P S I"
    )


def test_a_number_does_not_stand_after_one_second() -> None:
    run = Run("gloves on, washer fine, regulator on", "sixteen hundred psi", 1.0, "no")
    assert "gauge" not in run.done


@pytest.mark.parametrize("number", ["fifteen", "about twelve"])
def test_a_doubtful_number_needs_the_yes(number: str) -> None:
    begin = ("gloves on, washer fine, regulator on", "sixteen hundred", "yes")
    assert "flow" not in Run(*begin, f"{number} liters a minute", 30.0).done
    assert "flow" in Run(*begin, f"{number} liters a minute", 30.0, "yes").done


def test_a_contradicted_number_is_replaced() -> None:
    run = Run(
        "gloves on, washer fine, regulator on", "eighteen hundred", "no, sixteen hundred", "yes"
    )
    assert run.summary.readings[0].value == 1600


def test_nothing_is_computed_from_a_number_that_does_not_stand() -> None:
    run = Run("gloves on, washer fine, regulator on", "1600 psi", "yes", "fifteen liters a minute")
    assert run.events("oxygen") == []


def test_a_flow_outside_the_range_of_the_device_leaves_the_step_open() -> None:
    begin = ("gloves on, washer fine, regulator on", "1600", "yes")
    run = Run(*begin, "four liters a minute", "yes")
    assert "flow" not in run.done
    assert "not the flow of this device" in run.reply_to(4)


def test_the_choice_of_device_changes_the_range() -> None:
    begin = ("gloves on, washer fine, regulator on", "1600", "yes", "nasal cannula")
    assert "flow" in Run(*begin, "four liters a minute", "yes").done


def test_minutes_follow_the_flow_and_the_time() -> None:
    run = Run(
        "gloves on, washer fine, regulator on",
        "1700 psi",
        "yes",
        "ten liters a minute",
        "yes",
        600.0,
        "how long have I got",
    )
    # (1700 - 200) x 0.16 = 240 L; ten minutes at 10 L/min use 100 L.
    assert "fourteen minutes of oxygen" in run.reply_to(5)


def test_a_reading_with_its_unit_is_taken_out_of_turn() -> None:
    run = Run("washer fine, gloves on, regulator on", "12 liters a minute", "yes")
    assert "flow" in run.done
    assert "flow" in run.summary.out_of_order


def test_the_seconds_are_counted_aloud_and_go_on_while_a_stop_is_asked() -> None:
    run = Run("suctioning", 3.0, "stop", 2.0, "no", 1.0, "out")
    counted = [line for line in run.voice.lines if line.split(".")[0] in {"One", "Four", "Six"}]
    assert [line.rstrip(".") for line in counted] == ["One", "Four", "Six"]
    assert run.summary.clocks[0].seconds == 6
    assert run.done == ("suction",)


def test_over_the_limit_is_said_and_kept() -> None:
    run = Run("suctioning", 12.0, "out")
    assert any("Ten: come out." in line for line in run.voice.lines)
    assert run.summary.clocks[0].over is True


def test_skip_is_refused_where_a_later_step_needs_it_for_safety() -> None:
    run = Run("my gloves are on", "skip it")
    assert "can't be left out" in run.reply_to(1)
    run = Run("I'm ready", "skip it")
    assert run.state.skipped == ("gloves",)


def test_next_credits_nothing() -> None:
    run = Run("I'm ready", "next", "next", "what's next")
    assert run.done == ()
    assert "Put on your gloves" in run.reply_to(3)


def test_back_asks_again_and_keeps_the_credit() -> None:
    run = Run("my gloves are on", "go back")
    assert "Back to your gloves" in run.reply_to(1)
    assert run.done == ("gloves",)


def test_start_over_can_be_undone() -> None:
    assert Run("my gloves are on", "start over").done == ()
    assert Run("my gloves are on", "start over", "undo").done == ("gloves",)


def test_stop_asks_first() -> None:
    run = Run("my gloves are on", "stop", "no", "the washer is whole")
    assert "Shall I end here?" in run.reply_to(1)
    assert run.done == ("gloves", "washer")
    assert Run("my gloves are on", "stop", "yes", "the washer is whole").done == ("gloves",)


def test_nothing_is_credited_while_paused() -> None:
    run = Run("I'm ready", "wait", "my gloves are on")
    assert run.done == ()
    assert Run("I'm ready", "wait", "go on", "my gloves are on").done == ("gloves",)


def test_the_real_thing_silences_everything() -> None:
    run = Run("my gloves are on", "this is real", "the washer is whole", "what's next", 60.0)
    assert run.voice.lines[-1] == "Call for help now."
    assert run.done == ("gloves",)


def test_what_is_not_understood_is_asked_then_offered_then_left_to_the_keys() -> None:
    run = Run("I'm ready", "purple monkey", "purple monkey", "purple monkey", "purple monkey")
    assert "did not get that" in run.reply_to(1)
    assert "Did you mean" in run.reply_to(2)
    assert "pedal" in run.reply_to(3)
    assert "pedal" not in run.reply_to(4)
    assert run.done == ()


def test_the_offer_can_be_answered() -> None:
    run = Run("I'm ready", "purple monkey", "purple monkey", "the first one")
    assert run.done == ("gloves",)


def test_one_nudge_then_quiet() -> None:
    run = Run("I'm ready", 300.0)
    assert len(run.events("nudged")) == 1


def test_keys_stand_for_words() -> None:
    run = Run("I'm ready", KeyHit("yes"), KeyHit("repeat"), KeyHit("next"))
    assert run.done == ("gloves",)


def test_a_complication_opens_steps_again_and_changes_the_device() -> None:
    run = Run(
        *STRAIGHT[:8],
        "mask is on",
        "swapped the mask",
        "4 l/min",
        "yes",
        complications=("refused",),
    )
    assert "pulls the mask off" in " ".join(run.voice.lines)
    assert run.done == ("gloves", "washer", "mount", "gauge", "fit", "swap", "flow")


def test_a_device_report_is_said() -> None:
    run = Run("I'm ready", EarReported("The microphone is gone: plug it in."))
    assert "The microphone is gone: plug it in." in run.voice.lines


def test_the_voice_can_be_changed() -> None:
    run = Run("I'm ready", "slower", "louder", "shorter", "my gloves are on")
    assert run.voice.settings[0][0] < 1.0
    assert run.voice.settings[1][1] > 1.0
    assert run.state.short


def test_every_event_is_journalled_and_replays_to_the_same_state() -> None:
    run = Run(*STRAIGHT[:7], "what's left", complications=("refused",))
    state = new_state(run.state.skill_file)
    for event in run.journal.events:
        state, _ = advance(state, event)
    assert state == run.state


def test_an_unlawful_event_is_an_error_and_leaves_the_state_as_it_was() -> None:
    state = new_state(bench_skill())
    heard = Heard(1.0, Meaning("hello"))
    with pytest.raises(UnlawfulEventError):
        advance(state, heard)
    ready, _ = advance(state, SessionStarted(5.0, "bench"))
    for event in (heard, SessionStarted(6.0, "bench"), KeyPressed(6.0, "escape")):
        with pytest.raises(UnlawfulEventError):
            advance(ready, event)
    assert (state.mode, ready.mode, ready.at_s) == (Mode.NEW, Mode.READY, 5.0)


def test_a_late_timer_changes_nothing() -> None:
    state, _ = advance(new_state(bench_skill()), SessionStarted(0.0, "bench"))
    after, effects = advance(state, TimerFired(1.0, "count"))
    assert effects == ()
    assert after.credits == ()


def test_the_coach_is_quiet_when_somebody_speaks_and_says_it_again_if_it_was_nothing() -> None:
    state, _ = advance(new_state(bench_skill()), SessionStarted(0.0, "bench"))
    state, effects = advance(state, SpeechStarted(1.0))
    assert CutOff() in effects
    again, effects = advance(state, SpeechEnded(2.0))
    assert [effect.text for effect in effects if isinstance(effect, Say)] == [state.last_said]
    understood, effects = advance(state, Heard(2.0, Meaning("next", Kind.COMMAND, Command.NEXT)))
    assert not understood.cut_short
    quiet, _ = advance(again, LineEnded(3.0))
    _, effects = advance(quiet, SpeechStarted(4.0))
    assert CutOff() not in effects


def test_a_number_not_made_out_is_asked_for_again_and_then_digit_by_digit() -> None:
    begin = "gloves on, washer fine, regulator on"
    run = Run(begin, "purple monkey", "purple monkey", "purple monkey", "1600", "yes")
    assert "What does it read, in P S I?" in run.reply_to(1)
    assert "digit by digit" in run.reply_to(2)
    assert "close to the microphone" in run.reply_to(3)
    assert "gauge" in run.done


def test_a_read_back_answered_by_something_unclear_needs_the_yes() -> None:
    run = Run("gloves on, washer fine, regulator on", "1600")
    state = new_state(bench_skill())
    for event in run.journal.events:
        if isinstance(event, TimerFired | InputEnded):
            break
        state, _ = advance(state, event)
    assert isinstance(state.pending, ReadBack)
    unclear, _ = advance(state, Heard(1.0, Meaning("purple monkey")))
    for before, done in ((state, True), (unclear, False)):
        after, _ = advance(before, TimerFired(9.0, "stand"))
        assert ("gauge" in after.done) is done
