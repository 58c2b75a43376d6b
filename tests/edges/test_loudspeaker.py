"""What is played must be heard whole, and be silent at once when it is cut off."""

from __future__ import annotations

import threading
import time
from pathlib import Path

import numpy as np
import pytest
import soundfile
from rig import running_rig

from coach.core.errors import InputError, MissingError
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.convert import convert
from coach.edges.loudspeaker import (
    RECORDED_GAP_S,
    RECORDED_RATE_HZ,
    LineRecording,
    Loudspeaker,
    VirtualSpeaker,
)

pytestmark = pytest.mark.live

LOUD = 0.01
SILENT_WITHIN_S = 0.1
"""Promised by the session's Voice port."""


def tone(seconds: float, rate_hz: int = RECORDED_RATE_HZ) -> Samples:
    at = np.arange(round(seconds * rate_hz)) / rate_hz
    return np.asarray(0.5 * np.sin(2 * np.pi * 440 * at), dtype=np.float32)


def span(samples: Samples) -> int:
    loud = np.flatnonzero(np.abs(samples) > LOUD)
    return int(loud[-1] - loud[0]) if len(loud) else 0


@pytest.mark.parametrize("rate_hz", [16_000, 22_050, 48_000])
def test_a_line_is_heard_from_its_first_to_its_last_sound(rate_hz: int) -> None:
    with running_rig() as rig:
        speaker = Loudspeaker()
        for seconds in (0.3, 0.5, 1.0):
            line = tone(seconds, rate_hz)
            with rig.recording() as heard:
                speaker.play(line, rate_hz, threading.Event())
            true_span = span(convert(line, rate_hz))
            assert span(heard.samples) == pytest.approx(true_span, abs=0.005 * SAMPLE_RATE_HZ)
        speaker.close()


def test_cut_off_is_silence_at_once() -> None:
    with running_rig() as rig:
        speaker = Loudspeaker()
        cut = threading.Event()
        player = threading.Thread(target=speaker.play, args=(tone(20.0), RECORDED_RATE_HZ, cut))
        with rig.recording() as heard:
            player.start()
            while span(heard.samples) < SAMPLE_RATE_HZ // 2:
                time.sleep(0.01)
            cut.set()
            at_cut = len(heard.samples)
            player.join(timeout=10.0)
        assert not player.is_alive()
    # Counted in samples of the recording, not by a clock.
    still_loud = np.flatnonzero(np.abs(heard.samples[at_cut:]) > LOUD)
    assert len(still_loud) == 0 or still_loud[-1] < SILENT_WITHIN_S * SAMPLE_RATE_HZ


def test_a_line_that_is_cut_before_it_begins_is_not_heard() -> None:
    with running_rig() as rig:
        cut = threading.Event()
        cut.set()
        with rig.recording() as heard:
            Loudspeaker().play(tone(1.0), RECORDED_RATE_HZ, cut)
    assert span(heard.samples) == 0


def test_a_loudspeaker_that_goes_in_the_middle_is_told_and_works_again() -> None:
    with running_rig() as rig:
        speaker = Loudspeaker()
        unplugging = threading.Timer(0.5, rig.unplug)
        unplugging.start()
        with pytest.raises(MissingError, match="loudspeaker"):
            speaker.play(tone(20.0), RECORDED_RATE_HZ, threading.Event())
        unplugging.join()
        with pytest.raises(MissingError, match="loudspeaker"):
            speaker.play(tone(0.5), RECORDED_RATE_HZ, threading.Event())
        rig.plug()
        with rig.recording() as heard:
            speaker.play(tone(0.5), RECORDED_RATE_HZ, threading.Event())
    assert span(heard.samples) == pytest.approx(0.5 * SAMPLE_RATE_HZ, rel=0.02)


def test_an_unknown_loudspeaker_is_refused_with_those_there_are() -> None:
    with running_rig(), pytest.raises(InputError, match=r"no loudspeaker 'kitchen'.*pulse"):
        Loudspeaker("kitchen")


def test_the_recording_holds_every_line_in_order(tmp_path: Path) -> None:
    path = tmp_path / "coach.wav"
    speaker = VirtualSpeaker(LineRecording(path))
    for _ in range(3):
        speaker.play(tone(0.5, 16_000), 16_000, threading.Event())
    speaker.close()
    samples, rate_hz = soundfile.read(path)
    assert rate_hz == RECORDED_RATE_HZ
    assert len(samples) / rate_hz == pytest.approx(3 * (0.5 + RECORDED_GAP_S), abs=0.01)
    middle = samples[round((0.5 + RECORDED_GAP_S / 2) * rate_hz) :][:100]
    assert not middle.any()


def test_only_what_was_heard_of_a_line_is_recorded(tmp_path: Path) -> None:
    path = tmp_path / "coach.wav"
    speaker = VirtualSpeaker(LineRecording(path), real_time=True)
    cut = threading.Event()
    threading.Timer(0.3, cut.set).start()
    speaker.play(tone(20.0), RECORDED_RATE_HZ, cut)
    speaker.close()
    samples, rate_hz = soundfile.read(path)
    assert 0.2 < span(samples) / rate_hz < 15.0


def test_a_recording_that_cannot_be_written(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"none.*cannot be written"):
        LineRecording(tmp_path / "none" / "coach.wav")
