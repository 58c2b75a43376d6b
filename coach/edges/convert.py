"""Brings any sound to the program's own form: mono float32 at 16 kHz."""

from __future__ import annotations

from typing import Any

import numpy as np
import soxr
from numpy.typing import NDArray

from coach.core.errors import InputError
from coach.core.sound import SAMPLE_RATE_HZ, Samples

LOWEST_RATE_HZ = 8_000
"""Telephone quality; below it consonants are gone and nothing is recognised."""
HIGHEST_RATE_HZ = 192_000


def to_float(samples: NDArray[Any]) -> Samples:
    """Samples of any width (int8, uint8, int16, int32, float) as float32 in -1..1, same shape."""
    kind = samples.dtype
    if kind.kind == "f":
        return _single(np.clip(samples, -1.0, 1.0))
    if kind == np.uint8:
        return _single((samples.astype(np.float32) - 128.0) / 128.0)
    if kind.kind == "i":
        full_scale = float(2 ** (8 * kind.itemsize - 1))
        return _single(samples.astype(np.float64) / full_scale)
    raise InputError(f"Samples of type {kind} are no sound: use whole numbers or fractions.")


def to_mono(samples: NDArray[Any]) -> Samples:
    """Frames of shape (n,) or (n, channels) as the mean of their channels, float32 in -1..1."""
    floats = to_float(samples)
    if floats.ndim == 1:
        return floats
    return _single(floats.mean(axis=1))


def convert(samples: NDArray[Any], rate_hz: int, to_rate_hz: int = SAMPLE_RATE_HZ) -> Samples:
    """Frames of shape (n,) or (n, channels) at `rate_hz` as mono float32 at `to_rate_hz`.

    InputError for a rate outside LOWEST_RATE_HZ..HIGHEST_RATE_HZ.
    """
    check_rate(rate_hz)
    mono = to_mono(samples)
    if rate_hz == to_rate_hz or not len(mono):
        return mono
    # The resampler rings over full scale at sharp edges.
    return _single(np.clip(soxr.resample(mono, rate_hz, to_rate_hz), -1.0, 1.0))


def check_rate(rate_hz: int) -> None:
    """InputError for a sample rate that cannot be used."""
    if not LOWEST_RATE_HZ <= rate_hz <= HIGHEST_RATE_HZ:
        raise InputError(
            f"A sample rate of {rate_hz} Hz cannot be used: "
            f"record at {LOWEST_RATE_HZ} to {HIGHEST_RATE_HZ} Hz, 16000 is best."
        )


class StreamConverter:
    """Converts a stream block by block without clicks at their edges.

    Some samples stay inside until later blocks push them out: a block may give none.
    """

    def __init__(self, rate_hz: int, quality: str = "MQ") -> None:
        """Begin; with `quality` "HQ" it gives what `convert` makes of all blocks at once."""
        check_rate(rate_hz)
        self._resampler = (
            None
            if rate_hz == SAMPLE_RATE_HZ
            else soxr.ResampleStream(rate_hz, SAMPLE_RATE_HZ, 1, dtype="float32", quality=quality)
        )

    def feed(self, block: NDArray[Any], last: bool = False) -> Samples:
        """Frames of shape (n,) or (n, channels) as mono float32 at SAMPLE_RATE_HZ.

        With `last` everything still inside comes out too.
        """
        mono = to_mono(block)
        if self._resampler is None:
            return mono
        resampled = self._resampler.resample_chunk(mono, last=last)
        return _single(np.clip(resampled, -1.0, 1.0))


def _single(samples: NDArray[Any]) -> Samples:
    return np.asarray(samples, dtype=np.float32)
