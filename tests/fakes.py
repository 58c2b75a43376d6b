"""Fakes of the session's ports, for tests."""

from __future__ import annotations

from collections import deque
from typing import Any

from coach.core.meaning import Expectation, Meaning
from coach.core.plain import Fields
from coach.dialogue.events import Event
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.session.ports import EarClosed, EarEvent, SilencePassed, TextHeard
from coach.trade.pacing import Beat


class FakeClock:
    """Stands still but for what is skipped."""

    def __init__(self) -> None:
        self.seconds = 0.0

    def now_s(self) -> float:
        return self.seconds

    def skip(self, seconds: float) -> None:
        self.seconds += seconds


class FakeEar:
    """Hears the given events, words given as plain text and silences as numbers of seconds."""

    def __init__(self, *events: EarEvent | str | float) -> None:
        self.hints: list[Hint] = []
        self._events = deque(events)

    def listen(self, hint: Hint) -> None:
        self.hints.append(hint)

    def next(self, timeout_s: float) -> EarEvent | None:
        if not self._events:
            return EarClosed()
        event = self._events.popleft()
        if isinstance(event, str):
            return TextHeard(Hypothesis(event, 1.0), typed=True)
        if isinstance(event, int | float):
            return SilencePassed(float(event))
        return event

    def close(self) -> None:
        self._events.clear()


class FakeVoice:
    """Speaks in no time; keeps what was said and when it was cut off."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.cuts = 0
        self.paces: list[tuple[Beat, ...]] = []
        self.settings: list[tuple[float, float]] = []

    def say(self, text: str) -> None:
        self.lines.append(text)

    def pace(self, beats: tuple[Beat, ...], words: bool = False) -> None:
        self.paces.append(beats)

    def cut_off(self) -> None:
        self.cuts += 1

    def busy(self) -> bool:
        return False

    def change(self, rate: float, volume: float) -> None:
        self.settings.append((rate, volume))

    def close(self) -> None:
        pass


class SlowVoice(FakeVoice):
    """Speaks each line for as many looks at it as are given."""

    def __init__(self, looks: int) -> None:
        super().__init__()
        self._looks = looks
        self._left = 0

    def say(self, text: str) -> None:
        super().say(text)
        self._left = self._looks

    def busy(self) -> bool:
        self._left -= 1
        return self._left >= 0


class FakeJournal:
    """Keeps events in memory."""

    def __init__(self) -> None:
        self.events: list[Event] = []

    def append(self, event: Event) -> None:
        self.events.append(event)


class FakeObserver:
    """Keeps everything it is told, in order."""

    def __init__(self) -> None:
        self.log: list[tuple[str, Any]] = []

    def said(self, text: str) -> None:
        self.log.append(("said", text))

    def listening(self, step: str | None, expect: Expectation | None) -> None:
        self.log.append(("listening", (step, expect)))

    def heard(self, meaning: Meaning) -> None:
        self.log.append(("heard", meaning))

    def noted(self, name: str, data: Fields) -> None:
        self.log.append((name, data))
