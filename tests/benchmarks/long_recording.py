"""A long recording assessed: python -m tests.benchmarks.long_recording

Attempts of tests/data/golden_attempts.yaml, at other skills so that none ends the one assessed, are
spoken by synthetic voices one after the other, with silences and other people's talk between, until
the recording is `--minutes` long, over the noise of a room (white noise where the recordings are
not at hand). `coach assess` hears it in a process of its own, and so a recording of a tenth of it.
Told: the time as a share of the length, of the wall and of the processor, and the most memory, and
how much of it comes with the length. The exit code is 1 above what is aimed at. Needs espeak-ng.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
import yaml

from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.wave_file import read_recording
from coach.language.context import Context
from coach.language.understand import understand

from .hearing.synthesisers import Voice, missing_programs, rendered
from .recognisers import recordings
from .voices import SPEECH_LEVEL
from .written_attempts import written_attempts

MOST_OF_LENGTH = 0.25
"""Share of its length in which a recording is to be assessed on two cores (the issue's figure)."""

MOST_MORE_MB = 80.0
"""Memory that nine tenths of an hour may cost: sound is let go (200 MB), what is heard is kept, and
what the language remembers of words it has compared is bounded."""

HEARD = 0.9
"""Share of the recording in which the last thing has to be heard."""

LEARNERS = (Voice("espeak-ng", "en-us+f4"), Voice("espeak-ng", "en-us+m6", words_a_minute=150))
OTHERS = (Voice("espeak-ng", "en-us+Andrea"), Voice("espeak-ng", "en-gb+klatt6"))
TALK_DB = (-15.0, -3.0)
"""Level of other people's talk, relative to the learner's."""

NOISE_DB = -15.0
TALK = Path(__file__).parent.parent / "data" / "small_talk.yaml"
SKILL = "oral-airway"


def main(arguments: Sequence[str]) -> int:
    """Print the figures; 1 above what is aimed at."""
    parser = argparse.ArgumentParser(description="A long recording assessed.")
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args(arguments)
    if "espeak-ng" in missing_programs():
        sys.exit("espeak-ng is not installed: install it with the system's packages.")
    noise, room = _noise()
    with tempfile.TemporaryDirectory() as folder:
        shares, most_mb = [], []
        for minutes in (asked.minutes / 10, asked.minutes):
            path = Path(folder) / f"{minutes:.0f}.wav"
            talk_s = write(path, minutes, noise, random.Random(asked.seed))
            wall_s, processor_s, memory_mb = _assessed(
                path, Path(folder) / f"data-{minutes}", 60 * minutes
            )
            shares.append(wall_s / (60 * minutes))
            most_mb.append(memory_mb)
            sys.stdout.write(
                f"{minutes:g} minutes ({100 * talk_s / (60 * minutes):.0f} % speech, {room}): "
                f"{wall_s:.0f} s, {shares[-1]:.3f} of the length (at most {MOST_OF_LENGTH}); "
                f"processor {processor_s:.0f} s, {processor_s / (60 * minutes):.3f} of it; at most "
                f"{memory_mb:.0f} MB\n"
            )
            sys.stdout.flush()
    more = most_mb[1] - most_mb[0]
    sys.stdout.write(f"the longer one takes {more:.0f} MB more (at most {MOST_MORE_MB:.0f})\n")
    return 0 if shares[-1] <= MOST_OF_LENGTH and more <= MOST_MORE_MB else 1


def _noise() -> tuple[Samples, str]:
    """Noise to loop, and what it is."""
    found = sorted((recordings() / "noise" / "test").glob("*.flac"))
    if found:
        return read_recording(found[0]), f"noise of {found[0].stem}"
    rng = np.random.default_rng(1)
    return rng.normal(0, 1, 30 * SAMPLE_RATE_HZ).astype(np.float32), "white noise"


def write(path: Path, minutes: float, noise: Samples, dice: random.Random) -> float:
    """Write the recording, a piece at a time; the seconds of speech in it."""
    import soundfile

    wanted, at, speech = round(60 * minutes * SAMPLE_RATE_HZ), 0, 0
    power = float(np.sqrt(np.mean(noise**2)))
    bed = noise * (SPEECH_LEVEL * 10 ** (NOISE_DB / 20) / power)
    with soundfile.SoundFile(path, "w", SAMPLE_RATE_HZ, 1, "PCM_16") as file:
        for piece, spoken in pieces(dice):
            piece = piece[: wanted - at]
            under = np.resize(np.roll(bed, -(at % len(bed))), len(piece))
            file.write(np.clip(piece + under, -1.0, 1.0))
            at += len(piece)
            speech += len(piece) if spoken else 0
            if at >= wanted:
                return speech / SAMPLE_RATE_HZ
    raise AssertionError("the pieces never end")


def pieces(dice: random.Random) -> Iterator[tuple[Samples, bool]]:
    """Speech (True) and silences (False), without end."""
    attempts = [written for written in written_attempts() if written.skill != SKILL]
    talk = yaml.safe_load(TALK.read_text("utf-8"))
    while True:
        learner = dice.choice(LEARNERS)
        for turn in dice.choice(attempts).turns:
            if isinstance(turn, str):
                if understand(turn, Context()).command is not None:
                    continue  # "I'm finished" would end the attempt, and the rest be free
                yield _at_level(rendered(turn, learner), 0.0), True
                yield _silence(dice.uniform(1.0, 4.0)), False
            else:
                yield _silence(float(turn)), False
            if dice.random() < 0.15:
                said = rendered(str(dice.choice(talk)), dice.choice(OTHERS))
                yield _at_level(said, dice.uniform(*TALK_DB)), True
                yield _silence(dice.uniform(0.5, 2.0)), False
        yield _silence(dice.uniform(10.0, 40.0)), False


def _at_level(sound: Samples, level_db: float) -> Samples:
    gain = SPEECH_LEVEL * 10 ** (level_db / 20) / max(float(np.sqrt(np.mean(sound**2))), 1e-6)
    return (sound * gain).astype(np.float32)


def _silence(seconds: float) -> Samples:
    return np.zeros(round(seconds * SAMPLE_RATE_HZ), np.float32)


def _assessed(path: Path, data: Path, lasts_s: float) -> tuple[float, float, float]:
    """Seconds of the wall and of the processor, and the most memory in MB, of `coach assess`."""
    command = [sys.executable, "-m", "coach", "assess", str(path), "--skill", SKILL, "--json"]
    began = time.perf_counter()
    process = subprocess.Popen(
        command, stdout=subprocess.PIPE, env={**os.environ, "COACH_DATA": str(data)}
    )
    assert process.stdout is not None
    printed = process.stdout.read()
    _, status, used = os.wait4(process.pid, 0)
    wall_s = time.perf_counter() - began
    if status:
        sys.exit(
            f"coach assess {path.name} came to an exit code of {os.waitstatus_to_exitcode(status)}."
        )
    heard_s = json.loads(printed.splitlines()[-1])["seconds"]
    if heard_s < HEARD * lasts_s:
        sys.exit(
            f"The attempt ended after {heard_s:.0f} s of {lasts_s:.0f}: that measures nothing."
        )
    return wall_s, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
