"""From samples to what the recogniser's network eats: a quiet window and log-mel features. Pure.

80 bands, 25 ms windows every 10 ms at 16 kHz: the front end of OpenAI Whisper (Radford et al. 2022;
Slaney's mel scale as in librosa), because the network's encoder started from Whisper tiny's.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from coach.core.sound import SAMPLE_RATE_HZ

WINDOW = 400
HOP = 160
BANDS = 80

LEAD_SECONDS = 0.5
"""Quiet put before and after the speech; letters at the edge of a window are lost otherwise."""

SHORTEST_SECONDS = 2.5
"""Shorter windows are filled up: the network was hardly trained on shorter ones."""

LONGEST_SECONDS = 11.0
"""More than this, with LEAD_SECONDS at both ends, is more than the network takes in one piece."""

DITHER_DB = -45.0
"""Level of the faint noise laid under everything, against the loudest sample. The network knows no
digital silence. Chosen on held-out synthetic voices, not on the recordings it is judged by."""

LIFT_SHARE = 0.7
MOST_LIFT_DB = 20.0
ABOVE_NOISE_DB = 12.0
"""Quiet words beside loud ones are lifted by this share of the difference, at most so much, and
never what is less than ABOVE_NOISE_DB above the quietest part. Chosen on 120 rows of four digits
from the training takes: heard right over the digits 77, 75, 69 (clean, 10 dB, 5 dB) without it,
92, 77, 69 with it."""

_BLOCK = SAMPLE_RATE_HZ // 50
_LIFT_BLOCKS = 10
_SHORTEST_PART_SECONDS = 5.0
_QUIET_SECONDS = 0.2


def mel_to_hertz(mel: NDArray[np.float64]) -> NDArray[np.float64]:
    """Slaney's scale: linear to 1 kHz (200/3 Hz a mel), then 27 mels for each factor of 6.4."""
    linear = mel * (200.0 / 3.0)
    logarithmic = 1000.0 * np.exp((mel - 15.0) * (np.log(6.4) / 27.0))
    return np.where(mel >= 15.0, logarithmic, linear)


@lru_cache(maxsize=1)
def mel_filters() -> NDArray[np.float32]:
    """Triangular filters of equal area, shape (BANDS, WINDOW // 2 + 1), 0 to 8 kHz."""
    top_mel = 15.0 + np.log(8000.0 / 1000.0) * (27.0 / np.log(6.4))
    edges = mel_to_hertz(np.linspace(0.0, top_mel, BANDS + 2))
    bins = np.linspace(0.0, SAMPLE_RATE_HZ / 2, WINDOW // 2 + 1)
    widths = np.diff(edges)
    slopes = edges[:, None] - bins[None, :]
    rising = -slopes[:-2] / widths[:-1, None]
    falling = slopes[2:] / widths[1:, None]
    triangles = np.maximum(0.0, np.minimum(rising, falling))
    filters: NDArray[np.float32] = (triangles * (2.0 / (edges[2:] - edges[:-2]))[:, None]).astype(
        np.float32
    )
    return filters


def log_mel(samples: NDArray[np.float32]) -> NDArray[np.float32]:
    """Features (BANDS, frames) of mono samples in -1..1 at 16 kHz; one frame for each 160 samples.

    Power below 1e-10 counts as 1e-10, and everything more than 8 decades under the loudest value
    is raised to that floor; the result is (log10 + 4) / 4. Raises ValueError under 201 samples.
    """
    if samples.ndim != 1 or len(samples) <= WINDOW // 2:
        raise ValueError(
            f"need one channel of more than {WINDOW // 2} samples, got {samples.shape}"
        )
    padded = np.pad(samples.astype(np.float32), WINDOW // 2, mode="reflect")
    frames = len(samples) // HOP
    view = np.lib.stride_tricks.sliding_window_view(padded, WINDOW)[::HOP][:frames]
    window = (0.5 - 0.5 * np.cos(2 * np.pi * np.arange(WINDOW) / WINDOW)).astype(np.float32)
    power = np.abs(np.fft.rfft(view * window, axis=1)) ** 2
    mel = mel_filters() @ power.T.astype(np.float32)
    logarithm = np.log10(np.maximum(mel, 1e-10))
    logarithm = np.maximum(logarithm, logarithm.max() - 8.0)
    features: NDArray[np.float32] = ((logarithm + 4.0) / 4.0).astype(np.float32)
    return features


def levelled(samples: NDArray[np.float32]) -> NDArray[np.float32]:
    """The same samples with quiet words lifted towards the loudest one; see LIFT_SHARE.

    The level at a place is the loudest 20 ms within 0.2 s of it.
    """
    blocks = len(samples) // _BLOCK
    if blocks <= 2 * _LIFT_BLOCKS:
        return samples
    power = np.mean(samples[: blocks * _BLOCK].reshape(blocks, _BLOCK) ** 2, axis=1)
    decibels = 10 * np.log10(power + 1e-10)
    around = np.lib.stride_tricks.sliding_window_view(
        np.pad(decibels, _LIFT_BLOCKS, mode="edge"), 2 * _LIFT_BLOCKS + 1
    )
    level = around.max(axis=1)
    lift = np.clip((level.max() - level) * LIFT_SHARE, 0.0, MOST_LIFT_DB)
    quietest = float(np.percentile(decibels, 15))
    lift = np.minimum(lift, np.maximum(0.0, level - quietest - ABOVE_NOISE_DB))
    kernel = np.hanning(2 * _LIFT_BLOCKS + 1)
    smooth = np.convolve(np.pad(lift, _LIFT_BLOCKS, mode="edge"), kernel / kernel.sum(), "valid")
    middles = np.arange(blocks) * _BLOCK + _BLOCK / 2
    gains = 10 ** (np.interp(np.arange(len(samples)), middles, smooth) / 20)
    return (samples * gains).astype(np.float32)


def trimmed(samples: NDArray[np.float32]) -> NDArray[np.float32]:
    """The samples without what lies under the faint noise at both ends, but for 0.2 s.

    There the network would hear nothing but that noise, and now and then a letter in it.
    """
    blocks = len(samples) // _BLOCK
    if not blocks:
        return samples
    power = np.mean(samples[: blocks * _BLOCK].reshape(blocks, _BLOCK) ** 2, axis=1)
    loud = np.flatnonzero(power > power.max() * 10 ** (DITHER_DB / 10))
    if not len(loud):
        return samples[:0]
    first = max(0, int(loud[0]) - _LIFT_BLOCKS) * _BLOCK
    return samples[first : (int(loud[-1]) + _LIFT_BLOCKS + 1) * _BLOCK]


def framed(samples: NDArray[np.float32]) -> NDArray[np.float32]:
    """The speech, levelled, in the middle of a quiet window over faint noise, always the same."""
    samples = levelled(trimmed(samples.astype(np.float32)))
    edge = int(LEAD_SECONDS * SAMPLE_RATE_HZ)
    short = max(0, int(SHORTEST_SECONDS * SAMPLE_RATE_HZ) - len(samples) - 2 * edge)
    window = np.pad(samples, (edge + short // 2, edge + short - short // 2))
    loudest = max(float(np.abs(samples).max(initial=0.0)), 1e-3)
    noise = np.random.default_rng(1).standard_normal(len(window), dtype=np.float32)
    return window + noise * np.float32(loudest * 10 ** (DITHER_DB / 20))


def parts(
    samples: NDArray[np.float32], longest_s: float = LONGEST_SECONDS
) -> list[NDArray[np.float32]]:
    """The samples cut at quiet places into pieces of at most `longest_s` (over 5.2), in order.

    A cut falls in the quietest 0.2 s between 5 s after the last cut and the longest piece.
    """
    longest = int(longest_s * SAMPLE_RATE_HZ)
    first = int(_SHORTEST_PART_SECONDS * SAMPLE_RATE_HZ)
    quiet = int(_QUIET_SECONDS * SAMPLE_RATE_HZ)
    pieces = []
    rest = samples
    while len(rest) > longest:
        energy = np.concatenate(
            ([0.0], np.cumsum(np.square(rest[first:longest], dtype=np.float64)))
        )
        cut = first + int(np.argmin(energy[quiet:] - energy[:-quiet])) + quiet // 2
        pieces.append(rest[:cut])
        rest = rest[cut:]
    return [*pieces, rest]
