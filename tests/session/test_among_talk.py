"""Where others talk around the learner, only what is surely for the coach counts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.app.moment import moment_context
from coach.core.units import Quantity
from coach.hearing.hypothesis import Hypothesis
from coach.language.understand import understand
from coach.session.costs import LIMITS, among_talk
from coach.session.judgement import judge, voice_after
from coach.session.moment import Moment
from coach.session.own_voice import TALK_TURNS, UNKNOWN, OwnVoice
from coach.session.verdict import Decision, Verdict

CONTEXT, _ = moment_context("oxygen-cylinder", None, None)
TALK = Hypothesis("my cousin bought a red car last week and sold it", 0.5, level_dbfs=-26.0)
NO_LEAKS = Hypothesis("i hear no leaks around the regulator", 0.7, level_dbfs=-26.0)
SURE = replace(NO_LEAKS, confidence=0.95)
FAINT = replace(SURE, level_dbfs=-36.0)


def verdict_on(said: Hypothesis, voice: OwnVoice) -> Verdict:
    return judge(understand(said.text, CONTEXT), said, own_voice=voice)


def after(voice: OwnVoice, *said: Hypothesis) -> OwnVoice:
    for turn in said:
        voice = voice_after(voice, turn, verdict_on(turn, voice))
    return voice


def test_the_first_turns_of_talk_change_nothing() -> None:
    voice = after(UNKNOWN, *[TALK] * (TALK_TURNS - 1))
    assert not voice.among_talk
    assert verdict_on(NO_LEAKS, voice).decision is Decision.ACT


def test_among_talk_a_half_heard_step_is_asked_about_and_a_sure_one_counts() -> None:
    voice = after(UNKNOWN, *[TALK] * TALK_TURNS)
    assert voice.among_talk
    half = verdict_on(NO_LEAKS, voice)
    assert half.decision is Decision.ASK_AGAIN
    assert half.meaning.likely
    assert "0.90" in half.reason
    assert verdict_on(SURE, voice).decision is Decision.ACT


def test_what_was_surely_meant_for_the_coach_needs_no_more_than_ever() -> None:
    voice = after(UNKNOWN, *[TALK] * TALK_TURNS)
    meaning = understand(NO_LEAKS.text, CONTEXT)
    assert judge(meaning, NO_LEAKS, own_voice=voice, meant=True).decision is Decision.ACT


@pytest.mark.parametrize("said", ["stop", "wait"])
def test_a_stop_is_as_easy_as_ever(said: str) -> None:
    voice = after(UNKNOWN, *[TALK] * TALK_TURNS)
    assert verdict_on(Hypothesis(said, 0.2), voice).decision is Decision.ACT


def test_among_talk_words_only_like_those_of_a_step_are_asked_about() -> None:
    said = Hypothesis("i can't smell a leak on my regulator from here", 1.0)
    alike = understand(said.text, CONTEXT)
    assert alike.steps
    assert alike.confidence < 0.9
    assert verdict_on(said, UNKNOWN).decision is Decision.ACT
    assert verdict_on(said, after(UNKNOWN, *[TALK] * TALK_TURNS)).decision is Decision.ASK_AGAIN


def test_among_talk_a_number_out_of_range_in_a_sentence_without_its_unit_is_let_pass() -> None:
    context, _ = moment_context("nasal-airway", "size", "length")
    said = Hypothesis("i have got the ladder at six so it is no longer", 0.99, level_dbfs=-26.0)
    asked = Moment(expect=context.expect)
    meaning = understand(said.text, context)
    assert meaning.readings
    talk = after(UNKNOWN, *[TALK] * TALK_TURNS)
    assert judge(meaning, said, asked).decision is Decision.READ_BACK
    assert judge(meaning, said, asked, talk).decision is not Decision.READ_BACK


def test_turns_that_count_end_it() -> None:
    voice = after(UNKNOWN, *[TALK] * TALK_TURNS)
    assert not after(voice, *[SURE] * 5).among_talk


def test_silence_is_not_talk() -> None:
    assert after(UNKNOWN, *[Hypothesis("", 0.0)] * 9) == UNKNOWN


def test_a_faint_voice_that_tells_the_same_again_is_the_learners() -> None:
    voice = after(UNKNOWN, SURE, SURE)
    assert verdict_on(FAINT, voice).neighbour
    assert verdict_on(FAINT, after(voice, FAINT)).decision is Decision.ACT


def test_where_others_practise_twice_is_their_coach_and_their_learner() -> None:
    voice = after(UNKNOWN, SURE, SURE, *[TALK] * TALK_TURNS, FAINT)
    assert verdict_on(FAINT, voice).neighbour
    assert verdict_on(FAINT, after(voice, FAINT)).decision is Decision.ACT


def test_of_two_turns_the_fainter_tells_the_level_of_the_learner() -> None:
    loud, low = replace(SURE, level_dbfs=-20.0), replace(SURE, level_dbfs=-27.0)
    voice = after(UNKNOWN, loud, low)
    assert voice.behind_db(replace(SURE, level_dbfs=-30.0)) == pytest.approx(3.0)


def test_no_limit_is_lower_among_talk_but_how_faint_a_neighbour_is() -> None:
    stricter = among_talk(LIMITS)
    assert stricter.fainter_db < LIMITS.fainter_db
    for name in ("stands", "number", "out_of_range", "unasked", "yes", "command", "step"):
        assert getattr(stricter, name) >= getattr(LIMITS, name)
    assert stricter.stop == LIMITS.stop
    assert stricter.quiet <= LIMITS.command


def test_long_words_with_a_number_in_them_are_no_answer_among_talk() -> None:
    asked = Moment(expect=Quantity.PRESSURE)
    order = Hypothesis("i'd like two small ones and a large one for the others", 0.15)
    meaning = understand(order.text, CONTEXT)
    assert judge(meaning, order, asked).decision is Decision.ASK_AGAIN
    around = after(UNKNOWN, *[TALK] * TALK_TURNS)
    assert judge(meaning, order, asked, around).decision is Decision.IGNORE
    surer = replace(order, confidence=0.5)
    assert judge(meaning, surer, asked, around).decision is Decision.ASK_AGAIN
