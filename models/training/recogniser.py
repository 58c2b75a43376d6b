"""The committed recogniser at run time: samples in, log-probabilities and text out. numpy and onnxruntime only."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import onnxruntime
from numpy.typing import NDArray

from ctc import greedy
from features import SAMPLE_RATE, log_mel

LEAD_SECONDS = 0.5
"""Quiet put before and after the speech; letters at the very edge of a window are lost otherwise."""

SHORTEST_SECONDS = 2.5
"""Shorter windows are filled up: the network was hardly trained on shorter ones."""

LONGEST_SECONDS = 11.0
DITHER_DB = -45.0
"""Level of the faint noise laid under everything, against the loudest sample. The network knows no
digital silence. Chosen on held-out synthetic voices, not on the recordings it is judged by."""


class Recogniser:
    """One loaded model; calls do not share state, so several threads may use it."""

    def __init__(self, path: Path, threads: int = 1) -> None:
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = threads
        self._session = onnxruntime.InferenceSession(
            str(path), options, providers=["CPUExecutionProvider"]
        )

    def log_probabilities(self, samples: NDArray[np.float32]) -> NDArray[np.float32]:
        """Natural-log probabilities (frames of 20 ms, 29 classes) of mono 16 kHz samples in -1..1.

        Raises ValueError for more than LONGEST_SECONDS or for anything but one channel.
        """
        if samples.ndim != 1 or len(samples) > LONGEST_SECONDS * SAMPLE_RATE:
            raise ValueError(
                f"need one channel of at most {LONGEST_SECONDS} s at {SAMPLE_RATE} Hz, got {samples.shape}"
            )
        features = log_mel(framed(samples))
        result: NDArray[np.float32] = self._session.run(None, {"features": features[None]})[0][0]
        return result

    def text(self, samples: NDArray[np.float32]) -> str:
        """The freely heard text, lower case, numbers in words; empty for silence."""
        return greedy(self.log_probabilities(samples))


def framed(samples: NDArray[np.float32]) -> NDArray[np.float32]:
    """The samples in the middle of a quiet window, over faint noise that is the same on every call."""
    edge = int(LEAD_SECONDS * SAMPLE_RATE)
    short = max(0, int(SHORTEST_SECONDS * SAMPLE_RATE) - len(samples) - 2 * edge)
    window = np.pad(samples.astype(np.float32), (edge + short // 2, edge + short - short // 2))
    loudest = max(float(np.abs(samples).max(initial=0.0)), 1e-3)
    noise = np.random.default_rng(1).standard_normal(len(window), dtype=np.float32)
    return window + noise * np.float32(loudest * 10 ** (DITHER_DB / 20))
