"""How likely each 32 ms of sound holds speech: Silero's small network, run by ONNX Runtime."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from coach.core.errors import MissingError
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.data_files import data_folder
from coach.edges.download import file_sha256

WINDOW_SAMPLES = 512
CONTEXT_SAMPLES = 64
STATE_SHAPE = (2, 1, 128)
MODEL = Path("voice-activity") / "silero_vad.onnx"
SHA256 = "7ed98ddbad84ccac4cd0aeb3099049280713df825c610a8ed34543318f1b2c49"
"""Of that file, as its card has it: what is damaged may load and then never hear anybody."""


def model_path() -> Path:
    """Where the network lies; MissingError when the program is not whole."""
    return data_folder("models") / MODEL


_UNFIT = "The network that hears where speech begins is missing or damaged"
_WAY_OUT = "install the program again, or type instead of speaking meanwhile (--typed)."


def _check(path: Path) -> None:
    """MissingError for a file that is not the one it should be."""
    try:
        same = file_sha256(path) == SHA256
    except OSError as error:
        raise MissingError(f"{_UNFIT} ({path}): {_WAY_OUT}") from error
    if not same:
        raise MissingError(f"{_UNFIT} (the SHA-256 of {path} differs): {_WAY_OUT}")


class VoiceActivity:
    """The probability of speech, window by window; remembers what came before.

    Raises MissingError when the network's file is missing or damaged.
    """

    def __init__(self, path: Path | None = None) -> None:
        import onnxruntime

        path = path or model_path()
        _check(path)
        options = onnxruntime.SessionOptions()
        options.inter_op_num_threads = options.intra_op_num_threads = 1
        options.log_severity_level = 3
        try:
            self._session: Any = onnxruntime.InferenceSession(
                str(path), sess_options=options, providers=["CPUExecutionProvider"]
            )
        # ONNX Runtime's errors have no common class but this.
        except Exception as error:
            raise MissingError(f"{_UNFIT} ({path}): {_WAY_OUT}") from error
        self._rate = np.array(SAMPLE_RATE_HZ, dtype=np.int64)
        self.reset()

    def reset(self) -> None:
        """Forget what came before, as at the beginning of a stream."""
        self._state = np.zeros(STATE_SHAPE, dtype=np.float32)
        self._context = np.zeros(CONTEXT_SAMPLES, dtype=np.float32)

    def probability(self, window: Samples) -> float:
        """The probability (0 to 1) of speech in the next window of WINDOW_SAMPLES samples."""
        if len(window) != WINDOW_SAMPLES:
            raise ValueError(f"{len(window)} samples given, {WINDOW_SAMPLES} wanted")
        given = np.concatenate([self._context, window]).astype(np.float32)
        output, self._state = self._session.run(
            None, {"input": given[np.newaxis], "state": self._state, "sr": self._rate}
        )
        self._context = given[-CONTEXT_SAMPLES:]
        return float(output[0, 0])
