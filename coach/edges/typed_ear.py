"""An ear and a voice without sound: lines from standard input, and silence."""

from __future__ import annotations

import io
import queue
import threading
from typing import TextIO

from coach.hearing.hypothesis import Hint, Hypothesis
from coach.session.ports import EarClosed, EarEvent, EarReported, SilencePassed, TextHeard
from coach.trade.pacing import Beat

BLANK_LINE_S = 2.5
"""Silence that an empty line stands for."""

LONGEST_LINE = 2_000
"""Letters of the longest line that is read: some two minutes of speech, more than anyone says."""

TOO_LONG = "That was too long to follow. Say it again in a sentence or two."


class TypedEar:
    """One utterance a line; an empty line is a silence. A thread reads, so that timers can fire."""

    def __init__(self, lines: TextIO | None) -> None:
        """Read `lines` to their end; None, as standard input is when it was closed, has none."""
        if isinstance(lines, io.TextIOWrapper):
            # What is not text in the terminal's encoding is one odd letter, not the end.
            lines.reconfigure(errors="replace")
        self._events: queue.Queue[EarEvent] = queue.Queue()
        self._thread = threading.Thread(target=self._read, args=(lines,), daemon=True)
        self._thread.start()

    def listen(self, hint: Hint) -> None:
        """Typed words need no hint."""

    def next(self, timeout_s: float) -> EarEvent | None:
        """The next line, or None when none came in time."""
        try:
            return self._events.get(timeout=timeout_s)
        except queue.Empty:
            return None

    def close(self) -> None:
        """The reading thread ends with the program."""

    def _read(self, lines: TextIO | None) -> None:
        try:
            for line in lines or ():
                self._events.put(_event(line.lstrip("\ufeff").strip()))
        except (ValueError, OSError):
            pass  # standard input was closed under us: that is its end
        finally:
            self._events.put(EarClosed())


def _event(text: str) -> EarEvent:
    """What a line without its break stands for."""
    if len(text) > LONGEST_LINE:
        return EarReported(TOO_LONG)
    return typed(text) if text else SilencePassed(BLANK_LINE_S)


def typed(text: str) -> TextHeard:
    """A line as something surely heard."""
    return TextHeard(Hypothesis(text, 1.0), typed=True)


class SilentVoice:
    """Says nothing aloud; the observer shows the lines."""

    def say(self, text: str) -> None:
        """Shown by the observer."""

    def pace(self, beats: tuple[Beat, ...], words: bool = False) -> None:
        """Not sounded."""

    def cut_off(self) -> None:
        """Nothing is being said."""

    def busy(self) -> bool:
        """Never."""
        return False

    def change(self, rate: float, volume: float) -> None:
        """Nothing to change."""

    def close(self) -> None:
        """Nothing to release."""
