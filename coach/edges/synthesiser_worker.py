"""A child process that renders lines with the system's voice: `python -m ... FOLDER`.

The speech library hangs, prints, and leaves files behind when its process is stopped; alone in
a process it can be ended at any time without harm. It reads one JSON request a line and
answers with one JSON line:

    {"do": "voices"}  ->  {"voices": [[id, name], ...], "voice": the one in use}
    {"do": "render", "text": ..., "words_per_minute": 170, "voice": id, "file": path}  ->  {}

Any answer may be {"error": reason} instead. The first line it writes is {} or an error. When its
input ends it removes FOLDER, so that nothing stays behind even if its parent was killed.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import sys
import time
from pathlib import Path
from typing import IO, Any

SETTLING_S = 1.0
"""Longest wait for a voice or rate to be taken over; the library does it in the background."""
TRIES = 3
EMPTY_WAV_BYTES = 44


def main(folder: Path) -> None:
    """Answer requests until the input ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    # The library prints to standard output: keep the answers apart from that.
    answers = os.fdopen(os.dup(sys.stdout.fileno()), "w", encoding="utf-8")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    try:
        renderer = Renderer(folder)
    # Whatever the system's speech raises is told to the parent, which knows what to advise.
    except Exception as error:
        _answer(answers, {"error": f"{type(error).__name__}: {error}"})
        return
    _answer(answers, {})
    try:
        for line in sys.stdin:
            _answer(answers, renderer.reply(json.loads(line)))
    finally:
        shutil.rmtree(folder, ignore_errors=True)


class Renderer:
    """The speech library, used for files only: after the first file it cannot speak aloud."""

    def __init__(self, folder: Path) -> None:
        import pyttsx3

        self._engine: Any = pyttsx3.init()
        # Before the first rendering the library drops changes of rate.
        self._save("ready", folder / "ready.wav")

    def reply(self, request: dict[str, Any]) -> dict[str, Any]:
        """The answer to one request."""
        try:
            if request["do"] == "voices":
                return self._voices()
            self._settle("voice", request["voice"])
            self._settle("rate", request["words_per_minute"])
            self._save(request["text"], Path(request["file"]))
        # As above: a failed line is told, not the end of the process.
        except Exception as error:
            return {"error": f"{type(error).__name__}: {error}"}
        return {}

    def _voices(self) -> dict[str, Any]:
        voices = [[str(voice.id), str(voice.name)] for voice in self._engine.getProperty("voices")]
        return {"voices": voices, "voice": str(self._engine.getProperty("voice"))}

    def _settle(self, name: str, value: Any) -> None:
        if value is None or self._engine.getProperty(name) == value:
            return
        self._engine.setProperty(name, value)
        deadline = time.monotonic() + SETTLING_S
        while self._engine.getProperty(name) != value and time.monotonic() < deadline:
            time.sleep(0.002)

    def _save(self, text: str, file: Path) -> None:
        # Now and then the library writes a file without sound: then it is asked again.
        for _ in range(TRIES):
            file.unlink(missing_ok=True)
            self._engine.save_to_file(text, str(file))
            self._engine.runAndWait()
            if _written(file):
                return


def _written(file: Path) -> bool:
    deadline = time.monotonic() + SETTLING_S
    size = -1
    while time.monotonic() < deadline:
        now = file.stat().st_size if file.exists() else -1
        if now >= 0 and now == size:
            return now > EMPTY_WAV_BYTES
        size = now
        time.sleep(0.002)
    return False


def _answer(answers: IO[str], answer: dict[str, Any]) -> None:
    answers.write(json.dumps(answer) + "\n")
    answers.flush()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
