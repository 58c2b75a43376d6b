"""What the session needs of the world; adapters are in `coach.edges`, fakes in `tests/fakes.py`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from coach.core.sound import Samples
from coach.dialogue.events import Event
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.trade.pacing import Beat


@dataclass(frozen=True, slots=True)
class TextHeard:
    """An utterance as words; `typed` ones are certain, `called` ones followed the coach's name."""

    hypothesis: Hypothesis
    typed: bool = False
    called: bool = False


@dataclass(frozen=True, slots=True)
class SpeechBegan:
    """Somebody began to speak."""


@dataclass(frozen=True, slots=True)
class SilencePassed:
    """The learner said nothing for this long (a blank typed line, a scripted pause)."""

    seconds: float


@dataclass(frozen=True, slots=True)
class KeyHit:
    """A key or pedal: "yes", "next" or "repeat"."""

    key: str


@dataclass(frozen=True, slots=True)
class EarReported:
    """The microphone went or came back; `message` tells the learner."""

    message: str


@dataclass(frozen=True, slots=True)
class EarClosed:
    """Nothing more will come."""


@dataclass(frozen=True, slots=True)
class NextCalled:
    """The next student was called by voice: this attempt is over."""


@dataclass(frozen=True, slots=True)
class SetupChanged:
    """The learner changed a setting before the attempt was begun: it begins anew with that."""


EarEvent = (
    TextHeard
    | SpeechBegan
    | SilencePassed
    | KeyHit
    | EarReported
    | EarClosed
    | NextCalled
    | SetupChanged
)


class Ear(Protocol):
    """Where the learner's words come from."""

    def listen(self, hint: Hint) -> None:
        """Say what is likely to come now."""

    def next(self, timeout_s: float) -> EarEvent | None:
        """Wait at most `timeout_s` for the next thing heard; None when nothing came."""

    def close(self) -> None:
        """Release the device or file."""


class Voice(Protocol):
    """Where the coach's words go."""

    def say(self, text: str) -> None:
        """Queue one line; returns at once."""

    def pace(self, beats: tuple[Beat, ...], words: bool = False) -> None:
        """Sound beats after what is queued, as clicks or as `words`; returns at once."""

    def cut_off(self) -> None:
        """Stop at once and drop what is queued; silence within a tenth of a second."""

    def busy(self) -> bool:
        """Whether a line is being spoken or queued."""

    def change(self, rate: float, volume: float) -> None:
        """Factors of the ordinary rate and volume for lines said from now on."""

    def close(self) -> None:
        """Say what is queued to its end, then release the device; on an exception drop it."""


class Recogniser(Protocol):
    """Turns one utterance into words."""

    name: str

    def hear(self, samples: Samples, hint: Hint) -> Hypothesis:
        """The words of one utterance (mono float32 at SAMPLE_RATE_HZ)."""


class Synthesiser(Protocol):
    """Turns a line into sound."""

    def render(self, text: str, rate: float = 1.0) -> tuple[Samples, int]:
        """Mono samples in -1..1, trimmed of silence, and their rate in Hz."""


class Clock(Protocol):
    """Seconds since the session began; never goes back."""

    def now_s(self) -> float:
        """Seconds since the session began."""


class Journal(Protocol):
    """Keeps every event before it acts."""

    def append(self, event: Event) -> None:
        """Write one event and flush it to disk; returns only when it is safe there."""
