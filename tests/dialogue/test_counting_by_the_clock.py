"""What is counted while the coach times it: the number asked for, and the rate it makes."""

from __future__ import annotations

import pytest
from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.core.meaning import Command, Kind, Meaning
from coach.core.units import Quantity, Unit
from coach.dialogue.effects import Say, StartTimer
from coach.dialogue.engine import advance, new_state
from coach.dialogue.events import Heard, SessionStarted, SpeechStarted, TimerFired
from coach.dialogue.moment import context_of
from coach.dialogue.state import State
from coach.dialogue.turn import INTERVAL
from coach.hearing.hypothesis import Hypothesis
from coach.language.understand import understand
from coach.procedure.skill_file import SkillFile
from coach.session.judgement import judge
from coach.session.likeliest import understood
from coach.session.moment import moment_of
from coach.session.verdict import Decision

BREATHS = """steps:
  - id: breaths
    name: the breaths
    say: Count the breaths, with a hand on the chest.
    why: A rate tells how hard they work.
    how: One rise and one fall is one breath.
    heard-as: {phrases: [i counted the breaths], keys: [count/counted breaths]}
    count:
      of: breaths
      seconds: "{no-fact.30}"
      low: "{no-fact.12}"
      high: "{no-fact.20}"
      outside: That is outside what is usual for an adult.
    sources: [common]
"""
STARTS = """      start: {phrases: [counting], keys: [count/counting breaths, counting now]}
      of:"""


def skill() -> SkillFile:
    return bench_skill(TEXT.replace("steps:\n", BREATHS, 1))


def run(*words: str | float) -> Run:
    return Run("I'm ready", *words, skill_file=skill())


def counting() -> State:
    state, _ = advance(new_state(skill()), SessionStarted(0.0, "bench"))
    state, _ = advance(state, heard(state, 1.0, "let's go"))
    state, _ = advance(state, heard(state, 2.0, "counting"))
    return state


def heard(state: State, at_s: float, words: str) -> Heard:
    return Heard(at_s, understand(words, context_of(state)))


def test_the_form_of_the_word_tells_whether_a_count_begins_or_is_done() -> None:
    text = TEXT.replace("steps:\n", BREATHS.replace("      of:", STARTS, 1), 1)
    begun = Run("let's go", "I'm counting his breaths now", skill_file=bench_skill(text))
    assert "Go." in begun.reply_to(1)
    done = Run("let's go", "I counted his breaths", skill_file=bench_skill(text))
    assert "as you start" in done.reply_to(1)


def test_the_number_told_with_counting_does_not_begin_it_again() -> None:
    text = TEXT.replace("steps:\n", BREATHS.replace("      of:", STARTS, 1), 1)
    played = Run(
        "let's go", "counting", 31.0, "I count eight breaths", "yes", skill_file=bench_skill(text)
    )
    assert "eight" in played.reply_to(2).lower()
    assert "Go." not in played.reply_to(2)
    assert "sixteen a minute" in played.reply_to(3)


def test_a_complication_opens_a_count_as_if_it_was_never_timed_and_the_rate_is_told() -> None:
    comes = """complications:
  - id: drops
    after: breaths
    announce: Breaths drop out.
    reopens: [breaths]
    sources: [common]
"""
    text = TEXT.replace("steps:\n", BREATHS, 1).replace("complications:\n", comes, 1)
    words = ("let's go", "counting", 31.0, "eight", "yes", "i counted the breaths")
    played = Run(*words, complications=("drops",), skill_file=bench_skill(text))
    assert "sixteen a minute. Breaths drop out." in played.reply_to(3)
    assert "as you start" in played.reply_to(4)


def test_a_rate_that_the_coach_did_not_time_is_counted_by_its_time() -> None:
    played = run("sixteen breaths a minute", "counting", 31.0, "eight", "yes")
    assert "as you start; I time thirty seconds" in played.reply_to(1)
    assert played.done == ("breaths",)


def test_the_coach_times_it_asks_and_tells_the_rate() -> None:
    played = run("counting now", 30.0, "eight", "yes")
    assert "Go." in played.reply_to(1)
    assert "Stop counting. How many breaths did you count?" in played.voice.lines
    assert "You counted eight in thirty seconds: sixteen a minute." in played.reply_to(3)
    assert played.done == ("breaths",)
    read = {reading.name: (reading.value, reading.unit) for reading in played.summary.readings}
    assert read == {"count": (8, Unit.COUNTED), "rate": (16, Unit.PER_MINUTE)}


# Doubled and multiplied by four, as textbooks have it (from memory: EMT and nursing texts).
@pytest.mark.parametrize(("seconds", "count", "rate"), [(30, 8, 16), (15, 4, 16), (60, 17, 17)])
def test_the_rate_is_the_textbook_one(seconds: int, count: int, rate: int) -> None:
    text = TEXT.replace("steps:\n", BREATHS.replace("no-fact.30", f"no-fact.{seconds}"), 1)
    played = Run(
        "counting", float(seconds), f"{count} breaths", "yes", skill_file=bench_skill(text)
    )
    assert played.events("rate-counted") == [
        {"step": "breaths", "count": count, "per_minute": rate}
    ]


def test_the_seconds_run_from_the_word_whatever_is_being_said() -> None:
    state, _ = advance(new_state(skill()), SessionStarted(0.0, "bench"))
    _, effects = advance(state, heard(state, 2.0, "i start counting now"))
    assert StartTimer(INTERVAL, 30.0, at_once=True) in effects


def test_numbers_said_while_counting_are_nothing() -> None:
    played = run("counting", "one two three", "four, five", "six", "yes", 30.0, "seven", "yes")
    assert played.done == ("breaths",)
    assert played.summary.readings[0].value == 7
    assert [data["text"] for data in played.events("counted-aloud")] == []
    assert [data["reason"] for data in played.events("let-pass")] == [
        "the learner counts aloud"
    ] * 4


def test_even_where_the_judgement_let_them_through() -> None:
    state = counting()
    for words in ("one two three four", "yes", "sixteen hundred psi", "i wonder"):
        after, effects = advance(state, heard(state, 5.0, words))
        assert after.readings == () and after.pending is None and after.misses == 0
        assert not any(isinstance(effect, Say) for effect in effects)


def test_the_recogniser_listens_for_numbers_meanwhile() -> None:
    assert context_of(counting()).expect is Quantity.COUNT


@pytest.mark.parametrize("words", ["stop", "this is real", "wait"])
def test_who_wants_to_stop_is_heard(words: str) -> None:
    state = counting()
    hypothesis = Hypothesis(words, 0.95)
    context = context_of(state)
    verdict = judge(understood(hypothesis, context), hypothesis, moment_of(state))
    assert verdict.decision is Decision.ACT
    after, _ = advance(state, Heard(5.0, verdict.meaning))
    assert after.interval is None


def test_a_faint_stop_among_the_counting_is_none() -> None:
    faint = Hypothesis("stop", 0.2)
    stop = Meaning("stop", Kind.COMMAND, command=Command.STOP, confidence=1.0)
    assert judge(stop, faint, moment_of(counting())).decision is Decision.IGNORE
    ready, _ = advance(new_state(skill()), SessionStarted(0.0, "bench"))
    assert judge(stop, faint, moment_of(ready)).decision is Decision.ACT


def test_a_number_before_anything_was_timed_is_not_taken() -> None:
    played = run("I counted eight breaths")
    assert 'Say "counting" as you start; I time thirty seconds and stop you.' in played.reply_to(1)
    assert played.done == ()
    assert played.summary.readings == ()


def test_done_is_not_enough_either() -> None:
    assert "I time thirty seconds" in run("done").reply_to(1)


def test_a_rate_outside_its_range_is_said_and_stands_when_it_is_insisted_on() -> None:
    played = run("counting", 30.0, "fourteen", "yes")
    reply = played.reply_to(3)
    assert "You counted fourteen in thirty seconds: twenty-eight a minute. That is outside" in reply
    assert played.done == ()
    assert run("counting", 30.0, "fourteen", "yes", "fourteen", "yes").done == ("breaths",)


def test_it_can_be_counted_anew() -> None:
    played = run("counting", 30.0, "fourteen", "yes", "counting", 30.0, "seven", "yes")
    assert played.done == ("breaths",)
    assert [reading.value for reading in played.summary.readings] == [7, 14]


def test_nothing_is_asked_back_about() -> None:
    played = run("counting", 30.0, "zero", "yes")
    assert "breaths" not in played.done


def test_an_undone_count_leads_back() -> None:
    played = run("counting", 5.0, "undo")
    assert "The count is stopped and taken back. Count the breaths" in played.reply_to(2)


def test_nobody_is_nudged_while_counting_and_a_late_timer_does_nothing() -> None:
    state = counting()
    _, effects = advance(state, TimerFired(22.0, "nudge"))
    assert effects == ()
    _, effects = advance(state, SpeechStarted(3.0))
    stopped, _ = advance(state, heard(state, 4.0, "undo"))
    _, effects = advance(stopped, TimerFired(32.0, INTERVAL))
    assert effects == ()
