"""A microphone that gives nothing, broken values, cut-off tops or only noise is told of, once."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from coach.hearing.signal import SignalWatch, Trouble, cleaned

RATE_HZ = 16_000
BLOCK = 480
Sound = NDArray[np.float32]


def found(*parts: Sound) -> list[Trouble]:
    watch = SignalWatch()
    sound = np.concatenate(parts).astype(np.float32)
    troubles: list[Trouble] = []
    for begin in range(0, len(sound), BLOCK):
        troubles += watch.feed(sound[begin : begin + BLOCK])
    return troubles


def zeros(seconds: float) -> Sound:
    return np.zeros(round(seconds * RATE_HZ), np.float32)


def room(seconds: float, level: float = 20 / 32768) -> Sound:
    """A converter's own noise."""
    samples = np.random.default_rng(1).normal(0.0, level, round(seconds * RATE_HZ))
    return np.asarray(samples, np.float32)


def voice(seconds: float, level: float = 0.06, hertz: float = 120.0) -> Sound:
    """A vowel-like row of harmonics, falling 12 dB an octave as a glottis's (textbook), with pauses
    of a third of a second."""
    at = np.arange(round(seconds * RATE_HZ)) / RATE_HZ
    partials = np.array([np.sin(2 * np.pi * hertz * n * at) / n**2 for n in range(1, 30)])
    sound = partials.sum(axis=0) * ((at % 1.0) < 0.67)
    return np.asarray(sound / np.sqrt(np.mean(np.square(sound))) * level, np.float32)


def swapped(sound: Sound) -> Sound:
    """The same with the two bytes of each 16-bit sample swapped."""
    steps = np.round(sound * 32767).astype(np.int16)
    return (steps.byteswap() / 32768).astype(np.float32)


def test_a_voice_in_a_quiet_room_is_all_right() -> None:
    assert found(voice(120.0) + room(120.0)) == []
    assert found(room(120.0)) == []


def test_a_microphone_of_zeros_is_told_once_and_again_after_it_gave_sound() -> None:
    assert found(zeros(9.0), room(5.0)) == []
    assert found(zeros(120.0)) == [Trouble.SILENT]
    assert found(np.full(120 * RATE_HZ, 0.01, np.float32)) == [Trouble.SILENT]
    assert found(room(2.0), zeros(50.0), room(2.0)) == []
    assert found(zeros(20.0), room(2.0), zeros(70.0)) == [Trouble.SILENT] * 2
    gated = (room(2.0), zeros(70.0)) * 3
    assert found(*gated) == [Trouble.SILENT]


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf])
def test_values_that_are_no_numbers_are_told_once(value: float) -> None:
    broken = room(30.0)
    broken[5_000::9_000] = value
    assert found(broken) == [Trouble.NOT_NUMBERS]


def test_broken_values_are_taken_for_silence_and_full_scale() -> None:
    block = np.array([0.5, np.nan, np.inf, -np.inf, 2.0, -3.0], np.float32)
    assert cleaned(block).tolist() == [0.5, 0.0, 1.0, -1.0, 1.0, -1.0]


def test_constant_clipping_is_told_once_and_a_shout_never() -> None:
    shout = np.clip(voice(2.0, level=0.9), -1.0, 1.0)
    assert found(room(5.0), shout, room(40.0), shout) == []
    assert found(np.clip(voice(120.0, level=0.9), -1.0, 1.0)) == [Trouble.CLIPPED]


def test_swapped_bytes_sound_like_noise() -> None:
    assert Trouble.NOISE in found(swapped(voice(30.0) + room(30.0)))
    assert found(swapped(voice(30.0) + room(30.0))).count(Trouble.NOISE) == 1


def test_a_loud_hiss_is_told_and_a_faint_or_short_one_not() -> None:
    assert found(room(30.0, level=0.06)) == [Trouble.NOISE]
    assert found(room(30.0, level=0.015)) == []
    assert found(voice(5.0), room(4.0, level=0.06), voice(5.0)) == []
