"""What an ear makes of sound: the learner's words, never the coach's own.

In these tests the sound is a row of steady levels, each standing for a word, so that the fake
recogniser hears exactly what it is given: a word lasts 0.4 s, digits of the level's table below.
"""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest
from rig import running_rig

from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.core.units import Quantity
from coach.edges.convert import convert
from coach.edges.embedded_recogniser import EmbeddedRecogniser
from coach.edges.listening import TROUBLES, SoundEar
from coach.edges.loudspeaker import Loudspeaker
from coach.edges.microphone import BACK, GONE, Microphone
from coach.edges.segmenter import TOO_LOUD
from coach.edges.spoken_voice import SpokenVoice
from coach.edges.synthesiser import SystemSynthesiser
from coach.edges.voice_activity import VoiceActivity
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.hearing.signal import Trouble
from coach.session.ports import (
    Ear,
    EarClosed,
    EarEvent,
    EarReported,
    KeyHit,
    Recogniser,
    SpeechBegan,
    TextHeard,
)

pytestmark = pytest.mark.live

WORDS = tuple("check the gauge and read pressure stop yes right mumble forty".split())
WORD_S = 0.4
BLOCK = 480
LINE = "Check the gauge and read the pressure. Right?"


def level(word: str) -> float:
    return 0.05 * (1 + WORDS.index(word))


def speech(text: str) -> Samples:
    parts = [np.full(round(WORD_S * SAMPLE_RATE_HZ), level(word)) for word in text.split()]
    return np.concatenate(parts).astype(np.float32)


def quiet(seconds: float) -> Samples:
    return np.zeros(round(seconds * SAMPLE_RATE_HZ), dtype=np.float32)


class Levels:
    """Speech is whatever is not silent."""

    def probability(self, window: Samples) -> float:
        """One for sound, nought for silence."""
        return float(np.abs(window).mean() > 0.01)

    def reset(self) -> None:
        """Nothing is remembered."""


class LevelRecogniser:
    """Reads the words back from their levels; half a word is none."""

    name = "levels"

    def __init__(self) -> None:
        self.hints: list[Hint] = []

    def hear(self, samples: Samples, hint: Hint) -> Hypothesis:
        """The words whose level lasts at least 0.2 s."""
        self.hints.append(hint)
        words: list[str] = []
        numbers = np.round(samples / 0.05).astype(int)
        for run in np.split(numbers, np.flatnonzero(np.diff(numbers)) + 1):
            if len(run) and run[0] > 0 and len(run) >= 0.2 * SAMPLE_RATE_HZ:
                words.append(WORDS[run[0] - 1])
        return Hypothesis(" ".join(words), 0.1 if set(words) == {"mumble"} else 0.9)


@dataclass
class Part:
    """Sound, and what the coach says meanwhile."""

    samples: Samples
    line: str = ""


class ScriptedSource:
    """Gives parts block by block; while a part is given, the coach speaks its line."""

    def __init__(self, *parts: Part | EarReported) -> None:
        self.line = ""
        self.closed = False
        self._given = self._blocks(parts)
        self.over = threading.Event()

    def read(self, timeout_s: float) -> Samples | EarReported | None:
        """The next block."""
        given = next(self._given, None)
        if given is None:
            self.over.set()
            time.sleep(0.005)
        return given

    def waiting_s(self) -> float:
        """Nothing waits: the ear keeps up."""
        return 0.0

    def close(self) -> None:
        """Noted."""
        self.closed = True

    def speaking(self) -> bool:
        """Whether the coach speaks in this part."""
        return self.line != ""

    def last_line(self) -> str:
        """What the coach speaks in this part."""
        return self.line

    def _blocks(self, parts: tuple[Part | EarReported, ...]) -> Iterator[Samples | EarReported]:
        for part in parts:
            if isinstance(part, EarReported):
                yield part
                continue
            for begin in range(0, len(part.samples), BLOCK):
                self.line = part.line
                yield part.samples[begin : begin + BLOCK]
        self.line = ""


def ear_on(
    source: ScriptedSource, hears_itself: bool = True, recogniser: Recogniser | None = None
) -> SoundEar:
    return SoundEar(
        source,
        recogniser or LevelRecogniser(),
        Levels(),
        source.speaking,
        source.last_line,
        hears_itself=hears_itself,
    )


def heard_from(*parts: Part | EarReported, hears_itself: bool = True) -> list[EarEvent]:
    """Every event of a script, without EarClosed."""
    source = ScriptedSource(*parts)
    ear: Ear = ear_on(source, hears_itself)
    assert source.over.wait(30.0)
    ear.close()
    events: list[EarEvent] = []
    while not isinstance(event := ear.next(1.0), EarClosed):
        assert event is not None
        events.append(event)
    assert source.closed
    return events


def texts(events: list[EarEvent]) -> list[str]:
    return [event.hypothesis.text for event in events if isinstance(event, TextHeard)]


def test_speech_is_told_at_its_beginning_and_as_words_at_its_end() -> None:
    events = heard_from(Part(quiet(1.0)), Part(speech("check the gauge")), Part(quiet(1.0)))
    began, words = events
    assert began == SpeechBegan()
    assert isinstance(words, TextHeard)
    assert words.hypothesis.text == "check the gauge"
    assert words.hypothesis.lasted_s == pytest.approx(3 * WORD_S, abs=0.07)
    assert words.hypothesis.signal_to_noise_db is not None
    # Digital silence before it has no logarithm: the floor of the endpointer stands for it.
    assert words.hypothesis.noise_dbfs == pytest.approx(-100.0)
    levels = np.array([level(word) for word in "check the gauge".split()])
    assert words.hypothesis.level_dbfs == pytest.approx(10 * np.log10(np.mean(levels**2)), abs=1.0)
    assert not words.typed


def test_sound_without_words_ends_the_turn_with_nothing() -> None:
    click = np.full(round(0.15 * SAMPLE_RATE_HZ), 0.3, dtype=np.float32)
    events = heard_from(Part(quiet(0.5)), Part(click), Part(quiet(1.0)))
    assert events[0] == SpeechBegan()
    assert texts(events) == [""]


def test_the_coachs_own_line_in_the_microphone_is_nothing() -> None:
    line = speech("check the gauge and read the pressure right")
    assert heard_from(Part(quiet(0.2)), Part(line, LINE), Part(quiet(1.0))) == []


class SlowMachine(ScriptedSource):
    """Everything waits to be read, and is read when the coach has long finished its line."""

    def __init__(self, line: str, *parts: Part | EarReported) -> None:
        super().__init__(*parts)
        self._said = line
        self._left = sum(len(part.samples) for part in parts if isinstance(part, Part))

    def read(self, timeout_s: float) -> Samples | EarReported | None:
        """The next block."""
        given = super().read(timeout_s)
        self._left -= len(given) if isinstance(given, np.ndarray) else 0
        return given

    def waiting_s(self) -> float:
        """All that is left."""
        return self._left / SAMPLE_RATE_HZ

    def last_line(self) -> str:
        """The last that was said."""
        return self._said


def test_on_a_slow_machine_the_coachs_line_is_nothing_when_it_is_read_late() -> None:
    """On one with ten times the work it has cores for, "a patient" of the coach's own was taken."""
    line = speech("check the gauge and read the pressure right")
    source = SlowMachine(LINE, Part(quiet(0.2)), Part(line), Part(quiet(1.0)))
    ear = ear_on(source)
    assert source.over.wait(30.0)
    ear.close()
    assert ear.next(1.0) == EarClosed()


def test_on_a_slow_machine_other_words_than_the_coachs_are_the_learners() -> None:
    words = speech("stop stop yes")
    source = SlowMachine("Tell me more.", Part(quiet(0.2)), Part(words), Part(quiet(1.0)))
    ear = ear_on(source)
    assert source.over.wait(30.0)
    ear.close()
    assert ear.next(1.0) == SpeechBegan()


def test_a_misheard_echo_is_nothing_either() -> None:
    line = speech("check the gauge mumble read the pressure right")
    assert heard_from(Part(quiet(0.2)), Part(line, LINE), Part(quiet(1.0))) == []


@pytest.mark.parametrize(
    ("words", "line"),
    [
        # The rest that an echo canceller leaves is hardly words.
        ("mumble mumble", LINE),
        # The line has digits, a recogniser hears words.
        ("forty forty", "Read 40."),
    ],
)
def test_no_garbled_echo_is_taken_for_the_learner(words: str, line: str) -> None:
    assert heard_from(Part(quiet(0.2)), Part(speech(words), line), Part(quiet(1.0), line)) == []


class TwoEars(LevelRecogniser):
    """With a larger ear that knows the coach's line in any sound."""

    def hear(self, samples: Samples, hint: Hint) -> Hypothesis:
        """The words, and beside them the line."""
        return replace(super().hear(samples, hint), second_ear=(LINE, 0.9))


@pytest.mark.parametrize(("line", "second"), [(LINE, None), ("", (LINE, 0.9))])
def test_a_larger_ear_does_not_count_while_the_coach_speaks(
    line: str, second: tuple[str, float] | None
) -> None:
    words = "stop stop yes yes yes"
    source = ScriptedSource(Part(quiet(0.2)), Part(speech(words), line), Part(quiet(1.0)))
    ear = ear_on(source, recogniser=TwoEars())
    while not isinstance(event := ear.next(10.0), TextHeard):
        assert event is None or isinstance(event, SpeechBegan)
    assert event.hypothesis.text
    assert event.hypothesis.second_ear == second
    ear.close()


def test_stop_over_the_coach_is_told_while_the_coach_still_speaks() -> None:
    source = ScriptedSource(
        Part(quiet(0.2), LINE), Part(speech("stop stop"), LINE), Part(quiet(60.0), LINE)
    )
    began_during: list[bool] = []
    ear = ear_on(source)
    while not isinstance(event := ear.next(10.0), SpeechBegan):
        assert event is None
    began_during.append(source.speaking())
    while not isinstance(event := ear.next(10.0), TextHeard):
        assert event is None
    assert event.hypothesis.text == "stop"
    ear.close()


class CutAmidAWord(LevelRecogniser):
    """Hears, in the first look into a turn that is still open, the beginning of "stomach"."""

    def __init__(self) -> None:
        super().__init__()
        self.looks = 0

    def hear(self, samples: Samples, hint: Hint) -> Hypothesis:
        """What such a look was really heard as, then the words."""
        self.looks += 1
        return Hypothesis("to the stop", 0.86) if self.looks == 1 else super().hear(samples, hint)


def test_the_beginning_of_a_word_of_the_coachs_is_no_call() -> None:
    line = speech("check the gauge and read the pressure right")
    said = f"{LINE} stomach"
    recogniser = CutAmidAWord()
    source = ScriptedSource(Part(quiet(0.2)), Part(line, said), Part(quiet(1.0)))
    ear = ear_on(source, recogniser=recogniser)
    assert source.over.wait(30.0)
    ear.close()
    assert ear.next(1.0) == EarClosed()
    assert recogniser.looks > 2


def test_stop_over_a_word_that_begins_like_it_is_heard_all_the_same() -> None:
    """It may be the beginning of "stomach" at the first look, and is none at the second."""
    line = f"{LINE} stomach"
    source = ScriptedSource(
        Part(quiet(0.2), line), Part(speech("check stop stop stop"), line), Part(quiet(60.0), line)
    )
    ear = ear_on(source)
    while not isinstance(event := ear.next(10.0), SpeechBegan):
        assert event is None
    assert source.speaking()
    while not isinstance(event := ear.next(10.0), TextHeard):
        assert event is None
    assert event.hypothesis.text == "stop"
    ear.close()


def test_stop_within_the_echo_loses_what_the_coach_said_before() -> None:
    words = speech("check the gauge and read the pressure stop stop stop")
    events = heard_from(Part(quiet(0.2)), Part(words, LINE), Part(quiet(1.0)))
    assert events[0] == SpeechBegan()
    assert texts(events) == ["stop"]


def test_an_answer_that_runs_into_the_end_of_the_line_is_heard_alone() -> None:
    line = speech("check the gauge and read the pressure right")
    events = heard_from(
        Part(quiet(0.2)), Part(line, LINE), Part(quiet(0.2)), Part(speech("yes")), Part(quiet(1.0))
    )
    assert events[0] == SpeechBegan()
    assert texts(events) == ["yes"]


def test_a_word_of_the_line_said_after_it_counts() -> None:
    line = speech("check the gauge and read the pressure right")
    events = heard_from(
        Part(quiet(0.2)), Part(line, LINE), Part(quiet(1.2)), Part(speech("right")), Part(quiet(1))
    )
    assert texts(events) == ["right"]


@pytest.mark.parametrize(
    ("answer", "heard"), [("check the gauge", ["check the gauge"]), ("pressure right", [])]
)
def test_words_of_the_line_said_right_after_it_count_but_for_its_own_end(
    answer: str, heard: list[str]
) -> None:
    line = speech("check the gauge and read the pressure right")
    events = heard_from(
        Part(quiet(0.2)), Part(line, LINE), Part(quiet(0.2)), Part(speech(answer)), Part(quiet(1.0))
    )
    assert texts(events) == heard


def test_with_headphones_nothing_is_held_back() -> None:
    events = heard_from(
        Part(quiet(0.2)), Part(speech("yes right"), LINE), Part(quiet(1.0)), hears_itself=False
    )
    assert events[0] == SpeechBegan()
    assert texts(events) == ["yes right"]


def test_a_microphone_that_goes_drops_the_open_turn_and_is_told() -> None:
    events = heard_from(
        Part(speech("check the gauge")),
        EarReported(GONE),
        EarReported(BACK),
        Part(quiet(0.5)),
        Part(speech("stop")),
        Part(quiet(1.0)),
    )
    assert events[0] == SpeechBegan()
    assert texts(events[:2]) == [""]
    assert events[2:4] == [EarReported(GONE), EarReported(BACK)]
    assert texts(events[4:]) == ["stop"]


def test_in_babble_it_gives_up_with_a_way_out_and_hears_again_afterwards() -> None:
    assert "pedal" in TOO_LOUD and "when it is quieter" in TOO_LOUD
    # Loud and faint by turns, never faint for as long as a hangover.
    babble = speech("forty check right check " * 25)
    events = heard_from(Part(babble), Part(quiet(1.5)), Part(speech("yes")), Part(quiet(1.0)))
    assert events.count(EarReported(TOO_LOUD)) == 1
    told = events.index(EarReported(TOO_LOUD))
    assert all(texts(events[:told]))
    # What has no end after that is nobody's.
    *cut_off, _ended_by_itself, last = texts(events[told:])
    assert len(cut_off) >= 3 and not any(cut_off)
    assert last == "yes"


def resident_bytes() -> int:
    """The memory this process holds now."""
    table = Path("/proc/self/statm")
    if not table.exists():
        pytest.skip("only Linux tells a process how much memory it holds")
    return int(table.read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE")


def test_half_an_hour_without_a_pause_is_heard_without_growing() -> None:
    minute = speech("forty check right check " * 37)

    class Endless(ScriptedSource):
        """Thirty minutes in large blocks, as fast as they are taken."""

        def _blocks(self, parts: tuple[Part | EarReported, ...]) -> Iterator[Samples]:
            for number in range(30):
                self.minute = number
                yield from minute.reshape(-1, len(minute) // 148)

    source = Endless()
    ear = ear_on(source)
    events: list[EarEvent] = []
    kept: dict[int, int] = {}
    while not (source.over.is_set() and events and events[-1] is None):
        event = ear.next(0.05)
        events = [*events[-1:], event]  # type: ignore[list-item]  # None when nothing came
        kept[source.minute] = resident_bytes()
    ear.close()
    assert set(kept) >= {2, 29}
    # All of it would be 110 MB.
    assert kept[29] < kept[2] + 20e6


def test_a_microphone_of_zeros_and_one_of_broken_values_are_told() -> None:
    broken = quiet(2.0) + np.float32(0.001)
    broken[5] = np.nan
    events = heard_from(Part(broken), Part(speech("yes")), Part(quiet(75.0)))
    told = [event.message for event in events if isinstance(event, EarReported)]
    assert told == [TROUBLES[Trouble.NOT_NUMBERS], TROUBLES[Trouble.SILENT]]
    assert texts(events) == ["yes"]
    assert all("microphone" in message for message in TROUBLES.values())


def test_a_stop_called_in_babble_is_taken() -> None:
    babble, call = speech("forty check right check " * 12), speech("stop check right check " * 10)
    assert "stop" in texts(heard_from(Part(babble), Part(call), Part(quiet(1.0))))


def test_digits_with_gaps_stay_one_turn_only_where_a_number_is_expected() -> None:
    parts = [Part(quiet(0.3))]
    for word in ("check", "the", "gauge"):
        parts += [Part(speech(word)), Part(quiet(0.65))]
    parts.append(Part(quiet(1.0)))
    assert texts(heard_from(*parts)) == ["check", "the", "gauge"]
    source = ScriptedSource(*parts)
    recogniser = LevelRecogniser()
    gate = threading.Event()
    read = source.read
    source.read = lambda timeout_s: read(timeout_s) if gate.is_set() else None  # type: ignore[method-assign] # holds the sound back
    ear = SoundEar(source, recogniser, Levels())
    hint = Hint(expect=Quantity.PRESSURE)
    ear.listen(hint)
    gate.set()
    assert source.over.wait(30.0)
    ear.close()
    assert recogniser.hints == [hint]


def test_keys_come_among_the_events() -> None:
    class Keys:
        closed = False

        def start(self, post: object) -> None:
            assert callable(post)
            post("next")

        def close(self) -> None:
            self.closed = True

    keys = Keys()
    ear = SoundEar(ScriptedSource(), LevelRecogniser(), Levels(), keyboard=keys)
    assert ear.next(10.0) == KeyHit("next")
    assert ear.next(0.01) is None
    ear.report("The loudspeaker is gone.")
    assert ear.next(10.0) == EarReported("The loudspeaker is gone.")
    ear.close()
    assert keys.closed
    assert ear.next(1.0) == EarClosed()
    assert ear.next(0.01) == EarClosed()


def test_a_recogniser_that_fails_is_not_taken_for_silence() -> None:
    class Broken(LevelRecogniser):
        def hear(self, samples: Samples, hint: Hint) -> Hypothesis:
            raise RuntimeError("no memory")

    source = ScriptedSource(Part(speech("stop")), Part(quiet(1.0)))
    ear = SoundEar(source, Broken(), Levels())
    assert ear.next(10.0) == SpeechBegan()
    with pytest.raises(RuntimeError, match="no memory"):
        ear.next(10.0)
    ear.close()


@pytest.mark.parametrize(
    "line",
    [
        "Open it just enough to see, suction fluid, and take out only what you can see, never "
        "sweeping blindly. If something stays in the way, no airway goes in.",
        "First the breaths between, because air that does not lift the chest went to the stomach "
        "or out past the mask.",
    ],
)
def test_a_long_line_heard_in_other_words_is_nothing(line: str) -> None:
    voice = SystemSynthesiser()
    samples = convert(*voice.render(line))
    voice.close()
    source = ScriptedSource(Part(quiet(0.2)), Part(samples, line), Part(quiet(1.0)))
    ear = SoundEar(source, EmbeddedRecogniser(), VoiceActivity(), source.speaking, source.last_line)
    assert source.over.wait(60.0)
    ear.close()
    assert ear.next(1.0) == EarClosed()


def test_the_whole_way_with_an_echo_in_the_room() -> None:
    """Coach and learner through virtual devices and the real recogniser, loudspeaker open."""
    synthesiser = SystemSynthesiser()
    line = "Check the gauge and read the pressure aloud, then tell me the number you have read."
    stop, rate_hz = synthesiser.render("stop")
    with running_rig() as rig:
        rig.echo()
        voice = SpokenVoice(synthesiser, Loudspeaker())
        ear = SoundEar(
            Microphone(), EmbeddedRecogniser(), VoiceActivity(), voice.busy, voice.last_line
        )
        voice.say(line)
        events = collect(ear, voice)
        assert [event for event in events if isinstance(event, SpeechBegan | TextHeard)] == []
        rig.speak(stop, rate_hz)
        events = collect(ear, voice)
        assert events[0] == SpeechBegan()
        assert texts(events) == ["stop"]
        ear.close()
        voice.close()
    synthesiser.close()


def collect(ear: SoundEar, voice: SpokenVoice) -> list[EarEvent]:
    """What is heard until the coach is silent and nothing came for two seconds."""
    events: list[EarEvent] = []
    while (event := ear.next(2.0)) is not None or voice.busy():
        if event is not None:
            events.append(event)
    return events
