"""The front end: against published mel values and a Fourier sum written out; the quiet window."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from coach.core.sound import SAMPLE_RATE_HZ
from coach.hearing.features import (
    BANDS,
    HOP,
    LONGEST_SECONDS,
    SHORTEST_SECONDS,
    WINDOW,
    framed,
    levelled,
    log_mel,
    mel_filters,
    mel_to_hertz,
    parts,
    trimmed,
)


def tone(hertz: float, seconds: float, loudness: float = 0.3) -> NDArray[np.float32]:
    t = np.arange(int(seconds * SAMPLE_RATE_HZ)) / SAMPLE_RATE_HZ
    return (loudness * np.sin(2 * np.pi * hertz * t)).astype(np.float32)


def test_mel_scale_is_that_of_the_published_examples() -> None:
    """librosa's documentation of mel_to_hz: 3 mels are 200 Hz, 1 to 5 mels 66.667 to 333.333 Hz;
    of hz_to_mel: 110, 220, 440 Hz are 1.65, 3.3, 6.6 mels (Slaney's Auditory Toolbox scale)."""
    assert mel_to_hertz(np.array([1.0, 2, 3, 4, 5])) == pytest.approx(
        [66.667, 133.333, 200.0, 266.667, 333.333], abs=1e-3
    )
    assert mel_to_hertz(np.array([1.65, 3.3, 6.6])) == pytest.approx([110.0, 220.0, 440.0])


def test_mel_scale_is_logarithmic_above_one_kilohertz() -> None:
    """Slaney 1998, Auditory Toolbox: 1 kHz is 15 mels, 6.4 kHz is 27 mels further."""
    assert mel_to_hertz(np.array([15.0, 42.0])) == pytest.approx([1000.0, 6400.0])


def test_filters_have_equal_area() -> None:
    """Slaney's normalisation: each triangle has the area 1 in hertz, as far as 40 Hz bins show."""
    filters = mel_filters()
    assert filters.shape == (BANDS, WINDOW // 2 + 1)
    wide = filters[60:].sum(axis=1) * (SAMPLE_RATE_HZ / WINDOW)
    assert wide == pytest.approx(np.ones(20), abs=0.03)


def test_features_equal_a_fourier_sum_written_out() -> None:
    rng = np.random.default_rng(3)
    samples = (rng.standard_normal(1600) * 0.1).astype(np.float32)
    at = 5
    padded = np.pad(samples.astype(np.float64), WINDOW // 2, mode="reflect")
    n = np.arange(WINDOW)
    piece = padded[at * HOP : at * HOP + WINDOW] * np.sin(np.pi * n / WINDOW) ** 2
    bins = np.arange(WINDOW // 2 + 1)[:, None]
    power = np.abs((piece * np.exp(-2j * np.pi * bins * n / WINDOW)).sum(axis=1)) ** 2
    expected = (np.log10(mel_filters() @ power) + 4) / 4
    assert log_mel(samples)[:, at] == pytest.approx(expected, abs=1e-4)


def test_a_tone_lights_up_its_own_band() -> None:
    loudest = log_mel(tone(1000.0, 0.5))[:, 20].argmax()
    middle = mel_to_hertz(np.linspace(0.0, 15.0 + np.log(8) * 27 / np.log(6.4), BANDS + 2))
    assert middle[loudest + 1] == pytest.approx(1000.0, rel=0.05)


@pytest.mark.parametrize("shape", [(200,), (2, 4000)])
def test_too_little_or_two_channels_is_refused(shape: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="one channel"):
        log_mel(np.zeros(shape, np.float32))


@pytest.mark.parametrize("seconds", [0.0, 0.01, 0.3, 1.0, 4.0])
def test_every_window_is_long_enough_and_never_digitally_silent(seconds: float) -> None:
    window = framed(tone(300.0, seconds))
    assert len(window) >= SHORTEST_SECONDS * SAMPLE_RATE_HZ
    assert np.abs(window[:1000]).max() > 0.0


def test_the_window_is_the_same_every_time() -> None:
    assert np.array_equal(framed(tone(300.0, 1.0)), framed(tone(300.0, 1.0)))


def test_a_quiet_word_beside_a_loud_one_is_lifted() -> None:
    gap = np.zeros(SAMPLE_RATE_HZ // 2, np.float32)
    quiet, loud = tone(400.0, 0.5, 0.01), tone(400.0, 0.5, 0.3)
    out = levelled(np.concatenate([gap, quiet, gap, loud, gap]))
    middle = slice(SAMPLE_RATE_HZ // 2 + 3000, SAMPLE_RATE_HZ - 3000)
    assert np.abs(out[middle]).max() > 3 * 0.01
    assert np.abs(out).max() == pytest.approx(0.3, rel=0.01)


def test_noise_between_words_is_not_lifted() -> None:
    rng = np.random.default_rng(1)
    hiss = (rng.standard_normal(SAMPLE_RATE_HZ) * 0.003).astype(np.float32)
    sound = np.concatenate([hiss, tone(400.0, 0.5), hiss])
    out = levelled(sound)
    assert np.abs(out[: SAMPLE_RATE_HZ // 2]).max() <= np.abs(hiss).max() * 1.01


def test_silence_at_both_ends_is_dropped_and_speech_is_not() -> None:
    silence = np.zeros(2 * SAMPLE_RATE_HZ, np.float32)
    speech = tone(400.0, 1.0)
    out = trimmed(np.concatenate([silence, speech, silence]))
    assert len(speech) <= len(out) <= len(speech) + SAMPLE_RATE_HZ
    assert np.abs(out).sum() == pytest.approx(np.abs(speech).sum(), rel=1e-4)
    assert np.array_equal(trimmed(speech), speech)
    assert len(trimmed(silence)) == 0


def test_quiet_speech_beside_loud_speech_is_not_dropped() -> None:
    quiet, loud = tone(400.0, 0.5, 0.01), tone(400.0, 0.5, 0.5)
    assert len(trimmed(np.concatenate([quiet, loud]))) == SAMPLE_RATE_HZ


def test_long_sound_is_cut_in_the_quiet_and_nothing_is_lost() -> None:
    gap = np.zeros(SAMPLE_RATE_HZ // 2, np.float32)
    sound = np.concatenate([tone(300.0, 7.0), gap, tone(300.0, 9.0), gap, tone(300.0, 6.0)])
    pieces = parts(sound)
    assert np.array_equal(np.concatenate(pieces), sound)
    assert all(len(piece) <= LONGEST_SECONDS * SAMPLE_RATE_HZ for piece in pieces)
    assert 7.0 <= len(pieces[0]) / SAMPLE_RATE_HZ <= 7.5


def test_short_sound_stays_whole() -> None:
    sound = tone(300.0, LONGEST_SECONDS)
    assert len(parts(sound)) == 1
    assert [len(piece) for piece in parts(sound[:0])] == [0]
