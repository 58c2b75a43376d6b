"""The coach's voice: lines are rendered ahead, played in order, and cut off at once."""

from __future__ import annotations

import contextlib
import sys
import threading
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from coach.core.errors import CoachError
from coach.core.sound import Samples
from coach.edges.convert import convert
from coach.edges.loudspeaker import Speaker
from coach.edges.pace_sound import BRISK, RATE_HZ, sounded, spoken_beat
from coach.session.ports import Synthesiser
from coach.trade.pacing import Beat

TRIES = 5
LOOK_S = 0.1
BACK = "The loudspeaker is back."


@dataclass(slots=True, eq=False)
class _Line:
    text: str
    rate: float
    volume: float
    cut: threading.Event = field(default_factory=threading.Event)
    sound: tuple[Samples, int] | None = None


class SpokenVoice:
    """Speaks through a synthesiser and a speaker; implements the session's Voice.

    One thread renders the queued lines in order, another plays them, so a line is usually ready
    before the one before it ends. Nothing here raises while a session runs: when the system's
    voice or the loudspeaker fails, `on_trouble` is called (from a thread of this object) with
    what to tell the learner, once until it works again. A line whose loudspeaker is gone is tried
    again every `try_again_s` seconds, TRIES times, then dropped. `kept_ready` are lines that can be
    said, at the ordinary rate, also where nothing can be rendered any more.
    """

    def __init__(
        self,
        synthesiser: Synthesiser,
        speaker: Speaker,
        on_trouble: Callable[[str], None] | None = None,
        try_again_s: float = 1.0,
        kept_ready: Sequence[str] = (),
    ) -> None:
        self._synthesiser = synthesiser
        self._speaker = speaker
        self._on_trouble = on_trouble or (lambda _message: None)
        self._try_again_s = try_again_s
        self._to_keep_ready = list(kept_ready)
        self._ready: dict[str, tuple[Samples, int]] = {}
        self._lines: deque[_Line] = deque()
        self._changed = threading.Condition()
        self._closing = False
        self._rate = self._volume = 1.0
        self._last_line = ""
        self._troubled = False
        self._threads = [
            threading.Thread(target=work, name=name, daemon=True)
            for work, name in ((self._render, "rendering lines"), (self._play, "playing lines"))
        ]
        for thread in self._threads:
            thread.start()

    def say(self, text: str) -> None:
        """Queue one line; returns at once."""
        with self._changed:
            self._lines.append(_Line(text, self._rate, self._volume))
            self._changed.notify_all()

    def pace(self, beats: tuple[Beat, ...], words: bool = False) -> None:
        """Queue beats as clicks or as `words`; where the voice fails, as clicks."""
        try:
            sound = sounded(beats, self._word if words else None)
        except CoachError as failure:
            self._report(str(failure))
            sound = sounded(beats)
        line = _Line("", self._rate, self._volume, sound=(sound, RATE_HZ))
        with self._changed:
            self._lines.append(line)
            self._changed.notify_all()

    def cut_off(self) -> None:
        """Stop at once and drop what is queued."""
        with self._changed:
            for line in self._lines:
                line.cut.set()
            self._lines.clear()
            self._changed.notify_all()

    def busy(self) -> bool:
        """Whether a line is being spoken or queued."""
        return bool(self._lines)

    def last_line(self) -> str:
        """The line being spoken, or the last that was."""
        return self._last_line

    def change(self, rate: float, volume: float) -> None:
        """Factors of the ordinary rate and volume for lines said from now on."""
        self._rate, self._volume = rate, volume

    def close(self) -> None:
        """Say what is queued to its end and release the loudspeaker; the synthesiser stays open.

        While an exception (Ctrl-C, too) is on its way, what is queued is dropped.
        """
        if sys.exception() is None:
            self._say_to_the_end()
        self._closing = True
        self.cut_off()
        for thread in self._threads:
            thread.join(timeout=2.0)
        self._speaker.close()

    def _say_to_the_end(self) -> None:
        with self._changed:
            while self._lines and all(thread.is_alive() for thread in self._threads):
                self._changed.wait(LOOK_S)

    def _word(self, beat: Beat) -> Samples:
        samples, rate_hz = self._synthesiser.render(spoken_beat(beat), BRISK)
        return convert(samples, rate_hz, RATE_HZ)

    def _render(self) -> None:
        while (line := self._next(lambda line: line.sound is None)) is not None:
            try:
                sound = self._synthesiser.render(line.text, line.rate)
            except CoachError as failure:
                if line.text not in self._ready:
                    self._report(str(failure))
                    self._done(line)
                    continue
                sound = self._ready[line.text]
            with self._changed:
                line.sound = sound
                self._changed.notify_all()
            self._get_ready()

    def _get_ready(self) -> None:
        """Not before the first line, which somebody waits for."""
        while self._to_keep_ready:
            text = self._to_keep_ready.pop()
            with contextlib.suppress(CoachError):
                self._ready[text] = self._synthesiser.render(text)

    def _play(self) -> None:
        while (line := self._next(lambda line: line is self._lines[0] and line.sound)) is not None:
            self._last_line = line.text
            self._play_line(line)
            self._done(line)

    def _play_line(self, line: _Line) -> None:
        assert line.sound is not None
        samples, rate_hz = line.sound
        louder = np.asarray(np.clip(samples * line.volume, -1.0, 1.0), dtype=np.float32)
        for _ in range(TRIES):
            try:
                self._speaker.play(louder, rate_hz, line.cut)
            except CoachError as failure:
                self._report(str(failure))
                if line.cut.wait(self._try_again_s):
                    return
            else:
                if self._troubled:
                    self._troubled = False
                    self._on_trouble(BACK)
                return

    def _next(self, fits: Callable[[_Line], object]) -> _Line | None:
        """Wait for the first queued line that fits; None when closing."""
        with self._changed:
            while not self._closing:
                found = next((line for line in self._lines if fits(line)), None)
                if found is not None:
                    return found
                self._changed.wait()
        return None

    def _done(self, line: _Line) -> None:
        with self._changed:
            # A line that was cut off has left the queue already.
            if line in self._lines:
                self._lines.remove(line)
            self._changed.notify_all()

    def _report(self, message: str) -> None:
        if not self._troubled:
            self._troubled = True
            self._on_trouble(message)
