"""In a class: what is meant for the coach comes through, neighbours do not."""

from __future__ import annotations

import pytest
from bench_skill import bench_skill
from fakes import FakeClock, FakeEar, FakeJournal, FakeObserver, FakeVoice
from hypothesis import given
from hypothesis import strategies as st

from coach.app.moment import moment_context
from coach.core.errors import InputError
from coach.core.meaning import YES_NO
from coach.core.units import Quantity
from coach.dialogue.ending import summary_of
from coach.dialogue.engine import new_state
from coach.dialogue.events import Heard, SessionStarted, SpeechStarted
from coach.edges.skill_folders import skill_ids
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.session.loop import Ports, Session
from coach.session.ports import (
    EarClosed,
    EarEvent,
    EarReported,
    KeyHit,
    SilencePassed,
    SpeechBegan,
    TextHeard,
)
from coach.session.wake import OPEN_S, WakeEar, after_word, wake_word

QUESTION = Hint(YES_NO)


class Class:
    """A wake ear over scripted talk; times are the seconds of its clock."""

    def __init__(self, *events: EarEvent | str | float) -> None:
        self.inner = FakeEar(*events)
        self.now_s = 0.0
        self.speaking = False
        self.ear = WakeEar(self.inner, "coach", lambda: self.now_s, lambda: self.speaking)

    def all(self) -> list[EarEvent]:
        """Everything that comes through, to the end."""
        found: list[EarEvent] = []
        while not isinstance(event := self.ear.next(0.0), EarClosed):
            if event is not None:
                found.append(event)
        return found

    def texts(self) -> list[str]:
        """The words that come through."""
        return [e.hypothesis.text for e in self.all() if isinstance(e, TextHeard)]


def said(text: str, second: str | None = None, called: bool = False) -> TextHeard:
    return TextHeard(Hypothesis(text, 0.9, second), called=called)


@pytest.mark.parametrize(
    ("text", "rest"),
    [
        ("coach no leaks", "no leaks"),
        ("Coach, gauge says 1,700 PSI.", "gauge says 1,700 PSI."),
        ("couch what's left", "what's left"),
        ("co ch next", "next"),
        ("hey coach next", "next"),
        ("coach coach next", "next"),
        ("coach", ""),
        ("the coach told me so", None),
        ("my coach told me so", None),
        ("approach the bench", None),
        ("coat on the hook", None),
        ("touch it", None),
        ("next", None),
        ("", None),
    ],
)
def test_the_word_is_heard_as_recognisers_spell_it(text: str, rest: str | None) -> None:
    assert after_word(text, "coach") == rest


def test_a_word_of_two_parts() -> None:
    assert after_word("hey coach next", "hey coach") == "next"
    assert after_word("next", "hey coach") is None


def test_talk_without_the_word_is_dropped() -> None:
    assert Class("next", "my gloves are on", "coach my gloves are on").texts() == [
        "my gloves are on"
    ]


def test_a_neighbour_does_not_begin_to_speak_for_the_coach() -> None:
    talk = Class(SpeechBegan(), said("where is the mask"), SpeechBegan(), said("coach next"))
    assert talk.all() == [SpeechBegan(), said("next", called=True)]


@pytest.mark.parametrize("text", ["stop", "Stop!", "please stop", "this is real", "not a drill"])
def test_stop_and_this_is_real_always_pass(text: str) -> None:
    assert Class(SpeechBegan(), said(text)).all() == [SpeechBegan(), said(text)]


@pytest.mark.parametrize(
    "text", ["wait", "that's enough", "the bus stop is over there", "don't stop", "is this real"]
)
def test_other_words_like_stop_need_the_word(text: str) -> None:
    assert Class(text).texts() == []


def test_after_the_word_alone_one_thing_passes() -> None:
    assert Class("coach", "gloves on", "no leaks").texts() == ["gloves on"]


def test_the_word_alone_opens_for_six_seconds_of_silence() -> None:
    assert Class("coach", 6.0, "gloves on").texts() == ["gloves on"]
    assert Class("coach", 6.1, "gloves on").texts() == []


def test_noise_after_the_word_leaves_the_ear_open() -> None:
    talk = Class("coach", SpeechBegan(), said(""), SpeechBegan(), said("next"))
    assert talk.texts() == ["", "next"]


def test_what_begins_in_time_is_heard_to_its_end() -> None:
    talk = Class("coach", SpeechBegan(), said("next"))
    talk.ear.next(0.0)
    talk.now_s = OPEN_S
    assert talk.ear.next(0.0) == SpeechBegan()
    talk.now_s = OPEN_S + 5.0
    assert talk.ear.next(0.0) == said("next")


def test_a_key_comes_through_and_opens_the_ear() -> None:
    talk = Class(KeyHit("repeat"), SpeechBegan(), said("gloves on"), "next")
    assert talk.all() == [KeyHit("repeat"), SpeechBegan(), said("gloves on", called=True)]


def test_a_key_pressed_while_speaking_opens_the_ear_for_what_is_said() -> None:
    talk = Class(SpeechBegan(), KeyHit("repeat"), said("gloves on"))
    assert talk.all() == [KeyHit("repeat"), SpeechBegan(), said("gloves on", called=True)]


@pytest.mark.parametrize("expect", [YES_NO, Quantity.PRESSURE])
def test_a_question_opens_the_ear_until_it_is_answered(expect: str | Quantity) -> None:
    talk = Class("seventeen hundred", "where is the mask")
    talk.ear.listen(Hint(expect))
    assert talk.ear.next(0.0) == TextHeard(Hypothesis("seventeen hundred", 1.0), typed=True)
    talk.ear.listen(Hint())
    assert talk.texts() == []


def test_a_question_stays_open_six_seconds_after_its_line() -> None:
    talk = Class(said(""), said("yes"), said("no"))
    talk.speaking = True
    talk.ear.listen(QUESTION)
    talk.now_s = 10.0
    talk.ear.next(0.0)
    talk.speaking = False
    talk.now_s = 10.0 + OPEN_S
    assert talk.ear.next(0.0) == said("yes")
    talk.now_s += 0.1
    assert talk.texts() == []


def test_what_a_key_made_the_coach_say_is_waited_for() -> None:
    talk = Class(KeyHit("repeat"), SilencePassed(0.1), said("gloves on"))
    talk.ear.next(0.0)
    talk.speaking = True
    talk.now_s = OPEN_S - 1.0
    talk.ear.next(0.0)
    talk.speaking = False
    talk.now_s += OPEN_S - 1.0
    assert talk.ear.next(0.0) == said("gloves on", called=True)


def test_talk_from_before_a_question_is_no_answer_to_it() -> None:
    talk = Class(SpeechBegan(), said("yes"))
    assert talk.ear.next(0.0) is None
    talk.ear.listen(QUESTION)
    assert talk.all() == []


def test_the_second_opinion_may_hold_the_word() -> None:
    talk = Class(said("koltch no leeks", second="coach no leaks"))
    assert talk.texts() == ["no leaks"]


def test_reports_of_devices_pass() -> None:
    assert Class(EarReported("gone")).all() == [EarReported("gone")]


def test_the_recogniser_is_told_the_word() -> None:
    talk = Class()
    talk.ear.listen(Hint(YES_NO, ("no leaks",)))
    assert talk.inner.hints == [Hint(YES_NO, ("coach", "no leaks"))]


TURNS = st.sampled_from(["", "yes", "next", "coach", "coach next", "stop", "where is it"])


@given(st.lists(st.tuples(TURNS, st.booleans(), st.floats(0.0, 8.0))))
def test_every_beginning_of_talk_is_followed_by_its_words(
    turns: list[tuple[str, bool, float]],
) -> None:
    events = [e for text, _, silence in turns for e in (silence, SpeechBegan(), said(text))]
    talk = Class(*events)
    asked = [ask for _, ask, _ in turns]
    open_turn = False
    for number in range(len(events)):
        if number % 3 == 0 and asked[number // 3]:
            talk.ear.listen(QUESTION)
        for event in iter(lambda: talk.ear.next(0.0), None):
            if isinstance(event, SpeechBegan):
                assert not open_turn
                open_turn = True
            elif isinstance(event, TextHeard):
                assert open_turn
                open_turn = False
            elif isinstance(event, EarClosed):
                break
    assert not open_turn


@pytest.mark.parametrize("skill", skill_ids())
def test_coach_can_be_the_word_in_every_skill(skill: str) -> None:
    assert wake_word("Coach", moment_context(skill, None, None)[1].phrases) == "coach"


@pytest.mark.parametrize("text", ["", "max", "r2d2", "stop", "gloves", "yeah", "hello", "a b c d"])
def test_a_word_that_cannot_serve_is_refused(text: str) -> None:
    phrases = moment_context("oxygen-cylinder", None, None)[1].phrases
    with pytest.raises(InputError, match="--wake"):
        wake_word(text, phrases)


def test_a_session_in_a_class() -> None:
    clock, voice, journal = FakeClock(), FakeVoice(), FakeJournal()
    talk = Class(
        *(SpeechBegan(), said("ready"), SpeechBegan(), said("coach I'm ready")),
        *(SpeechBegan(), said("my gloves are on")),
        *(SpeechBegan(), said("coach"), SpeechBegan(), said("my gloves are on")),
        *(SpeechBegan(), said("this is not a step"), SilencePassed(1.0)),
        *(SpeechBegan(), said("coach the washer looks fine")),
    )
    ports = Ports(clock, talk.ear, voice, journal, FakeObserver(), clock.skip)
    state = Session(new_state(bench_skill()), ports).run(SessionStarted(0.0, "bench"))
    assert summary_of(state).done == ("gloves", "washer")
    heard = [event.meaning.text for event in journal.events if isinstance(event, Heard)]
    assert heard == ["i'm ready", "my gloves are on", "the washer looks fine"]
    assert sum(isinstance(event, SpeechStarted) for event in journal.events) == len(heard)
