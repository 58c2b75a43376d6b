"""Log-mel features of the recogniser: 80 bands, 25 ms windows every 10 ms, 16 kHz, numpy only.

The same front end as OpenAI Whisper's (Radford et al. 2022; Slaney's mel scale as in librosa),
because the encoder started from Whisper tiny's weights.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

SAMPLE_RATE = 16_000
WINDOW = 400
HOP = 160
BANDS = 80


def _mel_to_hertz(mel: NDArray[np.float64]) -> NDArray[np.float64]:
    """Slaney's scale: linear to 1 kHz (200/3 Hz a mel), then 27 mels for each factor of 6.4."""
    linear = mel * (200.0 / 3.0)
    logarithmic = 1000.0 * np.exp((mel - 15.0) * (np.log(6.4) / 27.0))
    return np.where(mel >= 15.0, logarithmic, linear)


@lru_cache(maxsize=1)
def mel_filters() -> NDArray[np.float32]:
    """Triangular filters of equal area, shape (BANDS, WINDOW // 2 + 1), 0 to 8 kHz."""
    top_mel = 15.0 + np.log(8000.0 / 1000.0) * (27.0 / np.log(6.4))
    edges = _mel_to_hertz(np.linspace(0.0, top_mel, BANDS + 2))
    bins = np.linspace(0.0, SAMPLE_RATE / 2, WINDOW // 2 + 1)
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
