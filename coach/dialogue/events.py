"""What happened, in the past tense. Event classes are the journal's format: change them with care.

Every event carries `at_s`, seconds since the session began, by the session's clock.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from coach.core.meaning import Meaning
from coach.core.units import Unit

CONVERSATION = 4
"""How sessions are talked that begin today. In the second way a leading coach asks about what was
told too early, a quiet one answers commands in a pause as outside of it, a yes ends what is timed,
and burned areas, temperatures and weights are heard as what they are. In the third a number that
cannot be never stands. In the fourth a question for the dose is answered, points are those of the
part of a score that is named with them, a number that is asked for anew is that of the reading it
was asked for, the time of day alone calls a time, and what would come before everything is offered
as no step."""


@dataclass(frozen=True, slots=True)
class SessionStarted:
    """A session began with these choices; `complications` are the ids that will come, in order.

    `highest_psi` is the highest fill of the cylinder in use, `overfill_percent` how far a gauge may
    stand above it. `reserve_unit` is the unit of pressure in which the reserve was given, and is
    spoken (where that is psi, in the one that the gauge is read in). `program` is the local program
    by whose rules it is practised, with its date; "" for none.

    `way` is how it is practised (led, recall, assessed, drill), `learner` the id of whose attempt
    it is ("" for nobody's), `limit_seconds` the time limit that is called (0 for none),
    `hint_seconds` the pause after which recall hints. `scenario` is the id of the scenario played,
    `happenings` what was drawn of it.
    `pressure_unit` is what a pressure said without its unit is taken for.
    `training_cylinder`: the cylinder holds no pressure, so that one is assumed.
    `safety_ends`: an attempt that is assessed ends at the first safety failure. `ends_as_told`:
    a look or feel that is timed ends where the telling of it begins, not where it was heard.
    `conversation` is how it is talked: journals of before it was kept have the first way, so that
    they come to what they came to then (`coach.dialogue.earlier_sessions`).
    """

    at_s: float
    skill: str
    choices: Mapping[str, str] = field(default_factory=dict)
    complications: tuple[str, ...] = ()
    region: str = "us"
    cylinder: str = "D"
    factor_litres_per_psi: float = 0.16
    reserve_psi: float = 200.0
    reserve_unit: Unit = Unit.PSI
    highest_psi: float = 2200.0
    overfill_percent: float = 10.0
    nudge_seconds: float = 20.0
    program: str = ""
    way: str = "led"
    learner: str = ""
    limit_seconds: float = 0.0
    hint_seconds: float = 20.0
    scenario: str = ""
    happenings: tuple[str, ...] = ()
    safety_ends: bool = False
    pressure_unit: Unit = Unit.PSI
    training_cylinder: bool = False
    ends_as_told: bool = False
    conversation: int = 1


@dataclass(frozen=True, slots=True)
class Heard:
    """An utterance was understood (perhaps as nothing)."""

    at_s: float
    meaning: Meaning


@dataclass(frozen=True, slots=True)
class SpeechStarted:
    """The learner began to speak."""

    at_s: float


@dataclass(frozen=True, slots=True)
class SpeechEnded:
    """The learner stopped speaking; what was said follows as Heard unless it was noise."""

    at_s: float


@dataclass(frozen=True, slots=True)
class LineEnded:
    """The coach finished (or was cut off in) everything it had to say, and listens."""

    at_s: float


@dataclass(frozen=True, slots=True)
class TimerFired:
    """A timer set by StartTimer ran out."""

    at_s: float
    name: str


@dataclass(frozen=True, slots=True)
class KeyPressed:
    """A key or pedal: "yes", "next" or "repeat"."""

    at_s: float
    key: str


@dataclass(frozen=True, slots=True)
class DeviceReported:
    """The microphone or loudspeaker went or came back; `message` is said."""

    at_s: float
    message: str


@dataclass(frozen=True, slots=True)
class SessionResumed:
    """The session was taken up again after it was broken off."""

    at_s: float


@dataclass(frozen=True, slots=True)
class InputEnded:
    """No more input can come: the end of the typed lines, the recording or the script."""

    at_s: float


@dataclass(frozen=True, slots=True)
class NextLearnerCalled:
    """The next student was called by voice, which ends the attempt; the name is not kept here."""

    at_s: float


Event = (
    SessionStarted
    | Heard
    | SpeechStarted
    | SpeechEnded
    | LineEnded
    | TimerFired
    | KeyPressed
    | DeviceReported
    | SessionResumed
    | InputEnded
    | NextLearnerCalled
)
