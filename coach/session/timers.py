"""The session's timers, on whatever clock it runs by."""

from __future__ import annotations


class Timers:
    """Named timers; one started while the coach speaks counts from the end of the line."""

    def __init__(self) -> None:
        self._due_s: dict[str, float] = {}
        self._waiting_s: dict[str, float] = {}

    def start(self, name: str, seconds: float, now_s: float | None) -> None:
        """Start a timer from `now_s`, or from the end of the line when it is None."""
        self.cancel(name)
        if now_s is None:
            self._waiting_s[name] = seconds
        else:
            self._due_s[name] = now_s + seconds

    def cancel(self, name: str) -> None:
        """Forget a timer."""
        self._due_s.pop(name, None)
        self._waiting_s.pop(name, None)

    def armed(self, name: str) -> bool:
        """Whether the timer is set."""
        return name in self._due_s or name in self._waiting_s

    def line_ended(self, now_s: float) -> None:
        """The coach's line is over: the timers that waited for it begin to count."""
        for name, seconds in self._waiting_s.items():
            self._due_s[name] = now_s + seconds
        self._waiting_s.clear()

    def next_due_s(self) -> float | None:
        """When the next timer fires; None when none is counting."""
        return min(self._due_s.values(), default=None)

    def take_due(self, now_s: float) -> str | None:
        """Remove and return the timer that is due longest; None when none is."""
        name = min(self._due_s, key=lambda name: self._due_s[name], default=None)
        if name is None or self._due_s[name] > now_s:
            return None
        del self._due_s[name]
        return name
