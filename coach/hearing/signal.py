"""Tells a microphone that gives nothing, broken values, cut-off tops or only noise. Pure.

What is found is told once: who cannot change it should not hear of it again and again.
"""

from __future__ import annotations

from enum import Enum, auto

import numpy as np
from numpy.typing import NDArray

from coach.core.sound import SAMPLE_RATE_HZ
from coach.hearing.background import dbfs
from coach.hearing.check import MOST_CLIPPED, clipped_samples

SILENT_FIRST_S, SILENT_LATER_S = 10, 60
"""No change of a sample at all for so long: from the beginning, and after there was sound. Headsets
with a noise gate give digital silence between words."""

CLIPPED_SECONDS, AMONG_SECONDS = 5, 30
"""A single shout or a knock on the microphone is not told of."""

NOISE_DBFS = -30.0
NOISE_SECONDS = 5
"""Speech has some -26 dBFS (the nominal level of ITU-T P.800) and is never without a vowel for so
long."""
LEAST_ROUGHNESS = 1.0
"""Power of the differences between neighbouring samples over that of the samples: 2 for white noise
(by its definition), 0.01 to 0.3 for voices at this rate (measured)."""


class Trouble(Enum):
    """What is wrong with the sound."""

    SILENT = auto()
    NOT_NUMBERS = auto()
    CLIPPED = auto()
    NOISE = auto()


def cleaned(block: NDArray[np.float32]) -> NDArray[np.float32]:
    """The block in -1..1, with zeros for what is no number: one would spoil all that follows."""
    return np.clip(np.nan_to_num(block, nan=0.0, posinf=1.0, neginf=-1.0), -1.0, 1.0)


class SignalWatch:
    """Watches a stream second by second."""

    def __init__(self) -> None:
        self._second: list[NDArray[np.float32]] = []
        self._samples = 0
        self._told: set[Trouble] = set()
        self._heard = False
        self._silent_s = self._noise_s = 0
        self._clipped: list[bool] = []

    def feed(self, block: NDArray[np.float32]) -> tuple[Trouble, ...]:
        """What this block shows for the first time."""
        found: list[Trouble] = []
        if not np.isfinite(block).all():
            found.append(Trouble.NOT_NUMBERS)
        self._second.append(cleaned(block))
        self._samples += len(block)
        if self._samples >= SAMPLE_RATE_HZ:
            found += self._look(np.concatenate(self._second))
            self._second, self._samples = [], 0
        new = tuple(trouble for trouble in found if trouble not in self._told)
        self._told.update(new)
        return new

    def _look(self, second: NDArray[np.float32]) -> list[Trouble]:
        found: list[Trouble] = []
        silent = bool(second.max() == second.min())
        self._silent_s = self._silent_s + 1 if silent else 0
        if not silent and not self._heard:
            # One switched on late may be muted once more; a noise gate is not told of each time.
            self._heard = True
            self._told.discard(Trouble.SILENT)
        if self._silent_s >= (SILENT_LATER_S if self._heard else SILENT_FIRST_S):
            found.append(Trouble.SILENT)
        self._clipped.append(clipped_samples(second) > MOST_CLIPPED * len(second))
        del self._clipped[:-AMONG_SECONDS]
        if sum(self._clipped) >= CLIPPED_SECONDS:
            found.append(Trouble.CLIPPED)
        self._noise_s = self._noise_s + 1 if _is_noise(second) else 0
        if self._noise_s >= NOISE_SECONDS:
            found.append(Trouble.NOISE)
        return found


def _is_noise(second: NDArray[np.float32]) -> bool:
    power = float(np.mean(np.square(second)))
    rough = float(np.mean(np.square(np.diff(second))))
    return dbfs(power) >= NOISE_DBFS and rough >= LEAST_ROUGHNESS * power
