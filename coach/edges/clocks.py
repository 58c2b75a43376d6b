"""Clocks: the wall's, one on which silence can be skipped, and one that only moves when told."""

from __future__ import annotations

import time


class RealClock:
    """Seconds since it was made, and silence that was skipped; `start_s` for a session resumed."""

    def __init__(self, start_s: float = 0.0) -> None:
        self._began = time.monotonic()
        self._skipped_s = start_s

    def now_s(self) -> float:
        """Seconds since the session began."""
        return time.monotonic() - self._began + self._skipped_s

    def skip(self, seconds: float) -> None:
        """Let this much time pass at once."""
        self._skipped_s += seconds


class ScriptClock:
    """A clock that stands still but for what is skipped, so that a script always runs alike."""

    def __init__(self) -> None:
        self._now_s = 0.0

    def now_s(self) -> float:
        """Seconds skipped so far."""
        return self._now_s

    def skip(self, seconds: float) -> None:
        """Let this much time pass."""
        self._now_s += seconds
