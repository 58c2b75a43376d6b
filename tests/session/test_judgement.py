"""What becomes of a turn: acted on, read back, asked for again, or let pass."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_session import Run

from coach.core.meaning import YES_NO, Command, Doubt, Kind, Meaning, Reading, StepMention
from coach.core.units import Quantity, Unit
from coach.dialogue.events import Heard, SpeechEnded
from coach.dialogue.state import Mode
from coach.hearing.hypothesis import Hypothesis
from coach.session.costs import LIMITS
from coach.session.judgement import judge, voice_after
from coach.session.moment import Moment
from coach.session.own_voice import (
    ENOUGH_TURNS,
    FIRST_TURN_DB,
    REMEMBERED_PASSED,
    UNKNOWN,
    OwnVoice,
    speech_dbfs,
)
from coach.session.ports import TextHeard
from coach.session.verdict import Decision, Verdict

ONE_WORD = Meaning("gloves", Kind.STEP, steps=(StepMention("gloves"),), confidence=0.9)
SENTENCE = Meaning("my gloves are on now", Kind.STEP, steps=(StepMention("gloves"),))
FLOW = Reading(Quantity.FLOW, (10.0,), Unit.LITRES_PER_MINUTE)
READING = Meaning("ten", Kind.READING, readings=(FLOW,))
YES = Meaning("yes", Kind.ANSWER, answer="yes", confidence=1.0)
NO = Meaning("no", Kind.ANSWER, answer="no", confidence=1.0)
TALK = Meaning("did you see the game last night")
ASKED = Moment(Quantity.FLOW)
READ_BACK = Moment(YES_NO, Quantity.FLOW)
A_LITTLE = 0.001


def judged(meaning: Meaning, sure: float, moment: Moment = ASKED) -> Verdict:
    return judge(meaning, Hypothesis(meaning.text, sure), moment)


def test_a_faint_word_is_only_likely() -> None:
    verdict = judged(ONE_WORD, LIMITS.step - A_LITTLE)
    assert (verdict.decision, verdict.meaning.steps) == (Decision.ASK_AGAIN, ())
    assert verdict.meaning.likely == ("gloves",)


def test_a_faint_sentence_still_counts_and_noise_does_not() -> None:
    assert LIMITS.sentence < LIMITS.step
    assert judged(SENTENCE, LIMITS.sentence).meaning.steps
    assert not judged(SENTENCE, LIMITS.sentence - A_LITTLE).meaning.steps


def test_a_number_heard_less_than_surely_needs_the_yes() -> None:
    sure, less = judged(READING, LIMITS.stands), judged(READING, LIMITS.stands - A_LITTLE)
    assert sure.decision is less.decision is Decision.READ_BACK
    assert sure.meaning.readings[0].doubt is None
    assert less.meaning.readings[0].doubt is Doubt.HEDGED


def test_a_number_hardly_heard_is_asked_for_again_and_no_step_offered_instead() -> None:
    verdict = judged(replace(READING, likely=("gloves",)), LIMITS.number - A_LITTLE)
    assert (verdict.decision, verdict.meaning) == (Decision.ASK_AGAIN, Meaning("ten"))


def test_a_number_out_of_range_is_a_slip_of_the_ear_unless_surely_heard() -> None:
    outside = replace(FLOW, values=(80.0,), doubt=Doubt.OUT_OF_RANGE)
    alone = Meaning("eighty", Kind.READING, readings=(outside,), likely=("gloves",))
    denied = replace(alone, text="no eighty", answer="no")
    assert judged(alone, LIMITS.out_of_range).meaning.readings == (outside,)
    slip = judged(alone, LIMITS.out_of_range - A_LITTLE)
    assert (slip.decision, slip.meaning) == (Decision.ASK_AGAIN, Meaning("eighty"))
    no = judged(denied, LIMITS.out_of_range - A_LITTLE, READ_BACK).meaning
    assert (no.kind, no.answer, no.readings) == (Kind.ANSWER, "no", ())


def test_a_number_nobody_asked_for_needs_a_yes_and_is_let_pass_if_faint() -> None:
    for moment in (Moment(), Moment(Quantity.PRESSURE), Moment(YES_NO, Quantity.PRESSURE)):
        assert judged(READING, LIMITS.unasked, moment).decision is Decision.READ_BACK
        assert judged(READING, LIMITS.unasked - A_LITTLE, moment).decision is Decision.IGNORE
        [number] = judged(READING, 0.999, moment).meaning.readings
        assert number.doubt is Doubt.HEDGED
    step = replace(READING, steps=(StepMention("flow"),))
    assert judged(step, LIMITS.unasked - A_LITTLE, Moment()).decision is Decision.READ_BACK


def test_a_no_is_obeyed_even_when_faint_and_a_faint_yes_asked_for_again() -> None:
    assert judged(NO, LIMITS.stop, READ_BACK).meaning.answer == "no"
    assert judged(YES, LIMITS.yes, READ_BACK).meaning.answer == "yes"
    faint = judged(YES, LIMITS.yes - A_LITTLE, READ_BACK)
    assert (faint.decision, faint.meaning.kind) == (Decision.ASK_AGAIN, Kind.NONE)


def test_a_faint_yes_with_a_number_does_not_let_it_stand() -> None:
    both = replace(READING, text="yes ten", answer="yes")
    heard = judged(both, LIMITS.yes - A_LITTLE, READ_BACK).meaning
    assert (heard.kind, heard.answer, heard.readings[0].values) == (Kind.READING, None, (10.0,))


def test_a_faint_no_drops_the_number_before_silence_lets_it_stand() -> None:
    faint = TextHeard(Hypothesis("no", 0.1))
    run = Run("I'm ready", "my gloves are on", "the washer is whole", "the regulator is on",
              "seventeen hundred", faint, 3.0)  # fmt: skip
    assert run.events("reading-offered") and not run.events("reading-stands")


@pytest.mark.parametrize("command", [Command.STOP, Command.QUIET, Command.PAUSE])
def test_stop_wait_and_the_real_thing_are_obeyed_even_when_faint(command: Command) -> None:
    meaning = Meaning("words", Kind.COMMAND, command=command)
    least = LIMITS.quiet if command is Command.QUIET else LIMITS.stop
    assert least < LIMITS.command
    assert judged(meaning, least).meaning.command is command
    assert judged(meaning, least - A_LITTLE).meaning.command is None, "any noise is a stop at 0.01"
    other = replace(meaning, command=Command.RESTART)
    assert judged(other, LIMITS.command - A_LITTLE).meaning.command is None


def test_a_second_opinion_is_taken_where_the_first_means_nothing() -> None:
    heard = TextHeard(Hypothesis("the regul ator is un", 0.6, second="my gloves are on now"))
    assert Run("I'm ready", heard).done == ("gloves",)


# talk that is not meant for the coach


def test_long_talk_without_a_word_of_the_moment_is_let_pass() -> None:
    assert len(TALK.text.split()) > LIMITS.unclear_words
    assert judged(TALK, 0.9, Moment()).decision is Decision.IGNORE
    few = Meaning("purple")
    assert judged(few, LIMITS.unclear, ASKED).decision is Decision.ASK_AGAIN
    assert judged(few, LIMITS.unclear - A_LITTLE, ASKED).decision is Decision.IGNORE
    assert judged(few, 0.99, Moment()).decision is Decision.IGNORE


def test_words_with_a_number_are_asked_about_where_one_was_asked_for() -> None:
    words = Meaning("it must have been something like nine of them")
    assert judged(words, 0.2, Moment(Quantity.FLOW)).decision is Decision.ASK_AGAIN
    assert judged(words, 0.2, Moment()).decision is Decision.IGNORE


def test_what_is_typed_or_said_after_the_coachs_name_is_never_let_pass() -> None:
    for typed, called in ((True, False), (False, True)):
        heard = TextHeard(Hypothesis(TALK.text, 0.2), typed, called)
        assert Run("I'm ready", heard).reply_to(1).startswith("Sorry")


def test_talk_draws_no_line_and_does_nothing() -> None:
    run = Run("I'm ready", TextHeard(Hypothesis(TALK.text, 0.9)))
    assert [event["text"] for event in run.events("let-pass")] == [TALK.text]
    assert "talk for somebody else" in run.events("let-pass")[0]["reason"]
    assert sum(isinstance(event, Heard) for event in run.journal.events) == 1
    assert any(isinstance(event, SpeechEnded) for event in run.journal.events)
    assert run.state.misses == 0


def test_while_silence_would_let_a_number_stand_nothing_is_let_pass() -> None:
    moment = replace(READ_BACK, silence_agrees=True)
    assert judged(TALK, 0.05, moment).decision is Decision.ASK_AGAIN
    assert judged(TALK, 0.05, READ_BACK).decision is Decision.IGNORE


def test_of_two_steps_none_is_chosen_by_words_hardly_heard() -> None:
    choosing = Moment(choosing=True)
    first = Meaning("the first one")
    assert judged(first, LIMITS.step, choosing).decision is Decision.ACT
    assert judged(first, LIMITS.step - A_LITTLE, choosing).decision is Decision.IGNORE


def test_while_paused_unclear_talk_is_let_pass() -> None:
    paused = Moment(mode=Mode.PAUSED)
    assert judged(Meaning("purple"), 0.9, paused).decision is Decision.IGNORE


# a neighbour


OWN = OwnVoice((-30.0,) * ENOUGH_TURNS)


def at_level(
    meaning: Meaning, level: float, moment: Moment = ASKED, own: OwnVoice = OWN
) -> Verdict:
    return judge(meaning, Hypothesis(meaning.text, 0.99, level_dbfs=level), moment, own)


def test_a_turn_far_fainter_than_the_learner_is_a_neighbours() -> None:
    far = -30.0 - LIMITS.fainter_db - 1
    for meaning in (READING, YES, ONE_WORD, TALK):
        verdict = at_level(meaning, far)
        assert (verdict.decision, verdict.neighbour) == (Decision.IGNORE, True)
        assert "fainter than the learner" in verdict.reason
    assert at_level(READING, -30.0 - LIMITS.fainter_db + 1).decision is Decision.READ_BACK


def test_a_stop_the_real_thing_and_a_no_to_a_number_count_whoever_says_them() -> None:
    for command in (Command.STOP, Command.QUIET):
        meaning = Meaning("words", Kind.COMMAND, command=command)
        assert at_level(meaning, -70.0).meaning.command is command
    assert at_level(NO, -70.0, READ_BACK).meaning.answer == "no"
    assert at_level(NO, -70.0, Moment()).decision is Decision.IGNORE


def test_a_neighbour_who_speaks_while_silence_would_agree_makes_the_yes_needed() -> None:
    verdict = at_level(READING, -70.0, replace(READ_BACK, silence_agrees=True))
    assert (verdict.decision, verdict.meaning) == (Decision.ASK_AGAIN, Meaning("ten"))


def test_before_the_learner_is_known_and_without_levels_nobody_is_a_neighbour() -> None:
    assert at_level(READING, -70.0, own=UNKNOWN).decision is Decision.READ_BACK
    assert judge(READING, Hypothesis("ten", 0.99), ASKED, OWN).decision is Decision.READ_BACK


def test_one_turn_tells_the_level_roughly() -> None:
    once = OwnVoice((-30.0,))
    near, far = -30.0 - LIMITS.fainter_db - 1, -30.0 - LIMITS.fainter_db - FIRST_TURN_DB - 1
    assert at_level(READING, near, own=once).decision is Decision.READ_BACK
    assert at_level(READING, far, own=once).neighbour


def test_the_level_is_the_middle_one_of_the_turns_that_counted() -> None:
    own = UNKNOWN
    for level in (-30.0, -10.0, -31.0, -60.0, -30.5):
        own = own.counted(Hypothesis("yes", 1.0, level_dbfs=level))
    assert own.behind_db(Hypothesis("yes", 1.0, level_dbfs=-40.5)) == pytest.approx(10.0)
    assert own.counted(Hypothesis("yes", 1.0)) == own


def test_who_turns_away_is_heard_when_he_tells_the_same_again() -> None:
    faint = Hypothesis("ten", 0.99, level_dbfs=-30.0 - LIMITS.fainter_db - 10)
    first = judge(READING, faint, ASKED, OWN)
    own = voice_after(OWN, faint, first)
    assert first.neighbour and own.let_pass
    assert judge(ONE_WORD, faint, ASKED, own).neighbour
    assert judge(YES, faint, READ_BACK, own.passed_over("")).neighbour
    assert judge(READING, faint, ASKED, own).decision is Decision.READ_BACK
    long_ago = own
    for _ in range(REMEMBERED_PASSED):
        long_ago = long_ago.passed_over("something else")
    assert judge(READING, faint, ASKED, long_ago).neighbour


def test_a_neighbour_who_goes_on_talking_does_not_get_in() -> None:
    own, faint = OWN, Hypothesis("ten", 0.99, level_dbfs=-30.0 - LIMITS.fainter_db - 4)
    for turn in range(30):
        own = own.passed_over(f"step {turn}")
    assert judge(READING, faint, ASKED, own).neighbour


def test_who_tells_a_step_again_that_was_hardly_heard_is_asked_about_it() -> None:
    hardly = Hypothesis(SENTENCE.text, LIMITS.likely - A_LITTLE)
    first = judge(SENTENCE, hardly)
    assert first.decision is Decision.IGNORE
    own = voice_after(UNKNOWN, hardly, first)
    again = judge(SENTENCE, hardly, own_voice=own)
    assert (again.decision, again.meaning.likely) == (Decision.ASK_AGAIN, ("gloves",))
    assert not again.meaning.steps, "it is asked about and not credited"
    other = Meaning("the mask is on my face", Kind.STEP, steps=(StepMention("fit"),))
    assert judge(other, hardly, own_voice=own).decision is Decision.IGNORE
    settled = voice_after(own, Hypothesis("ten", 1.0, level_dbfs=-30.0), judged(READING, 1.0))
    assert judge(SENTENCE, hardly, own_voice=settled).decision is Decision.IGNORE


def test_noise_under_the_speech_does_not_count_as_its_level() -> None:
    """Powers add: speech at -30 dBFS over noise at -30 dBFS measures -27 dBFS."""
    both = Hypothesis("yes", 1.0, level_dbfs=-26.99, noise_dbfs=-30.0)
    assert speech_dbfs(both) == pytest.approx(-30.0, abs=0.01)
    assert speech_dbfs(Hypothesis("yes", 1.0)) is None
    drowned = Hypothesis("yes", 1.0, level_dbfs=-30.0, noise_dbfs=-20.0)
    assert speech_dbfs(drowned) == pytest.approx(-40.0)


def test_a_neighbours_reading_does_not_count_in_a_session() -> None:
    def said(text: str, level: float = -28.0) -> TextHeard:
        return TextHeard(Hypothesis(text, 0.99, level_dbfs=level))

    own = ("I'm ready", "my gloves are on", "the washer is whole", "the regulator is on")
    run = Run(*map(said, own), said("nineteen hundred", -50.0), said("seventeen hundred"),
              said("yes"))  # fmt: skip
    assert [event["text"] for event in run.events("let-pass")] == ["nineteen hundred"]
    assert [event["value"] for event in run.events("reading-stands")] == [1700.0]


def test_a_question_for_the_dose_is_answered_wherever_it_is_heard_surely() -> None:
    asks = Meaning("what's the dose")
    for moment in (Moment(), Moment(mode=Mode.PAUSED), ASKED, Moment(YES_NO)):
        assert judged(asks, LIMITS.command, moment).decision is Decision.ACT
        assert judged(asks, LIMITS.command - A_LITTLE, moment).decision is not Decision.ACT
    assert judged(TALK, LIMITS.command, Moment()).decision is Decision.IGNORE
