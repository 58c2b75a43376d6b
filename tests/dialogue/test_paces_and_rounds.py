"""Beats for a step, and steps that are done again and again."""

from __future__ import annotations

import pytest
from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.dialogue.effects import CutOff, GivePace, Say, StartTimer
from coach.dialogue.engine import advance, new_state
from coach.dialogue.events import Heard, SessionStarted, SpeechStarted, TimerFired
from coach.dialogue.moment import context_of
from coach.dialogue.state import State
from coach.dialogue.turn import PACE
from coach.language.understand import understand
from coach.procedure.skill_file import SkillFile
from coach.session.ports import EarEvent, KeyHit
from coach.trade.pacing import Pattern

CPR = """steps:
  - id: compress
    name: the compressions
    say: Push on the chest.
    why: It moves the blood.
    how: With straight arms.
    heard-as: {phrases: [i compressed the chest], keys: [compressed chest]}
    pace:
      low: "{no-fact.100}"
      high: "{no-fact.120}"
      for-s: "{no-fact.17}"
      start: {phrases: [pushing now]}
      end: {phrases: [off the chest]}
      after: Hands off.
    sources: [common]
  - id: breathe
    name: the breaths
    say: Give the breaths.
    why: They bring oxygen.
    how: Watch the chest rise.
    heard-as: {phrases: [the chest rose], keys: [chest rose]}
    after: [{step: compress, because: the heart comes first, safety: true}]
"""
REPEATS = """repeats:
  - id: cycles
    name: cycle
    steps: [compress, breathe]
    times: "{no-fact.3}"
"""


def skill(repeats: str = "") -> SkillFile:
    text = TEXT.replace("steps:\n", CPR, 1)
    return bench_skill(text.replace("steps:\n", repeats + "steps:\n", 1))


def run(*words: EarEvent | str | float, repeats: str = "") -> Run:
    return Run("I'm ready", *words, skill_file=skill(repeats))


def paced() -> State:
    state, _ = advance(new_state(skill()), SessionStarted(0.0, "bench"))
    for at_s, words in ((1.0, "let's go"), (2.0, "pushing now")):
        state, _ = advance(state, Heard(at_s, understand(words, context_of(state))))
    return state


def test_the_beats_begin_with_the_word_and_end_by_themselves() -> None:
    played = run("pushing now", 17.0)
    assert played.voice.paces == [Pattern(110, 10).beats(17)]
    assert "compress" in played.done
    assert "Hands off. Give the breaths." in played.voice.lines


def test_a_word_ends_them_sooner() -> None:
    played = run("pushing now", 9.0, "off the chest")
    assert played.done == ("compress",)
    assert played.events("pace-ended") == [{"step": "compress", "seconds": 9.0}]


def test_counting_along_is_nothing_and_ends_nothing() -> None:
    state = paced()
    assert state.counting_aloud
    _, effects = advance(state, SpeechStarted(3.0))
    assert CutOff() not in effects
    for words in ("one two three four", "and twenty", "yes"):
        after, effects = advance(state, Heard(4.0, understand(words, context_of(state))))
        assert after.pace is not None
        assert not any(isinstance(effect, Say) for effect in effects)


# What people say with the beat, as they are taught to count (common practice, no source).
@pytest.mark.parametrize(
    "words",
    [
        "twenty eight twenty nine thirty breath breath",
        "one and two and three and",
        "twenty nine thirty and the chest rose one two",
        "nine ten pushing now one two three",
    ],
)
def test_what_keeps_time_tells_of_no_step(words: str) -> None:
    played = run("pushing now", 4.0, words, 3.0)
    assert played.events("step-done") == []
    assert len(played.voice.paces) == 1


def test_among_the_numbers_their_end_is_heard() -> None:
    played = run("pushing now", 4.0, "five six seven eight hands off the chest")
    assert played.done == ("compress",)
    assert "That was four seconds." in played.reply_to(2)


def test_what_has_to_last_is_not_done_by_ending_it() -> None:
    lasting = CPR.replace("      start:", '      least-s: "{no-fact.17}"\n      start:')
    file = bench_skill(TEXT.replace("steps:\n", lasting, 1))
    for early in ("off the chest", KeyHit("yes")):
        played = Run("pushing now", 9.0, early, 9.0, skill_file=file)
        assert played.done == ()
        assert "That was nine seconds. It has to last seventeen seconds." in played.voice.lines
        assert played.state.pace is None
    assert Run("pushing now", 17.0, skill_file=file).done == ("compress",)


def test_the_yes_of_a_key_or_pedal_ends_them() -> None:
    assert run("pushing now", 5.0, KeyHit("yes")).events("pace-ended") == [
        {"step": "compress", "seconds": 5.0}
    ]


def test_breaths_between_the_beats_are_credited_without_a_word() -> None:
    between = CPR.replace("because: the heart comes first, safety: true", "because: blood is first")
    text = TEXT.replace("steps:\n", between, 1)
    played = Run("pushing now", 5.0, "the chest rose", 12.0, skill_file=bench_skill(text))
    assert played.done == ("breathe", "compress")
    assert played.reply_to(1).startswith("Hands off. Put on your gloves.")
    assert len(played.voice.paces) == 1


def test_for_the_safety_of_the_order_begun_is_not_done() -> None:
    played = run("pushing now", 5.0, "the chest rose", 12.0)
    assert "First the compressions, because the heart comes first." in played.reply_to(2)
    assert played.done == ("compress",)


def test_a_question_is_answered_at_once_and_the_beats_go_on_behind_it() -> None:
    for words in ("what's left", "why", "louder"):
        state = paced()
        after, effects = advance(state, Heard(7.0, understand(words, context_of(state))))
        kinds = [type(effect) for effect in effects]
        assert kinds.index(CutOff) < kinds.index(Say) < kinds.index(GivePace), words
        [given] = [effect for effect in effects if isinstance(effect, GivePace)]
        # Five seconds are gone: the next beat of 110 a minute is the eleventh, 5.4545 s on.
        assert given.beats[0].at_s == pytest.approx(60 / 110 * 10 - 5.0)
        assert len(given.beats) == len(Pattern(110, 10).beats(17)) - 10
        assert after.pace == state.pace


def test_stop_ends_them_at_once() -> None:
    state = paced()
    for words in ("stop", "wait", "this is real", "undo"):
        after, effects = advance(state, Heard(4.0, understand(words, context_of(state))))
        assert after.pace is None, words
        assert CutOff() in effects
        late, effects = advance(after, TimerFired(19.0, PACE))
        assert "compress" not in late.done


def test_the_state_only_asks_for_the_beats() -> None:
    state, _ = advance(new_state(skill()), SessionStarted(0.0, "bench"))
    _, effects = advance(state, Heard(2.0, understand("pushing now", context_of(state))))
    assert StartTimer(PACE, 17.0, at_once=True) in effects
    assert [type(effect) for effect in effects if isinstance(effect, GivePace)] == [GivePace]


def test_done_is_not_enough() -> None:
    assert 'Say "pushing now", and I give the pace.' in run("done").reply_to(1)


def test_a_cycle_is_opened_anew_until_it_was_often_enough() -> None:
    one = ("pushing now", 17.0, "the chest rose")
    played = run(*one, *one, *one, repeats=REPEATS)
    assert [data["number"] for data in played.events("round")] == [2, 3]
    assert "Cycle two of three. Push on the chest." in played.reply_to(2)
    assert played.done == ("compress", "breathe")
    assert "Put on your gloves." in played.reply_to(6)


def test_the_end_of_the_beats_is_told_though_a_round_begins_with_it() -> None:
    alone = REPEATS.replace("[compress, breathe]", "[compress]")
    played = run("pushing now", 17.0, repeats=alone)
    assert "Hands off; cycle two of three. Push on the chest." in played.voice.lines


def test_the_order_counts_in_every_cycle() -> None:
    played = run("pushing now", 17.0, "the chest rose", "the chest rose", repeats=REPEATS)
    assert "First the compressions, because the heart comes first." in played.reply_to(3)


def test_it_ends_when_it_was_long_enough() -> None:
    timed = REPEATS.replace(
        'times: "{no-fact.3}"', 'times: "{no-fact.9}"\n    for-s: "{no-fact.30}"'
    )
    one = ("pushing now", 17.0, "the chest rose")
    played = run(*one, *one, *one, repeats=timed)
    assert [data["number"] for data in played.events("round")] == [2]
    assert played.done == ("compress", "breathe")


def test_starting_over_begins_with_the_first_cycle() -> None:
    one = ("pushing now", 17.0, "the chest rose")
    played = run(*one, "start over", *one, repeats=REPEATS)
    assert [data["number"] for data in played.events("round")] == [2, 2]


def test_the_report_tells_how_many_cycles_were_done() -> None:
    one = ("pushing now", 17.0, "the chest rose")
    begun = run(*one, *one, "pushing now", 3.0, repeats=REPEATS).summary.rounds
    whole = run(*one, *one, *one, repeats=REPEATS).summary.rounds
    assert [(rounds.done, rounds.times) for rounds in (*begun, *whole)] == [(2, 3), (3, 3)]
    assert run("the chest rose", repeats=REPEATS).summary.rounds == ()
