"""How loud it is where nobody speaks to the coach, and how loud speech must be to stand out."""

from __future__ import annotations

import math
from collections import deque

from coach.core.sound import SAMPLE_RATE_HZ

LEAST_POWER = 1e-10
"""Floor of a power, so that digital silence has a logarithm: -100 dBFS."""

QUIET = 0.15
"""Less probable speech than this is quiet; between it and speech nothing is learnt."""

QUIET_SAMPLES = SAMPLE_RATE_HZ
"""The quiet that counts: the last second of it, however long ago."""

DIN_SAMPLES = 5 * SAMPLE_RATE_HZ
"""So long without any quiet and others talk all the time: then only what is louder than they are
is the learner. A learner who tells everything in one breath has pauses within it."""

HISTORY_SAMPLES = 6 * SAMPLE_RATE_HZ

# Chosen with tests.benchmarks.segmentation on the recordings for development, 640 takes of 8 things
# said each at 20 to 0 dB. Margins of 2 to 9 dB and the 50th to 90th percentile were tried.
USUAL_PEAK = 80.0
STEADY_MARGIN_DB = 3.0
"""Over the 80th percentile of the quiet; a detector's probability falls 0.3 s later than that."""
DIN_FLOOR = 20.0
DIN_MARGIN_DB = 6.0
"""Over the 20th percentile of the din: with 5 a third of the turns ran on, with 7 one word in 20
was lost."""


class Background:
    """Hears every block with its probability of speech."""

    def __init__(self, noise_dbfs: float | None = None) -> None:
        """Begin with what is known of the room; it counts until a little quiet has been heard."""
        self._quiet = _Recent(QUIET_SAMPLES)
        self._all = _Recent(HISTORY_SAMPLES)
        self._known_dbfs = noise_dbfs
        self.without_quiet = 0
        """Samples since the last quiet."""

    def hear(self, power: float, samples: int, probability: float) -> None:
        """Take in one block's mean power."""
        self._all.add(dbfs(power), samples)
        if probability < QUIET:
            self._quiet.add(dbfs(power), samples)
            self.without_quiet = 0
        else:
            self.without_quiet += samples

    @property
    def is_din(self) -> bool:
        """Whether there has been talk all the time."""
        return self.without_quiet >= DIN_SAMPLES

    @property
    def level_dbfs(self) -> float | None:
        """What lies under the speech: the median of the quiet, in a din its lower part."""
        if self.is_din:
            return self._all.percentile(DIN_FLOOR)
        median = self._quiet.percentile(50.0)
        return self._known_dbfs if median is None else median

    def is_over(self, power: float) -> bool:
        """Whether a block stands out; where no quiet was heard yet, everything does."""
        if self.is_din:
            floor, margin_db = self._all.percentile(DIN_FLOOR), DIN_MARGIN_DB
        else:
            floor, margin_db = self._quiet.percentile(USUAL_PEAK), STEADY_MARGIN_DB
            floor = self._known_dbfs if floor is None else floor
        return floor is None or dbfs(power) >= floor + margin_db


class _Recent:
    """The levels of the last so many samples."""

    def __init__(self, samples: int) -> None:
        self._longest = samples
        self._samples = 0
        self._levels: deque[tuple[float, int]] = deque()

    def add(self, level_dbfs: float, samples: int) -> None:
        self._levels.append((level_dbfs, samples))
        self._samples += samples
        while self._samples - self._levels[0][1] >= self._longest:
            self._samples -= self._levels.popleft()[1]

    def percentile(self, percent: float) -> float | None:
        """Of the levels, each block counting once; None when there is none."""
        if not self._levels:
            return None
        levels = sorted(level for level, _ in self._levels)
        return levels[round((len(levels) - 1) * percent / 100.0)]


def dbfs(power: float) -> float:
    """Decibels relative to a square wave of full scale."""
    return 10.0 * math.log10(max(power, LEAST_POWER))
