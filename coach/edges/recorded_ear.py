"""Hears a recording instead of a microphone."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator

import numpy as np

from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.segmenter import TOO_LOUD, Activity, Segmenter, recognise
from coach.edges.voice_activity import WINDOW_SAMPLES
from coach.hearing.endpointer import Cut, SpeechStart, TooLoud, Utterance
from coach.hearing.hypothesis import Hint
from coach.session.ports import (
    EarClosed,
    EarEvent,
    EarReported,
    Recogniser,
    SilencePassed,
    SpeechBegan,
    TextHeard,
)

SHORTEST_SILENCE_S = 0.5


class RecordedEar:
    """Hears a recording; implements the session's Ear without a thread or a clock.

    The recording drives time: it goes on only while `next` is called and the coach does not
    speak, as fast as it can be recognised, and waits after each event. A gap of half a second or
    more before an utterance (or before the end) comes as SilencePassed; the end is EarClosed.
    """

    def __init__(
        self,
        sound: Samples | Iterable[Samples],
        recogniser: Recogniser,
        activity: Activity,
        speaking: Callable[[], bool] = lambda: False,
    ) -> None:
        """Begin to hear `sound`: all of it at 16 kHz, or its blocks, of any length, in order."""
        self._windows = windows_of([sound] if isinstance(sound, np.ndarray) else sound)
        self._recogniser = recogniser
        self._segmenter = Segmenter(activity)
        self._speaking = speaking
        self._hint = Hint()
        self._at = self._quiet_since = 0
        self._pending: deque[tuple[EarEvent | Utterance, int]] = deque()
        self._told_until = 0
        self._over = False

    @property
    def told_until_s(self) -> float:
        """Where in the recording the thing that came last ended, in seconds."""
        return self._told_until / SAMPLE_RATE_HZ

    def listen(self, hint: Hint) -> None:
        """Say what is likely to come now."""
        self._hint = hint

    def next(self, timeout_s: float) -> EarEvent | None:
        """The next thing in the recording; None when the coach spoke all through `timeout_s`."""
        deadline = time.monotonic() + timeout_s
        while self._speaking():
            left_s = deadline - time.monotonic()
            if left_s <= 0:
                return None
            time.sleep(min(left_s, 0.01))
        while not self._pending and not self._over:
            self._advance()
        if not self._pending:
            return EarClosed()
        first, self._told_until = self._pending.popleft()
        if isinstance(first, Utterance):
            # Only now, so that the hint is the one of the moment the words are wanted.
            return TextHeard(recognise(self._recogniser, first, self._hint))
        return first

    def close(self) -> None:
        """Give nothing more."""
        self._over = True
        self._pending.clear()

    def _advance(self) -> None:
        self._segmenter.expect(self._hint)
        window = next(self._windows, None)
        if window is None:
            self._over = True
            cuts = [*self._segmenter.endpointer.finish()]
        else:
            self._at += len(window)
            cuts = self._segmenter.feed(window)
        for cut in cuts:
            self._take(cut)
        if self._over:
            self._pass_silence(self._at)

    def _take(self, cut: Cut) -> None:
        if isinstance(cut, SpeechStart):
            self._pass_silence(cut.at_sample)
            self._pending.append((SpeechBegan(), cut.at_sample))
        elif isinstance(cut, Utterance):
            self._quiet_since = cut.ended_at_sample
            self._pending.append((cut, cut.ended_at_sample))
        elif isinstance(cut, TooLoud):
            self._pending.append((EarReported(TOO_LOUD), self._told_until))

    def _pass_silence(self, until_sample: int) -> None:
        seconds = (until_sample - self._quiet_since) / SAMPLE_RATE_HZ
        if seconds >= SHORTEST_SILENCE_S:
            self._pending.append((SilencePassed(seconds), self._quiet_since))


def windows_of(blocks: Iterable[Samples]) -> Iterator[Samples]:
    """The same sound in pieces of WINDOW_SAMPLES; the last one may be shorter."""
    rest: Samples = np.zeros(0, dtype=np.float32)
    for block in blocks:
        sound = np.concatenate([rest, block]) if len(rest) else block
        whole = len(sound) - len(sound) % WINDOW_SAMPLES
        for at in range(0, whole, WINDOW_SAMPLES):
            yield sound[at : at + WINDOW_SAMPLES]
        rest = sound[whole:]
    if len(rest):
        yield rest
