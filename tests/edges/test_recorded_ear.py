"""A recording drives time: it waits for the coach and tells its silences."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from test_listening import LevelRecogniser, Levels, quiet, speech

from coach.edges.embedded_recogniser import EmbeddedRecogniser
from coach.edges.recorded_ear import RecordedEar
from coach.edges.voice_activity import VoiceActivity
from coach.edges.wave_file import read_recording
from coach.hearing.hypothesis import Hint
from coach.session.ports import Ear, EarClosed, EarEvent, SilencePassed, SpeechBegan, TextHeard

RECORDINGS = Path(__file__).parents[3] / "shared" / "speech" / "words"


def all_of(ear: Ear) -> list[EarEvent]:
    events: list[EarEvent] = []
    while not isinstance(event := ear.next(0.0), EarClosed):
        assert event is not None
        events.append(event)
    assert ear.next(0.0) == EarClosed()
    return events


def shape(events: list[EarEvent]) -> list[object]:
    """Words and lengths of silence in order."""
    return [
        event.hypothesis.text
        if isinstance(event, TextHeard)
        else round(event.seconds, 1)
        if isinstance(event, SilencePassed)
        else "..."
        for event in events
    ]


def test_words_and_silences_in_order() -> None:
    sound = np.concatenate(
        [quiet(2.0), speech("check the"), quiet(0.7), speech("stop"), quiet(20.0), speech("yes")]
    )
    events = all_of(RecordedEar(sound, LevelRecogniser(), Levels()))
    assert shape(events) == [2.0, "...", "check the", 0.7, "...", "stop", 20.0, "...", "yes"]


def test_silence_at_the_end_is_told_before_the_end() -> None:
    sound = np.concatenate([speech("stop"), quiet(3.0)])
    events = all_of(RecordedEar(sound, LevelRecogniser(), Levels()))
    assert shape(events) == ["...", "stop", 3.0]


def test_nothing_but_silence() -> None:
    assert shape(all_of(RecordedEar(quiet(5.0), LevelRecogniser(), Levels()))) == [5.0]
    assert all_of(RecordedEar(quiet(0.0), LevelRecogniser(), Levels())) == []


def test_it_waits_while_the_coach_speaks() -> None:
    speaking = [True]
    ear = RecordedEar(speech("stop"), LevelRecogniser(), Levels(), lambda: speaking[0])
    assert ear.next(0.02) is None
    assert ear.next(0.0) is None
    speaking[0] = False
    assert ear.next(0.0) == SpeechBegan()


def test_the_hint_is_that_of_the_moment_the_words_are_taken() -> None:
    recogniser = LevelRecogniser()
    ear = RecordedEar(np.concatenate([speech("stop"), quiet(1.0)]), recogniser, Levels())
    assert ear.next(0.0) == SpeechBegan()
    hint = Hint(phrases=("stop",))
    ear.listen(hint)
    assert isinstance(ear.next(0.0), TextHeard)
    assert recogniser.hints == [hint]


def test_closing_ends_it() -> None:
    ear = RecordedEar(speech("stop"), LevelRecogniser(), Levels())
    ear.close()
    assert ear.next(0.0) == EarClosed()


@pytest.mark.skipif(
    not RECORDINGS.is_dir(), reason="the recordings of real words are not on this machine"
)
def test_real_words_of_real_people() -> None:
    # Speech Commands v0.02, test files (Pete Warden / Google, CC BY 4.0).
    said = ["yes", "stop", "no", "yes", "no", "stop"]
    rng = np.random.default_rng(2)
    parts = [quiet(1.0)]
    for number, word in enumerate(said):
        file = sorted((RECORDINGS / word).glob("*.wav"))[number]
        parts += [read_recording(file), quiet(1.0)]
    sound = np.concatenate(parts)
    sound = np.asarray(sound + rng.normal(0, 20 / 32768, len(sound)), dtype=np.float32)
    events = all_of(RecordedEar(sound, EmbeddedRecogniser(), VoiceActivity()))
    heard = [event.hypothesis.text for event in events if isinstance(event, TextHeard)]
    assert heard == said
