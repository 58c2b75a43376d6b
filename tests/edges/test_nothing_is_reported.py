"""The libraries under the recogniser leave no device id and no report to be sent."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

HEAR_SILENCE = """
import numpy as np
from coach.edges.embedded_recogniser import EmbeddedRecogniser
from coach.edges.voice_activity import VoiceActivity
from coach.hearing.hypothesis import Hint
VoiceActivity().probability(np.zeros(512, np.float32))
EmbeddedRecogniser().hear(np.zeros(16000, np.float32), Hint())
"""
SUPPRESSED_BY = ("CI", "ORT_DISABLE_TELEMETRY", "ORT_RUNNING_UNIT_TESTS", "XDG_CACHE_HOME")
"""With these ONNX Runtime would be silent by itself, or write elsewhere."""


def test_hearing_leaves_nothing_behind(tmp_path: Path) -> None:
    environment = {name: value for name, value in os.environ.items() if name not in SUPPRESSED_BY}
    subprocess.run(
        [sys.executable, "-c", HEAR_SILENCE],
        check=True,
        env={**environment, "HOME": str(tmp_path)},
        timeout=60,
    )
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []
