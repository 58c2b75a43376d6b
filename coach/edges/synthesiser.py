"""The system's voice: turns a line into sound, ahead of time, in a child process."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import queue
import shutil
import subprocess
import sys
import tempfile
import threading
import weakref
from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from coach.core.errors import CoachError, MissingError
from coach.core.sound import Samples
from coach.edges.convert import to_mono

WORDS_PER_MINUTE = 170
"""The ordinary rate; brisk speech, still clear through a headset (common practice, no source)."""
PEAK = 0.7
"""Every line is brought to this peak, which leaves room for "louder"."""
SILENCE = 0.004
"""Below this amplitude (-48 dBFS) the ends of a rendering count as silence."""
KEEP_BEFORE_S, KEEP_AFTER_S = 0.005, 0.04
WORKER = ["-m", "coach.edges.synthesiser_worker"]
LINES_IN_MEMORY = 300
LINES_ON_DISK = 2_000
ROOM_BYTES = 1_000_000
"""More than the longest line takes: two sentences, at 22,050 samples of two bytes a second."""
START_TIMEOUT_S, RENDER_TIMEOUT_S = 20.0, 10.0
PREFERRED_VOICES = ("en-us", "en_us", "english (america", "united states", "en-gb", "english", "en")
"""American English first: it was recognised best when heard again (5 of 5 lines, "en" 3 of 5)."""


@dataclass(frozen=True, slots=True)
class SystemVoice:
    """A voice the system has: the library's own id, and its name for people."""

    id: str
    name: str


class SystemSynthesiser:
    """Renders lines with the system's voice; a cache makes each line cost only once.

    `voice` is an id or part of a voice's name, None for American English. With `cache_folder`
    rendered lines outlive the program. Raises MissingError when the system has no speech, no such
    voice, or does not answer.
    """

    def __init__(self, voice: str | None = None, cache_folder: Path | None = None) -> None:
        self._wanted = voice
        self._cache_folder = cache_folder
        self._memory: OrderedDict[str, tuple[Samples, int]] = OrderedDict()
        self._lock = threading.Lock()
        self._voice: SystemVoice | None = None
        self._worker: _Worker | None = None
        if cache_folder is not None:
            _forget_oldest(cache_folder)

    def voices(self) -> list[SystemVoice]:
        """The voices the system has."""
        with self._lock:
            return self._voices()

    def voice(self) -> SystemVoice:
        """The voice in use."""
        with self._lock:
            return self._chosen()

    def render(self, text: str, rate: float = 1.0) -> tuple[Samples, int]:
        """Mono samples in -1..1, trimmed of silence, and their rate in Hz.

        `rate` is a factor of the ordinary rate.
        """
        words_per_minute = max(60, min(400, round(WORDS_PER_MINUTE * rate)))
        with self._lock:
            key = _key(text, words_per_minute, self._chosen().id)
            if key in self._memory:
                self._memory.move_to_end(key)
                return self._memory[key]
            line = self._from_disk(key) or self._rendered(text, words_per_minute, key)
            self._memory[key] = line
            if len(self._memory) > LINES_IN_MEMORY:
                self._memory.popitem(last=False)
            return line

    def close(self) -> None:
        """End the child process and remove its files."""
        # Not under the lock: a rendering that hangs is ended, too.
        if self._worker is not None:
            self._worker.close()

    def _rendered(self, text: str, words_per_minute: int, key: str) -> tuple[Samples, int]:
        request = {"do": "render", "text": text, "words_per_minute": words_per_minute}
        frames, rate_hz = self._ask_for_sound({**request, "voice": self._chosen().id})
        line = _levelled(trim_silence(to_mono(frames), rate_hz)), rate_hz
        self._to_disk(key, line)
        return line

    def _ask_for_sound(self, request: dict[str, Any]) -> tuple[Any, int]:
        import soundfile

        worker = self._working()
        file = worker.folder / "line.wav"
        self._ask({**request, "file": str(file)}, RENDER_TIMEOUT_S)
        frames, rate_hz = np.zeros(0, dtype=np.float32), 22_050
        if file.exists():
            try:
                frames, rate_hz = soundfile.read(str(file), dtype="float32")
            except (OSError, RuntimeError) as error:
                raise _broken(f"a line could not be rendered: {error}") from error
            finally:
                file.unlink(missing_ok=True)
        if not len(frames) and any(letter.isalnum() for letter in request["text"]):
            raise worker.failure("a line came to no sound")
        return frames, int(rate_hz)

    def _ask(self, request: dict[str, Any], timeout_s: float) -> dict[str, Any]:
        answer = self._working().ask(request, timeout_s)
        if "error" in answer:
            raise _broken(answer["error"])
        return answer

    def _working(self) -> _Worker:
        if self._worker is None or not self._worker.alive:
            self._worker = _Worker()
        return self._worker

    def _voices(self) -> list[SystemVoice]:
        answer = self._ask({"do": "voices"}, START_TIMEOUT_S)
        return [SystemVoice(identity, name) for identity, name in answer["voices"]]

    def _chosen(self) -> SystemVoice:
        if self._voice is None:
            self._voice = choose_voice(self._voices(), self._wanted)
        return self._voice

    def _from_disk(self, key: str) -> tuple[Samples, int] | None:
        if self._cache_folder is None:
            return None
        import soundfile

        try:
            with soundfile.SoundFile(str(self._cache_folder / f"{key}.flac")) as file:
                samples, promised, rate_hz = (
                    file.read(dtype="float32"),
                    file.frames,
                    file.samplerate,
                )
        # A line that is missing or damaged is rendered again.
        except (OSError, RuntimeError):
            return None
        return (samples, int(rate_hz)) if len(samples) == promised else None

    def _to_disk(self, key: str, line: tuple[Samples, int]) -> None:
        if self._cache_folder is None or not len(line[0]):
            return
        import soundfile

        unfinished = self._cache_folder / f"{key}.{os.getpid()}.part"
        # The cache only saves time: a full or locked disk must not end a session.
        try:
            self._cache_folder.mkdir(parents=True, exist_ok=True)
            soundfile.write(str(unfinished), line[0], line[1], format="FLAC", subtype="PCM_16")
            unfinished.replace(self._cache_folder / f"{key}.flac")
        except (OSError, RuntimeError):
            # Half a line would only take the room that is lacking.
            with contextlib.suppress(OSError):
                unfinished.unlink(missing_ok=True)


class _Worker:
    """The child process with its own folder; its answers are read with a limit of time."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="coach-lines-"))
        # Also when the program ends without close().
        self._remove_folder = weakref.finalize(self, shutil.rmtree, self.folder, True)
        package_parent = str(Path(__file__).resolve().parents[2])
        known = os.environ.get("PYTHONPATH")
        paths = package_parent if not known else os.pathsep.join([package_parent, known])
        self._process = subprocess.Popen(
            [sys.executable, *WORKER, str(self.folder)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            encoding="utf-8",
            env={**os.environ, "PYTHONPATH": paths, "PYTHONUTF8": "1"},
        )
        self._answers: queue.Queue[str] = queue.Queue()
        threading.Thread(target=self._read, name="synthesiser answers", daemon=True).start()
        started = self._answer(START_TIMEOUT_S)
        if "error" in started:
            self.close()
            raise _broken(started["error"])

    @property
    def alive(self) -> bool:
        """Whether the process still runs."""
        return self._process.poll() is None

    def ask(self, request: dict[str, Any], timeout_s: float) -> dict[str, Any]:
        """The answer to a request; MissingError when none comes, and the process is ended."""
        assert self._process.stdin is not None
        try:
            self._process.stdin.write(json.dumps(request) + "\n")
            self._process.stdin.flush()
        except (OSError, ValueError) as error:
            self.close()
            raise _broken("its process ended") from error
        return self._answer(timeout_s)

    def failure(self, otherwise: str) -> CoachError:
        """Why there is no sound: where the disk is full the library gives none, or hangs."""
        room = self.folder / "room"
        try:
            room.write_bytes(bytes(ROOM_BYTES))
        except OSError as error:
            return MissingError(
                f"The voice has no room for its lines in {self.folder.parent} ({error.strerror}): "
                "free some space, or set TMPDIR to a folder on another disk."
            )
        finally:
            with contextlib.suppress(OSError):
                room.unlink(missing_ok=True)
        return _broken(otherwise)

    def close(self) -> None:
        """End the process at once and remove its folder."""
        self._process.kill()
        self._process.wait()
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                with contextlib.suppress(OSError):
                    pipe.close()
        self._remove_folder()

    def _answer(self, timeout_s: float) -> dict[str, Any]:
        try:
            line = self._answers.get(timeout=timeout_s)
            answer: dict[str, Any] = json.loads(line)
        except (queue.Empty, ValueError) as error:
            failure = self.failure(f"no answer within {timeout_s:g} s")
            self.close()
            raise failure from error
        return answer

    def _read(self) -> None:
        assert self._process.stdout is not None
        with contextlib.suppress(OSError, ValueError):
            for line in self._process.stdout:
                self._answers.put(line)
        self._answers.put("")


def choose_voice(voices: list[SystemVoice], wanted: str | None = None) -> SystemVoice:
    """The voice of that id or name (or part of it), or the best English one for None.

    MissingError when there is none, with the names of some there are.
    """
    for sought in (wanted,) if wanted else PREFERRED_VOICES:
        exact = [
            voice
            for voice in voices
            if sought.lower() in (voice.id.lower(), voice.name.lower())
            or voice.id.lower().replace("_", "-").endswith(f"/{sought.lower()}")
        ]
        part = [voice for voice in voices if sought.lower() in f"{voice.id} {voice.name}".lower()]
        if exact or part:
            return (exact or part)[0]
    english = [voice.name for voice in voices if "english" in voice.name.lower()]
    some = ", ".join((english or [voice.name for voice in voices])[:5])
    raise MissingError(
        f"There is no voice {wanted!r}: choose one of {some} (see `coach devices`)."
        if wanted and some
        else "The system has no English voice: install one (see `coach devices`)."
    )


def trim_silence(samples: Samples, rate_hz: int) -> Samples:
    """The samples without the silence at both ends (a few milliseconds of it are kept)."""
    loud = np.flatnonzero(np.abs(samples) > SILENCE)
    if not len(loud):
        return samples[:0]
    begin = max(0, int(loud[0]) - round(KEEP_BEFORE_S * rate_hz))
    return samples[begin : int(loud[-1]) + 1 + round(KEEP_AFTER_S * rate_hz)]


def _levelled(samples: Samples) -> Samples:
    peak = float(np.abs(samples).max()) if len(samples) else 0.0
    return samples if peak == 0.0 else np.asarray(samples * (PEAK / peak), dtype=np.float32)


def _key(text: str, words_per_minute: int, voice: str) -> str:
    parts = json.dumps([sys.platform, voice, words_per_minute, text])
    return hashlib.sha256(parts.encode()).hexdigest()[:32]


def _forget_oldest(folder: Path) -> None:
    with contextlib.suppress(OSError):
        files = sorted(folder.glob("*.flac"), key=lambda file: file.stat().st_mtime)
        for file in files[:-LINES_ON_DISK]:
            file.unlink(missing_ok=True)


def _broken(reason: str) -> CoachError:
    return MissingError(
        f"The system's voice does not work ({reason}). "
        + (
            "Install espeak-ng (Debian, Ubuntu: apt install espeak-ng), or practise with --typed."
            if sys.platform.startswith("linux")
            else "Look at the speech settings of the system, or practise with --typed."
        )
    )
