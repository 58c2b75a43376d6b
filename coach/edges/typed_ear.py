"""An ear and a voice without sound: lines from standard input, and silence."""

from __future__ import annotations

import queue
import threading
from typing import TextIO

from coach.hearing.hypothesis import Hint, Hypothesis
from coach.session.ports import EarClosed, EarEvent, SilencePassed, TextHeard

BLANK_LINE_S = 2.5
"""Silence that an empty line stands for."""


class TypedEar:
    """One utterance a line; an empty line is a silence. A thread reads, so that timers can fire."""

    def __init__(self, lines: TextIO) -> None:
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

    def _read(self, lines: TextIO) -> None:
        try:
            for line in lines:
                text = line.strip().lstrip("\ufeff")
                self._events.put(typed(text) if text else SilencePassed(BLANK_LINE_S))
        except (ValueError, OSError):
            pass  # standard input was closed under us: that is its end
        self._events.put(EarClosed())


def typed(text: str) -> TextHeard:
    """A line as something surely heard."""
    return TextHeard(Hypothesis(text, 1.0), typed=True)


class SilentVoice:
    """Says nothing aloud; the observer shows the lines."""

    def say(self, text: str) -> None:
        """Shown by the observer."""

    def cut_off(self) -> None:
        """Nothing is being said."""

    def busy(self) -> bool:
        """Never."""
        return False

    def change(self, rate: float, volume: float) -> None:
        """Nothing to change."""

    def close(self) -> None:
        """Nothing to release."""
