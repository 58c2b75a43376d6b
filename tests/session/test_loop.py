"""The loop where time is real: lines take their time, silence is waited for, noise is no word."""

from __future__ import annotations

from bench_skill import bench_skill
from fakes import FakeClock, FakeEar, FakeJournal, FakeObserver, SlowVoice

from coach.dialogue.engine import new_state
from coach.dialogue.events import (
    DeviceReported,
    Heard,
    LineEnded,
    SessionStarted,
    SpeechEnded,
    SpeechStarted,
    TimerFired,
)
from coach.dialogue.state import State
from coach.hearing.hypothesis import Hypothesis
from coach.session.loop import LONGEST_WAIT_S, POLL_SECONDS, Ports, Session
from coach.session.ports import EarEvent, EarReported, SilencePassed, SpeechBegan, TextHeard


class WaitingEar(FakeEar):
    """Hears nothing for a number of looks before each event, while the clock goes on."""

    def __init__(self, clock: FakeClock, looks: int, *events: EarEvent | str | float) -> None:
        super().__init__(*events)
        self.waits: list[float] = []
        self._clock = clock
        self._looks = self._left = looks

    def next(self, timeout_s: float) -> EarEvent | None:
        self.waits.append(timeout_s)
        self._clock.skip(timeout_s)
        self._left -= 1
        if self._left >= 0:
            return None
        self._left = self._looks
        return super().next(timeout_s)


class Live:
    """One session in real time, played to its end."""

    def __init__(self, *events: EarEvent | str | float, looks: int = 8, speaks: int = 3) -> None:
        self.clock = FakeClock()
        self.ear = WaitingEar(self.clock, looks, *events)
        self.voice, self.journal = SlowVoice(speaks), FakeJournal()
        ports = Ports(self.clock, self.ear, self.voice, self.journal, FakeObserver())
        self.state: State = Session(new_state(bench_skill()), ports).run(
            SessionStarted(0.0, "bench")
        )

    def kinds(self) -> list[str]:
        return [type(event).__name__ for event in self.journal.events]


def test_the_end_of_a_line_is_an_event_and_the_nudge_counts_from_it() -> None:
    live = Live("I'm ready", looks=80)
    ended = [event.at_s for event in live.journal.events if isinstance(event, LineEnded)]
    begun = next(event.at_s for event in live.journal.events if isinstance(event, Heard))
    [nudge] = [event for event in live.journal.events if isinstance(event, TimerFired)]
    assert nudge.name == "nudge"
    after_it = min(at_s for at_s in ended if at_s > begun)
    assert nudge.at_s - after_it == 20.0


def test_a_speaking_voice_is_looked_at_often_silence_is_waited_for() -> None:
    live = Live("I'm ready")
    assert set(live.ear.waits) <= {POLL_SECONDS, LONGEST_WAIT_S}
    assert live.ear.waits[0] == POLL_SECONDS
    assert live.ear.waits[-1] == LONGEST_WAIT_S


def test_a_scripted_silence_passes_over_a_session_in_real_time() -> None:
    live = Live("I'm ready", SilencePassed(500.0))
    assert live.state.at_s < 60


def test_sound_without_words_is_the_end_of_speech() -> None:
    live = Live(SpeechBegan(), TextHeard(Hypothesis("", 0.0)), "I'm ready", looks=1)
    assert [e for e in live.kinds() if e.startswith("Speech")] == ["SpeechStarted", "SpeechEnded"]
    assert any(isinstance(event, SpeechStarted) for event in live.journal.events)
    assert any(isinstance(event, SpeechEnded) for event in live.journal.events)


def test_what_else_it_may_have_been_counts_where_the_first_means_nothing() -> None:
    odd = TextHeard(Hypothesis("purple gloves monkey", 1.0, second="my gloves are on"))
    assert Live("I'm ready", odd).state.done == {"gloves"}
    neither = TextHeard(Hypothesis("purple monkey", 1.0, second="a red one"))
    live = Live("I'm ready", neither)
    assert live.state.done == frozenset()
    heard = [event.meaning.text for event in live.journal.events if isinstance(event, Heard)]
    assert len(heard) == 1, "the first words count, and here nothing was asked"


def test_a_number_stands_after_real_silence() -> None:
    words = ("gloves on, washer fine, regulator on", "sixteen hundred psi")
    live = Live(*words, looks=20)
    assert "gauge" in live.state.done
    fired = [event.name for event in live.journal.events if isinstance(event, TimerFired)]
    assert "stand" in fired


def test_a_report_of_a_device_is_journalled_and_said() -> None:
    live = Live(EarReported("The microphone is gone."))
    assert any(isinstance(event, DeviceReported) for event in live.journal.events)
    assert "The microphone is gone." in live.voice.lines


def test_a_line_that_is_spoken_over_is_cut_off_and_said_again_when_it_was_noise() -> None:
    live = Live(SpeechBegan(), TextHeard(Hypothesis("", 0.0)), looks=1, speaks=50)
    assert live.voice.cuts >= 1
    assert live.voice.lines[0] == live.voice.lines[1]
