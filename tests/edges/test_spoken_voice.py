"""Lines come in order, stop at once, and trouble is told instead of raised."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest
import soundfile
from disk import full_disk
from rig import running_rig

from coach.core.errors import MissingError
from coach.core.sound import Samples
from coach.edges.loudspeaker import LineRecording, Loudspeaker, VirtualSpeaker
from coach.edges.spoken_voice import BACK, SpokenVoice
from coach.session.ports import Voice

pytestmark = pytest.mark.live

RATE_HZ = 16_000


def wait_until(holds: Callable[[], bool]) -> None:
    end_s = time.monotonic() + 30.0
    while not holds():
        assert time.monotonic() < end_s
        time.sleep(0.005)


class Tones:
    """A synthesiser whose lines last as many seconds as they have letters, at a level by line."""

    def __init__(self) -> None:
        self.rendered: list[tuple[str, float]] = []
        self.full = False

    def render(self, text: str, rate: float = 1.0) -> tuple[Samples, int]:
        """A steady level."""
        if self.full or text == "broken":
            raise MissingError("The voice does not work: install it.")
        self.rendered.append((text, rate))
        return np.full(len(text) * RATE_HZ, 0.25, dtype=np.float32), RATE_HZ


class Listener:
    """A speaker that remembers what it played; it waits inside a line until it is let."""

    def __init__(self) -> None:
        self.played: list[tuple[int, float]] = []
        self.go = threading.Event()
        self.go.set()
        self.failures = 0
        self.closed = False

    def play(self, samples: Samples, rate_hz: int, cut: threading.Event) -> None:
        """Remember a line by its length and level."""
        if self.failures:
            self.failures -= 1
            raise MissingError("The loudspeaker does not work: plug it in.")
        self.played.append((len(samples) // rate_hz, round(float(samples.max()), 2)))
        while not self.go.wait(0.005) and not cut.is_set():
            pass

    def close(self) -> None:
        """Noted."""
        self.closed = True


def test_lines_are_played_in_order_and_rendered_ahead() -> None:
    tones, listener = Tones(), Listener()
    voice: Voice = SpokenVoice(tones, listener)
    listener.go.clear()
    for line in ("a", "bbb", "cc"):
        voice.say(line)
    wait_until(lambda: len(tones.rendered) == 3)
    assert len(listener.played) <= 1
    assert voice.busy()
    listener.go.set()
    wait_until(lambda: not voice.busy())
    assert [length for length, _ in listener.played] == [1, 3, 2]
    voice.close()
    assert listener.closed


def test_cut_off_drops_everything_and_the_next_line_is_said() -> None:
    listener = Listener()
    voice = SpokenVoice(Tones(), listener)
    listener.go.clear()
    for line in ("aaaaa", "b", "c"):
        voice.say(line)
    wait_until(lambda: len(listener.played) == 1)
    assert voice.last_line() == "aaaaa"
    voice.cut_off()
    assert not voice.busy()
    voice.say("dd")
    wait_until(lambda: len(listener.played) == 2)
    listener.go.set()
    wait_until(lambda: not voice.busy())
    assert [length for length, _ in listener.played] == [5, 2]
    voice.close()


def test_closing_lets_the_last_lines_be_heard() -> None:
    listener = Listener()
    voice = SpokenVoice(Tones(), listener)
    voice.say("a")
    voice.say("bb")
    voice.close()
    assert [length for length, _ in listener.played] == [1, 2]


def test_breaking_off_does_not_wait_for_the_line() -> None:
    listener = Listener()
    listener.go.clear()
    voice = SpokenVoice(Tones(), listener)
    with pytest.raises(KeyboardInterrupt), closing(voice):
        voice.say("aaaaa")
        voice.say("b")
        wait_until(lambda: len(listener.played) == 1)
        raise KeyboardInterrupt
    assert [length for length, _ in listener.played] == [5]
    assert listener.closed


def test_rate_and_volume_hold_for_later_lines_only() -> None:
    tones, listener = Tones(), Listener()
    voice = SpokenVoice(tones, listener)
    voice.say("a")
    voice.change(rate=0.8, volume=2.0)
    voice.say("b")
    voice.change(rate=1.0, volume=100.0)
    voice.say("c")
    wait_until(lambda: not voice.busy())
    voice.close()
    assert tones.rendered == [("a", 1.0), ("b", 0.8), ("c", 1.0)]
    assert listener.played == [(1, 0.25), (1, 0.5), (1, 1.0)]


def test_a_line_that_cannot_be_rendered_is_told_and_left_out() -> None:
    told: list[str] = []
    listener = Listener()
    voice = SpokenVoice(Tones(), listener, told.append)
    for line in ("broken", "broken", "aa"):
        voice.say(line)
    wait_until(lambda: not voice.busy())
    voice.close()
    assert [length for length, _ in listener.played] == [2]
    assert told[0] == "The voice does not work: install it."
    assert told.count(told[0]) == 1


def test_a_line_kept_ready_is_said_though_nothing_can_be_rendered_any_more() -> None:
    """The disk is full, say: that line is what tells it."""
    told: list[str] = []
    listener, tones = Listener(), Tones()
    voice = SpokenVoice(tones, listener, told.append, kept_ready=("full",))
    voice.say("aa")
    wait_until(lambda: not voice.busy() and ("full", 1.0) in tones.rendered)
    tones.full = True
    voice.change(1.4, 1.0)
    for line in ("bbb", "full"):
        voice.say(line)
    wait_until(lambda: not voice.busy())
    voice.close()
    assert [length for length, _ in listener.played] == [2, 4]
    assert told[0] == "The voice does not work: install it."


def test_a_loudspeaker_that_comes_back_says_the_line_after_all() -> None:
    told: list[str] = []
    listener = Listener()
    listener.failures = 2
    voice = SpokenVoice(Tones(), listener, told.append, try_again_s=0.01)
    voice.say("aa")
    wait_until(lambda: not voice.busy())
    voice.close()
    assert [length for length, _ in listener.played] == [2]
    assert told == ["The loudspeaker does not work: plug it in.", BACK]


def test_a_loudspeaker_that_stays_away_does_not_hold_the_session() -> None:
    listener = Listener()
    listener.failures = 100
    voice = SpokenVoice(Tones(), listener, try_again_s=0.01)
    voice.say("aa")
    voice.say("b")
    wait_until(lambda: not voice.busy())
    voice.close()
    assert listener.played == []


def test_everything_said_is_in_the_recording(tmp_path: Path) -> None:
    path = tmp_path / "coach.wav"
    voice = SpokenVoice(Tones(), VirtualSpeaker(LineRecording(path)))
    voice.say("aa")
    voice.say("b")
    wait_until(lambda: not voice.busy())
    voice.close()
    samples, rate_hz = soundfile.read(path)
    assert abs(np.count_nonzero(samples > 0.2) / rate_hz - 3.0) < 0.05


def test_cut_off_through_a_real_stream() -> None:
    with running_rig() as rig:
        voice = SpokenVoice(Tones(), Loudspeaker())
        with rig.recording() as heard:
            voice.say("a long line of many seconds")
            wait_until(lambda: int(np.count_nonzero(np.abs(heard.samples) > 0.1)) > 8_000)
            voice.cut_off()
            at_cut = len(heard.samples)
            wait_until(lambda: len(heard.samples) > at_cut + 8_000)
        voice.close()
    still_loud = np.flatnonzero(np.abs(heard.samples[at_cut:]) > 0.1)
    # The Voice port promises silence within a tenth of a second: 1600 samples.
    assert len(still_loud) == 0 or still_loud[-1] < 1_600


def test_a_recording_on_a_full_disk_lets_the_coach_speak_on_and_is_told_at_the_end(
    tmp_path: Path,
) -> None:
    """An error in the thread that plays would leave the voice busy for ever."""
    path = tmp_path / "coach.wav"
    voice = SpokenVoice(Tones(), VirtualSpeaker(LineRecording(path)))
    with full_disk(4_096):
        for _ in range(3):
            voice.say("A line.")
        with pytest.raises(MissingError, match=r"coach\.wav does not hold all that was said"):
            voice.close()
    assert not voice.busy()
    assert path.exists()
