"""Hears the learner through a microphone, and tells the learner's words from the coach's own."""

from __future__ import annotations

import queue
import re
import threading
from collections import deque
from collections.abc import Callable
from dataclasses import replace
from typing import Protocol

from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.segmenter import TOO_LOUD, Activity, Segmenter, recognise
from coach.hearing.echo import interruption, is_echo, may_be_cut
from coach.hearing.endpointer import SpeechStart, TooLoud, Utterance
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.hearing.signal import SignalWatch, Trouble
from coach.session.ports import (
    EarClosed,
    EarEvent,
    EarReported,
    KeyHit,
    Recogniser,
    SpeechBegan,
    TextHeard,
)
from coach.trade.wording import cardinal

READ_TIMEOUT_S = 0.1
ECHO_TAIL_S = 0.3
"""The room and the buffers bring the coach's voice back this much after its line has ended."""
ANSWER_S = 0.25
"""Speech that goes on this long after the coach's line has ended holds words of the learner."""
CHECK_EVERY_S, CHECK_LENGTH_S = 0.5, 1.5
"""While the coach speaks, how often and how much of the open turn is listened to."""
CHECKS_AGREEING = 2
LEAST_CONFIDENCE = 0.3
"""Words less sure than this, in a turn that began while the coach spoke, are the garbled rest that
an echo canceller leaves of the coach's voice (from experience; common practice, no source)."""
NOTHING = Hypothesis("", 0.0)

TROUBLES = {
    Trouble.SILENT: (
        "The microphone gives nothing at all: see that it is switched on and not muted. "
        "The pedal and the keys work meanwhile."
    ),
    Trouble.NOT_NUMBERS: (
        "The microphone sends broken sound, so I may miss words: plug it in again, or choose "
        "another. The pedal and the keys work meanwhile."
    ),
    Trouble.CLIPPED: (
        "You are too loud for the microphone, and words get lost: hold it a hand farther away, "
        "or turn its gain down."
    ),
    Trouble.NOISE: (
        "The microphone gives only a loud hiss: turn it away from what hisses, or choose another. "
        "The pedal and the keys work meanwhile."
    ),
}


class BlockSource(Protocol):
    """Where samples come from, as coach.edges.microphone.Microphone."""

    def read(self, timeout_s: float) -> Samples | EarReported | None:
        """The next block of mono samples at SAMPLE_RATE_HZ, a report, or None when nothing came."""

    def waiting_s(self) -> float:
        """Seconds of sound that came in and were not read yet."""

    def close(self) -> None:
        """Release the device."""


class KeySource(Protocol):
    """Where keys come from, as coach.edges.keyboard.Keyboard."""

    def start(self, post: Callable[[str], None]) -> None:
        """Call `post` from now on for each key."""

    def close(self) -> None:
        """Stop."""


class SoundEar:
    """Hears through a microphone; implements the session's Ear.

    A thread of its own reads blocks, finds turns of speech and recognises them, so `next` only
    takes from a queue. Every SpeechBegan is followed by a TextHeard (empty when it was nothing).

    While the coach speaks, a turn may be the coach's own voice. Then SpeechBegan waits until the
    words show that it is not: parts of the open turn are recognised every half second, and a turn
    whose words are those of the coach's lines, or hardly words at all, is dropped; of a mixture of
    both only a call like "stop" is taken. An answer that runs into the end of the coach's line is
    recognised by itself. With headphones (`hears_itself` False) nothing is held
    back or dropped.

    `speaking` says whether the coach speaks now, `last_line` what, `noise_dbfs` what is known of
    the room. What is wrong with the sound itself is told among the events. An error in the thread
    (a recogniser that fails) is raised by `next`.
    """

    def __init__(
        self,
        source: BlockSource,
        recogniser: Recogniser,
        activity: Activity,
        speaking: Callable[[], bool] = lambda: False,
        last_line: Callable[[], str] = lambda: "",
        keyboard: KeySource | None = None,
        hears_itself: bool = True,
        noise_dbfs: float | None = None,
    ) -> None:
        self._source = source
        self._recogniser = recogniser
        self._segmenter = Segmenter(activity, noise_dbfs)
        self._watch = SignalWatch()
        self._coach = _CoachsVoice(speaking, last_line) if hears_itself else None
        self._keyboard = keyboard
        self._hint = Hint()
        self._events: queue.Queue[EarEvent | Exception] = queue.Queue()
        self._turn = _OpenTurn()
        self._closing = threading.Event()
        self._thread = threading.Thread(target=self._work, name="listening", daemon=True)
        self._thread.start()
        if keyboard is not None:
            keyboard.start(lambda key: self._events.put(KeyHit(key)))

    def listen(self, hint: Hint) -> None:
        """Say what is likely to come now."""
        self._hint = hint

    def report(self, message: str) -> None:
        """Put a word about another device (the loudspeaker) among the events."""
        self._events.put(EarReported(message))

    def next(self, timeout_s: float) -> EarEvent | None:
        """Wait at most `timeout_s` for the next thing heard; None when nothing came."""
        try:
            event = self._events.get(timeout=timeout_s)
        except queue.Empty:
            return EarClosed() if self._closing.is_set() else None
        if isinstance(event, Exception):
            raise event
        return event

    def close(self) -> None:
        """Release the microphone and the keyboard."""
        self._closing.set()
        if self._keyboard is not None:
            self._keyboard.close()
        self._thread.join(timeout=5.0)
        self._events.put(EarClosed())

    def _work(self) -> None:
        try:
            while not self._closing.is_set():
                got = self._source.read(READ_TIMEOUT_S)
                if isinstance(got, EarReported):
                    self._interrupt(got)
                elif got is not None:
                    self._hear(got)
        # Raised again by next(): a thread that dies unseen would look like silence.
        except Exception as error:
            self._events.put(error)
        finally:
            self._source.close()

    def _interrupt(self, report: EarReported) -> None:
        self._segmenter.restart()
        self._end_turn(NOTHING)
        self._events.put(report)

    def _hear(self, block: Samples) -> None:
        for trouble in self._watch.feed(block):
            self._events.put(EarReported(TROUBLES[trouble]))
        at_sample = self._segmenter.endpointer.at_sample
        if self._coach is not None:
            waiting = _samples(self._source.waiting_s())
            self._coach.look(at_sample + len(block) + waiting, behind=waiting > 0)
        self._segmenter.expect(self._hint)
        for cut in self._segmenter.feed(block):
            if isinstance(cut, SpeechStart):
                self._begin_turn(cut)
            elif isinstance(cut, Utterance):
                self._end_turn(self._words(cut))
            elif isinstance(cut, TooLoud):
                self._events.put(EarReported(TOO_LOUD))
        if self._turn.held and at_sample >= self._turn.check_at:
            self._check(at_sample)

    def _begin_turn(self, start: SpeechStart) -> None:
        held = self._coach is not None and self._coach.heard_since(start.at_sample) != ""
        self._turn = _OpenTurn(held=held, check_at=start.at_sample + _samples(CHECK_EVERY_S))
        if not held:
            self._announce()

    def _check(self, at_sample: int) -> None:
        """Listen into a turn that began while the coach spoke: is it the learner?"""
        turn = self._turn
        turn.check_at = at_sample + _samples(CHECK_EVERY_S)
        recent = self._segmenter.endpointer.recent(CHECK_LENGTH_S)
        hypothesis = self._recogniser.hear(recent, self._hint)
        heard = hypothesis.text
        said = "" if self._coach is None else self._coach.heard_since(at_sample - len(recent))
        called = interruption(heard, said)
        doubted, turn.doubted = turn.doubted, ""
        if called and called != doubted and may_be_cut(called, heard, said):
            called, turn.doubted = "", called
        turn.interruption = called
        words = heard if hypothesis.confidence >= LEAST_CONFIDENCE else ""
        foreign = bool(words) and not turn.doubted and not is_echo(words, said)
        turn.agreeing = turn.agreeing + 1 if foreign else 0
        sure = turn.interruption or (foreign and _all_foreign(heard, said))
        if sure or turn.agreeing >= CHECKS_AGREEING:
            turn.held = False
            turn.from_sample = at_sample - _samples(CHECK_LENGTH_S)
            self._announce()

    def _words(self, utterance: Utterance) -> Hypothesis:
        """The learner's words of a turn; empty for the coach's own voice and for noise."""
        begin = max(0, self._turn.from_sample - utterance.first_sample)
        heard = recognise(self._recogniser, utterance, self._hint, begin)
        if self._coach is None:
            return heard
        first = max(utterance.began_at_sample, self._turn.from_sample)
        said = self._coach.heard_since(first)
        if said:
            # A larger ear may know the coach's line in what an echo canceller left of it.
            heard = replace(heard, second_ear=None)
        if said and (called := interruption(heard.text, said) or self._turn.interruption):
            return replace(heard, text=called)
        if not is_echo(heard.text, said):
            return NOTHING if self._turn.held and heard.confidence < LEAST_CONFIDENCE else heard
        quiet_from = self._coach.spoke_until + _samples(ECHO_TAIL_S / 2)
        if utterance.ended_at_sample - quiet_from < _samples(ANSWER_S):
            return NOTHING
        begin = max(0, quiet_from - utterance.first_sample)
        answer = recognise(self._recogniser, utterance, self._hint, begin)
        answer = replace(answer, second_ear=None)
        # What the line held, too, counts here, as it was said after the line; but for its own end.
        words = len(answer.text.split())
        own_end = " ".join(said.split()[-words - 1 :])
        return NOTHING if words > 1 and is_echo(answer.text, own_end) else answer

    def _end_turn(self, heard: Hypothesis) -> None:
        if self._turn.held and heard.text:
            self._announce()
        if self._turn.announced:
            self._events.put(TextHeard(heard))
        self._turn = _OpenTurn()

    def _announce(self) -> None:
        self._turn.announced = True
        self._events.put(SpeechBegan())


class _OpenTurn:
    """What is known of the turn that is open."""

    def __init__(self, held: bool = False, check_at: int = 0) -> None:
        self.held = held
        self.check_at = check_at
        self.announced = False
        self.agreeing = 0
        self.from_sample = 0
        self.interruption = ""
        self.doubted = ""
        """A call that may be the beginning of a word of the coach's, until the next look."""


class _CoachsVoice:
    """Which lines of the coach may be in the sound, by sample numbers of the microphone."""

    def __init__(self, speaking: Callable[[], bool], last_line: Callable[[], str]) -> None:
        self._speaking = speaking
        self._last_line = last_line
        self._lines: deque[tuple[str, int]] = deque(maxlen=8)
        self.spoke_until = -SAMPLE_RATE_HZ

    def look(self, at_sample: int, behind: bool = False) -> None:
        """Note what is being said at this sample, the newest that came in.

        Where the ear is `behind` what comes in, a line may have begun and ended since the last
        look; then it is in the sound that waits.
        """
        line = _as_spoken(self._last_line())
        missed = behind and bool(line) and (not self._lines or self._lines[-1][0] != line)
        if not self._speaking() and not missed:
            return
        self.spoke_until = at_sample
        if self._lines and self._lines[-1][0] == line:
            self._lines.pop()
        self._lines.append((line, at_sample))

    def heard_since(self, sample: int) -> str:
        """The lines whose sound may have reached the microphone at or after this sample."""
        tail = _samples(ECHO_TAIL_S)
        return " ".join(line for line, until in self._lines if until + tail >= sample)


def _as_spoken(line: str) -> str:
    """The line with its digits as words, as a recogniser hears them."""
    return re.sub(r"\d{1,9}", lambda digits: cardinal(int(digits.group())), line)


def _all_foreign(heard: str, said: str) -> bool:
    """Whether no word of it is of the lines said: then one look is enough."""
    return not any(is_echo(word, said) for word in heard.split())


def _samples(seconds: float) -> int:
    return round(seconds * SAMPLE_RATE_HZ)
