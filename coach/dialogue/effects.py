"""What the conversation asks of the world: say, listen, time, note, finish."""

from __future__ import annotations

from dataclasses import dataclass, field

from coach.core.meaning import Expectation
from coach.core.plain import Fields
from coach.trade.pacing import Beat


@dataclass(frozen=True, slots=True)
class Say:
    """Speak one line; `urgent` cuts off whatever is being said."""

    text: str
    urgent: bool = False


@dataclass(frozen=True, slots=True)
class GivePace:
    """Sound these beats from now on, at their times; CutOff ends them."""

    beats: tuple[Beat, ...]


@dataclass(frozen=True, slots=True)
class Listen:
    """The coach now listens: for this step (None when none is left), for this kind of answer."""

    step: str | None
    expect: Expectation | None


@dataclass(frozen=True, slots=True)
class StartTimer:
    """Fire TimerFired(name) after `seconds`, counted from the end of the coach's line unless
    `at_once`; a timer of the same name is replaced."""

    name: str
    seconds: float
    at_once: bool = False


@dataclass(frozen=True, slots=True)
class CancelTimer:
    """Forget the timer of that name, if there is one."""

    name: str


@dataclass(frozen=True, slots=True)
class CutOff:
    """Stop speaking at once and forget what was still to be said."""


@dataclass(frozen=True, slots=True)
class SetVoice:
    """Change how the coach speaks: `rate` and `volume` are factors of the ordinary (1.0)."""

    rate: float
    volume: float


@dataclass(frozen=True, slots=True)
class Noted:
    """Something worth keeping for the report: a plain name and its data."""

    name: str
    data: Fields = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Finish:
    """The session is over."""


Effect = Say | GivePace | Listen | StartTimer | CancelTimer | CutOff | SetVoice | Noted | Finish
