"""Sound inside the program: one channel, at one rate."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:  # a session by keyboard needs no arrays
    import numpy as np
    from numpy.typing import NDArray

SAMPLE_RATE_HZ = 16_000
"""Rate of every sample block inside the program; edges convert."""

Samples: TypeAlias = "NDArray[np.float32]"
"""Mono samples in -1..1 at SAMPLE_RATE_HZ."""
