"""Beats as sound: each at its time, breaths lower than compressions."""

from __future__ import annotations

import numpy as np
import pytest

from coach.edges.pace_sound import RATE_HZ, clicked, sounded, spoken_beat
from coach.trade.pacing import Beat, BeatKind, Pattern


def onsets_s(samples: np.ndarray) -> list[float]:
    """Where sound begins after silence."""
    loud = np.abs(samples) > 0.02
    blocks = loud[: len(loud) // 110 * 110].reshape(-1, 110).any(axis=1)
    starts = np.flatnonzero(blocks & ~np.concatenate([[False], blocks[:-1]]))
    return [float(start * 110 / RATE_HZ) for start in starts]


def test_every_click_is_at_its_time() -> None:
    beats = Pattern(110, 30, 2).beats(45)
    assert onsets_s(sounded(beats)) == pytest.approx([beat.at_s for beat in beats], abs=0.011)


def test_a_breath_is_lower_and_longer_than_a_compression() -> None:
    pitches, lengths = [], []
    for kind in (BeatKind.BREATH, BeatKind.COMPRESSION):
        samples = clicked(Beat(0.0, kind, 1))
        spectrum = np.abs(np.fft.rfft(samples, 1 << 15))
        pitches.append(float(np.argmax(spectrum) * RATE_HZ / (1 << 15)))
        lengths.append(len(samples))
    assert pitches == pytest.approx([600, 1000], abs=40)
    assert lengths[0] > lengths[1]


def test_a_word_that_is_too_long_does_not_delay_the_next() -> None:
    beats = Pattern(110, 10).beats(3)
    long = np.full(RATE_HZ, 0.5, dtype=np.float32)
    sound = sounded(beats, lambda _beat: long)
    assert len(sound) < RATE_HZ * 4.2
    assert float(np.abs(sound).max()) <= 0.5


def test_nothing_is_silence() -> None:
    assert len(sounded(())) == 0


def test_the_words_are_numbers_and_breaths() -> None:
    assert spoken_beat(Beat(0.0, BeatKind.COMPRESSION, 12)) == "two"
    assert spoken_beat(Beat(0.0, BeatKind.BREATH, 1)) == "breath"
