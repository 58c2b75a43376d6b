"""A live practice led through the rig: the learner's words go into the virtual microphone.

    with running_rig() as rig, live_practice(rig, tmp_path, "suction", "--headset") as practice:
        practice.say("I'm ready")
        practice.wait_for("listening")

What the loudspeaker played and what went into the microphone are both recorded, by one clock.
"""

from __future__ import annotations

import contextlib
import json
import os
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from rig import Heard, SoundRig

from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.convert import convert
from coach.edges.synthesiser import SystemSynthesiser

QUIET_LEVEL = 0.01
"""Peak of 20 ms below which a virtual device is silent: there is no noise in it."""
PIECE_S = 0.02
QUIET_S = 0.4
PATIENCE_S = 25.0


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the program's JSON, and when it came."""

    at_s: float
    fields: dict[str, Any]


class LivePractice:
    """`coach practice` in a process of its own, its rows as they come."""

    def __init__(self, rig: SoundRig, heard: Heard, folder: Path, arguments: tuple[str, ...]):
        self.rows: list[Row] = []
        self._rig = rig
        self._heard = heard
        self._voice = SystemSynthesiser()
        self._changed = threading.Condition()
        self._keys, terminal = os.openpty()
        self.process = subprocess.Popen(
            [sys.executable, "-m", "coach", "practice", *arguments, "--json"],
            stdin=terminal,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env={**os.environ, **private(folder)},
        )
        os.close(terminal)
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def press(self, key: str) -> None:
        """Press a key or the pedal: what a terminal sends for it."""
        os.write(self._keys, key.encode())

    def say(self, words: str, rate: float = 1.0) -> None:
        """Say it into the microphone; returns when it is over."""
        samples, rate_hz = self._voice.render(words, rate)
        self._rig.speak(convert(samples, rate_hz))

    def wait_for(self, fits: Callable[[dict[str, Any]], object], since: int = 0) -> Row:
        """The first row from number `since` on that fits; AssertionError when none comes."""
        deadline = time.monotonic() + PATIENCE_S
        with self._changed:
            while True:
                found = next((row for row in self.rows[since:] if fits(row.fields)), None)
                if found is not None:
                    return found
                self._changed.wait(0.2)
                seen = [row.fields for row in self.rows[since:]]
                assert self.process.poll() is None, (seen, self.end())
                assert time.monotonic() < deadline, seen

    def answer(self, words: str) -> list[dict[str, Any]]:
        """Say it once the coach is quiet; the rows that came of it, when it is quiet again."""
        since, before = len(self.rows), len(self._heard.samples)
        self.say(words)
        self.wait_for(lambda row: row["type"] in {"listening", "summary"}, since)
        if self.said(since):
            self.wait_until_spoken(before)
        return [row.fields for row in self.rows[since:]]

    def wait_until_spoken(self, since_sample: int) -> None:
        """Until the loudspeaker has played something since then and is silent for QUIET_S."""
        self.wait_until_loud(since_sample)
        self._wait(lambda: not self._loud(len(self._heard.samples) - _samples(QUIET_S)))

    def wait_until_loud(self, since_sample: int) -> None:
        """Until the loudspeaker has played something since then."""
        self._wait(lambda: self._loud(since_sample))

    def _loud(self, since_sample: int) -> bool:
        return bool(np.abs(self._heard.samples[since_sample:]).max(initial=0.0) > QUIET_LEVEL)

    def _wait(self, holds: Callable[[], bool]) -> None:
        deadline = time.monotonic() + PATIENCE_S
        while not holds():
            assert time.monotonic() < deadline, [row.fields for row in self.rows[-5:]]
            time.sleep(0.02)

    def said(self, since: int = 0) -> list[str]:
        """The lines of the coach from row `since` on."""
        rows = [row.fields for row in self.rows[since:]]
        return [row["text"] for row in rows if row["type"] == "said"]

    def end(self) -> tuple[int, str]:
        """The exit code and what was printed to the error stream; killed when it does not end."""
        with contextlib.suppress(subprocess.TimeoutExpired):
            self.process.wait(timeout=20)
        self.process.kill()
        self._reader.join(timeout=5)
        assert self.process.stderr is not None
        self._voice.close()
        with contextlib.suppress(OSError):
            os.close(self._keys)
        return self.process.wait(), self.process.stderr.read()

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            with self._changed:
                self.rows.append(Row(time.monotonic(), json.loads(line)))
                self._changed.notify_all()


def private(folder: Path) -> dict[str, str]:
    """The environment in which nobody's settings and sessions count."""
    settings = folder / "settings.yaml"
    settings.write_text("rate: 1.3\nask-first: no\n")
    return {"COACH_DATA": str(folder), "COACH_CONFIG": str(settings)}


@contextlib.contextmanager
def live_practice(
    rig: SoundRig, folder: Path, *arguments: str, muted: bool = False
) -> Iterator[tuple[LivePractice, Heard]]:
    """A practice that is ready to hear "I'm ready"; killed at the end of the block.

    With `muted` the microphone gives digital silence.
    """
    with rig.recording() as heard:
        practice = LivePractice(rig, heard, folder, arguments)
        try:
            if not muted:
                rig.hiss()
            rig.speak(np.zeros(1600, np.float32))
            practice.wait_for(lambda row: row["type"] == "listening")
            practice.wait_until_spoken(0)
            yield practice, heard
        finally:
            if practice.process.poll() is None:
                practice.process.kill()
            practice.end()


def _samples(seconds: float) -> int:
    return round(seconds * SAMPLE_RATE_HZ)


def loud_pieces(samples: Samples, quiet_s: float) -> list[tuple[float, float]]:
    """Where something sounds: begin and end in seconds, parted by at least `quiet_s` of silence."""
    length = _samples(PIECE_S)
    whole = samples[: len(samples) // length * length].reshape(-1, length)
    loud = np.flatnonzero(np.abs(whole).max(axis=1) > QUIET_LEVEL)
    found: list[tuple[float, float]] = []
    for piece in loud:
        begin_s, end_s = piece * PIECE_S, (piece + 1) * PIECE_S
        if found and begin_s - found[-1][1] < quiet_s:
            found[-1] = (found[-1][0], end_s)
        else:
            found.append((begin_s, end_s))
    return found
