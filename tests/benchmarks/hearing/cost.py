"""What hearing costs: seconds from a closed segment to its meaning, and memory."""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from coach.core.sound import SAMPLE_RATE_HZ
from coach.edges.wave_file import write_recording
from coach.hearing.endpointer import NUMBER_HANGOVER_S, Limits

from ..voices import LEAD_S, TAIL_S
from .clips import cast, spoken
from .judged_clips import BOTH, Listeners, timed
from .synthesisers import rendered
from .wanted import readings, steps

SECONDS = (1.7, 2.3)
"""Lengths of the sentences that are timed: "2 s of speech"."""

HANGOVERS_S = (Limits().hangover_s, NUMBER_HANGOVER_S)
"""Silence that closes a turn, and one in which a number is awaited: not in the seconds measured."""

SKILL = "oxygen-cylinder"
SAYS = (
    "I'm ready",
    "gloves and glasses are on",
    "what's left",
    "seventeen hundred p s i",
    "yes",
    "stop",
    "yes",
)
LOOKS_S = 0.02


def seconds(engine: str, noise_folder: Path | None, count: int) -> list[float]:
    """How long each of some sentences of about 2 s took, the first ones not counted."""
    listeners = Listeners((engine,), noise_folder)
    dice = random.Random(400)
    clips = spoken("speed", [*readings(count, dice), *steps(count, dice)], (10.0,), 400)
    low, high = (round((s + LEAD_S + TAIL_S) * SAMPLE_RATE_HZ) for s in SECONDS)
    fitting = [clip for clip in clips if low <= len(listeners.booth.sound(clip)) <= high]
    for clip in fitting[:3]:
        timed(listeners, clip)
    return [timed(listeners, clip) for clip in fitting]


def peak_megabytes(engine: str) -> float | None:
    """The most memory that `coach practice --from` held; None where Linux's /proc is missing.

    The whole program: segmenter, recogniser, language, session, the coach's voice.
    """
    if not Path("/proc/self/status").is_file():
        return None
    pause = np.zeros(3 * SAMPLE_RATE_HZ, np.float32)
    sound = np.concatenate([part for text in SAYS for part in (rendered(text, cast()[0]), pause)])
    with tempfile.TemporaryDirectory() as folder:
        recording = Path(folder) / "learner.wav"
        write_recording(recording, sound, SAMPLE_RATE_HZ)
        command = [sys.executable, "-m", "coach", "practice", SKILL, "--from", str(recording)]
        command += ["--keep", str(Path(folder) / "said.wav")]
        command += ["--engine", "own" if engine == BOTH else engine]
        without_second_ear = {"COACH_MODELS": folder} if engine == "own" else {}
        process = subprocess.Popen(
            command,
            env={**os.environ, **without_second_ear},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        peak = 0
        while process.poll() is None:
            peak = max(peak, _peak_kilobytes(process.pid))
            time.sleep(LOOKS_S)
    if process.returncode:
        raise RuntimeError(f"{' '.join(command)} ended with {process.returncode}")
    return peak * 1024 / 1e6


def _peak_kilobytes(pid: int) -> int:
    """The high-water mark of a process's resident memory."""
    try:
        lines = Path(f"/proc/{pid}/status").read_text(encoding="utf-8").splitlines()
    except (FileNotFoundError, ProcessLookupError):
        return 0
    return next((int(line.split()[1]) for line in lines if line.startswith("VmHWM")), 0)
