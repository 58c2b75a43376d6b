"""Our own network at run time: samples in, log-probabilities out."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import onnxruntime
from numpy.typing import NDArray

from coach.core.errors import MissingError
from coach.core.sound import SAMPLE_RATE_HZ
from coach.hearing.ctc import VOCABULARY, greedy
from coach.hearing.features import BANDS, LONGEST_SECONDS, framed, log_mel


class AcousticModel:
    """One loaded network; calls do not share state, so several threads may use it."""

    def __init__(self, path: Path, threads: int = 1) -> None:
        """Load an ONNX file; MissingError when it is not there or not such a network."""
        if not path.is_file():
            raise MissingError(f"The speech model {path} does not exist: check the path.")
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = threads
        options.log_severity_level = 4
        try:
            self._session = onnxruntime.InferenceSession(
                str(path), options, providers=["CPUExecutionProvider"]
            )
        except Exception as why:  # onnxruntime raises a class of its own for each way to fail
            raise MissingError(
                f"{path} is no speech model this program can load: give an ONNX file made by "
                "models/training, or leave the model out."
            ) from why
        inputs = [item.name for item in self._session.get_inputs()]
        width = self._session.get_outputs()[0].shape[-1]
        if inputs != ["features"] or width != len(VOCABULARY) + 1:
            raise MissingError(
                f"{path} is an ONNX file, but not a speech model of this program: it takes "
                f"{', '.join(inputs)} and gives {width} classes; needed are features of {BANDS} "
                f"bands and {len(VOCABULARY) + 1} classes."
            )

    def log_probabilities(self, samples: NDArray[np.float32]) -> NDArray[np.float32]:
        """Natural-log probabilities (frames of 20 ms, 29 classes) of mono 16 kHz samples in -1..1.

        Raises ValueError for more than LONGEST_SECONDS or for anything but one channel.
        """
        if samples.ndim != 1 or len(samples) > LONGEST_SECONDS * SAMPLE_RATE_HZ:
            raise ValueError(
                f"need one channel of at most {LONGEST_SECONDS} s at {SAMPLE_RATE_HZ} Hz, "
                f"got {samples.shape}"
            )
        features = log_mel(framed(samples))
        result: NDArray[np.float32] = self._session.run(None, {"features": features[None]})[0][0]
        return result

    def text(self, samples: NDArray[np.float32]) -> str:
        """The freely heard text, lower case, numbers in words; empty for silence."""
        return greedy(self.log_probabilities(samples))
