"""Any sound in, mono float32 at 16 kHz out."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from coach.core.errors import InputError
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.convert import StreamConverter, convert, to_float, to_mono

TONE_HZ = 440.0
RATES = [8_000, 11_025, 16_000, 22_050, 32_000, 44_100, 48_000]


def tone(rate_hz: int, seconds: float = 1.0) -> Samples:
    at = np.arange(round(rate_hz * seconds)) / rate_hz
    return np.asarray(0.5 * np.sin(2 * np.pi * TONE_HZ * at), dtype=np.float32)


def pitch_hz(samples: Samples) -> float:
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(len(samples))))
    return float(np.argmax(spectrum)) * SAMPLE_RATE_HZ / len(samples)


@pytest.mark.parametrize("rate_hz", RATES)
def test_length_pitch_and_level_survive_any_rate(rate_hz: int) -> None:
    converted = convert(tone(rate_hz), rate_hz)
    assert converted.dtype == np.float32
    assert len(converted) == pytest.approx(SAMPLE_RATE_HZ, abs=2)
    assert pitch_hz(converted) == pytest.approx(TONE_HZ, abs=1.5)
    assert np.abs(converted[1000:-1000]).max() == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize("rate_hz", RATES)
def test_a_stream_of_blocks_equals_the_whole(rate_hz: int) -> None:
    sound = tone(rate_hz)
    stream = StreamConverter(rate_hz)
    step = round(rate_hz * 0.03)
    parts = [
        stream.feed(sound[begin : begin + step], last=begin + step >= len(sound))
        for begin in range(0, len(sound), step)
    ]
    joined = np.concatenate(parts)
    whole = convert(sound, rate_hz)
    assert len(joined) == pytest.approx(len(whole), abs=2)
    # A click at a seam would show as a difference far above the two filters' own.
    inside = slice(1000, min(len(joined), len(whole)) - 1000)
    assert np.abs(joined[inside] - whole[inside]).max() < 0.01


@pytest.mark.parametrize(
    ("samples", "expected"),
    [
        (np.array([-128, 0, 64], dtype=np.int8), [-1.0, 0.0, 0.5]),
        (np.array([0, 128, 192], dtype=np.uint8), [-1.0, 0.0, 0.5]),
        (np.array([-(2**15), 0, 2**14], dtype=np.int16), [-1.0, 0.0, 0.5]),
        (np.array([-(2**31), 0, 2**30], dtype=np.int32), [-1.0, 0.0, 0.5]),
        (np.array([-1.0, 0.0, 0.5], dtype=np.float32), [-1.0, 0.0, 0.5]),
        (np.array([-2.0, 0.0, 0.5], dtype=np.float64), [-1.0, 0.0, 0.5]),
    ],
)
def test_every_width_has_the_same_scale(samples: NDArray[Any], expected: list[float]) -> None:
    converted = to_float(samples)
    assert converted.dtype == np.float32
    assert converted.tolist() == expected


def test_stereo_becomes_the_mean_of_both() -> None:
    frames = np.array([[0.5, 0.1], [-0.5, -0.1]], dtype=np.float32)
    assert to_mono(frames) == pytest.approx(np.array([0.3, -0.3]))


@pytest.mark.parametrize("rate_hz", [0, 4_000, 400_000])
def test_a_rate_no_speech_survives_is_refused(rate_hz: int) -> None:
    with pytest.raises(InputError, match=f"{rate_hz} Hz"):
        convert(np.zeros(100, dtype=np.float32), rate_hz)
    with pytest.raises(InputError, match=f"{rate_hz} Hz"):
        StreamConverter(rate_hz)


def test_text_is_no_sound() -> None:
    with pytest.raises(InputError, match="no sound"):
        to_float(np.array(["a"]))


def test_nothing_stays_nothing() -> None:
    assert len(convert(np.zeros(0, dtype=np.float32), 48_000)) == 0
