"""What one utterance means, before anyone decides what to do about it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from coach.core.units import Quantity, Unit

YES_NO = "yes-no"
Expectation = Quantity | str
"""What the coach has just asked for: a Quantity, or YES_NO."""


class Kind(StrEnum):
    """The main meaning of an utterance; where it carries several, the first of this order wins."""

    READING = "reading"
    ANSWER = "answer"
    COMMAND = "command"
    STEP = "step"
    CYLINDER = "cylinder"
    NONE = "none"


class Command(StrEnum):
    """What a learner can ask of the coach at any time."""

    NEXT = "next"
    BACK = "back"
    REPEAT = "repeat"
    WHY = "why"
    HOW = "how"
    LEFT = "left"
    TIME = "time"
    SKIP = "skip"
    PAUSE = "pause"
    RESUME = "resume"
    RESTART = "restart"
    UNDO = "undo"
    HELP = "help"
    STOP = "stop"
    QUIET = "quiet"
    SLOWER = "slower"
    FASTER = "faster"
    LOUDER = "louder"
    SOFTER = "softer"
    SHORTER = "shorter"
    LONGER = "longer"


class Part(StrEnum):
    """Which part of a step was spoken of; PARTNER: by the other person of a step for two."""

    DONE = "done"
    CLOCK_START = "clock-start"
    CLOCK_END = "clock-end"
    PARTNER = "partner"


class CylinderTold(StrEnum):
    """What the learner says of a cylinder whose pressure is asked for.

    TRAINING: one to train with, that holds no pressure. REAL: none of those. EMPTY: only that
    nothing is in it, which may be either.
    """

    TRAINING = "training"
    REAL = "real"
    EMPTY = "empty"


class Doubt(StrEnum):
    """Why a number needs a yes before it stands, the weightiest last."""

    HEDGED = "hedged"
    SOUND_ALIKE = "sound-alike"
    OUT_OF_RANGE = "out-of-range"


class Outlook(StrEnum):
    """How a number is told that is not told as it is.

    INTENDED: what the speaker means to do ("I'm going to set it to ten"). SUPPOSED: a duty, a
    wish, a condition, what is usual ("it should be fifteen", "if it is under ninety").
    """

    INTENDED = "intended"
    SUPPOSED = "supposed"


@dataclass(frozen=True, slots=True)
class StepMention:
    """A step spoken of surely; `denied` when the learner says it was not done.

    `found`: it was denied by a finding, not by saying so ("there is a leak").
    `choice` is the option of the setting that the step chooses, if one was named.
    """

    step: str
    denied: bool = False
    part: Part = Part.DONE
    choice: str | None = None
    found: bool = False


@dataclass(frozen=True, slots=True)
class DoubtedStep:
    """A step told as done in words that may tell that it was done carelessly: `words` are those."""

    step: str
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Reading:
    """A number as said, in the unit said (or the awaited quantity's own, if none was).

    `values` holds one number, or two for a blood pressure (systolic, diastolic). `alternatives`
    are numbers that sound like it and would make sense too. `outlook` is None where it is told
    as it is, and tells otherwise what is only planned or supposed. `could_be_in` are the units, as
    they are said, that it may be meant in where none was said and the coach has to ask; the one
    that it is taken in comes first.
    """

    quantity: Quantity
    values: tuple[float, ...]
    unit: Unit
    unit_said: bool = False
    doubt: Doubt | None = None
    alternatives: tuple[float, ...] = ()
    outlook: Outlook | None = None
    could_be_in: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Meaning:
    """One utterance understood.

    `text` is the best hypothesis in lower case without punctuation. `answer` is "yes" or "no".
    `likely` are steps it may have been about, too weakly to act on, likeliest first.
    `cylinder` is what is said of the cylinder itself. `doubted` are the steps that its words tell
    as done, but perhaps carelessly; they are `likely` too.
    `done_said` marks a general "done" that names no step, `idle` a filler ("okay", "um") that
    needs no reply. `confidence` is 0 to 1.
    """

    text: str
    kind: Kind = Kind.NONE
    command: Command | None = None
    answer: str | None = None
    steps: tuple[StepMention, ...] = ()
    readings: tuple[Reading, ...] = ()
    likely: tuple[str, ...] = ()
    done_said: bool = False
    idle: bool = False
    confidence: float = 0.0
    cylinder: CylinderTold | None = None
    doubted: tuple[DoubtedStep, ...] = ()
