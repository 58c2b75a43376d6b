"""A skill, exactly as an instructor wrote it, and one with its settings chosen.

Texts may hold `{setting}` (how the chosen option is said) and `{setting.fact}` (a named fact of the
chosen option); `coach.procedure.resolve` fills them in.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from coach.core.units import Quantity, Unit
from coach.trade.amounts import WrittenPressure
from coach.trade.consciousness import Scale
from coach.trade.pacing import Pattern
from coach.trade.rates import Counted

COUNTED = "count"
"""The name of the reading that a count asks for."""


@dataclass(frozen=True, slots=True)
class HeardAs:
    """What a learner may say for something; see `coach.language.context.Words` for the meaning."""

    phrases: tuple[str, ...] = ()
    keys: tuple[str, ...] = ()
    absent: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Prerequisite:
    """A step that must come first, and why; `safety` when the other order could hurt someone."""

    step: str
    because: str
    safety: bool = False


class TakenBy(StrEnum):
    """How a blood pressure is taken: by ear it has two numbers, by touch only the upper one."""

    EITHER = ""
    EAR = "ear"
    TOUCH = "touch"


CHOSEN = frozenset(
    {
        *(Quantity.DOSE, Quantity.FLOW, Quantity.LENGTH, Quantity.SIZE, Quantity.VACUUM),
        *(Quantity.AIRWAY_PRESSURE, Quantity.PULL),
    }
)
"""Quantities that a learner usually sets or chooses; any other is a finding, which may be what it
is. A reading of a skill file says otherwise by `chosen`."""

AHEAD = frozenset({Quantity.TIME, Quantity.DOSE})
"""Quantities that a learner usually names before they come about; any other is told when it is
read or set. A reading of a skill file says otherwise by `ahead`."""

INTENDED = "intended"
"""Names of readings that begin so are of a plan: a flow that no oxygen runs at yet."""


@dataclass(frozen=True, slots=True)
class AlsoIn:
    """Numbers that are right in another unit, `low` to `high` (both lawful)."""

    unit: Unit
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class ReadingSpec:
    """A number the learner must say: `low` and `high` (both lawful) in `unit`.

    `name` tells two readings of one step apart. `ask` is the coach's question. `outside`
    is what the coach says of a number that was confirmed and lies outside. `by` is how a blood
    pressure is taken, `lower` the range of its lower number (both ends lawful; None for that of
    the upper one). `assumed` is the pressure that is taken for a training cylinder without
    pressure; None where none is. `chosen`: the learner sets or chooses it, so that a wrong one is
    unsafe where another step may not be done without this one; None is as usual for its quantity.
    `also` are the ranges in units to which there is no way from `unit`. A number under `bad_below`
    or over `bad_above` stands, and brings what its step `brings`; None where no number does.
    `ahead`: it is told before it comes about ("in how many minutes?"), so that a plan of it is all
    there is to tell; None is as usual for its quantity. `burned_age_years`: it is a burned area of
    a body of that age, held against the parts that were told of as burned; None for anything else.
    `sums`: pulse pressure and mean of a blood pressure by ear are worked out and told. `scale`:
    `low` and `high` are the ends of a scale, so that no number can lie beyond them.
    """

    name: str
    quantity: Quantity
    unit: Unit
    low: float
    high: float
    ask: str
    outside: str = ""
    sources: tuple[str, ...] = ()
    by: TakenBy = TakenBy.EITHER
    lower: tuple[float, float] | None = None
    assumed: WrittenPressure | None = None
    chosen: bool | None = None
    bad_below: float | None = None
    bad_above: float | None = None
    also: tuple[AlsoIn, ...] = ()
    ahead: bool | None = None
    burned_age_years: float | None = None
    sums: bool = False
    scale: bool = False

    @property
    def counts_for_safety(self) -> bool:
        """Whether the learner answers for the number."""
        return self.quantity in CHOSEN if self.chosen is None else self.chosen

    @property
    def told_ahead(self) -> bool:
        """Whether a plan is what the learner is asked for."""
        usual = self.quantity in AHEAD or self.name.startswith(INTENDED)
        return usual if self.ahead is None else self.ahead

    @property
    def in_centimetres(self) -> bool:
        """Whether its question asks for centimetres, while its range is in millimetres."""
        return self.unit is Unit.MILLIMETRES and "centimeters" in self.ask.lower()

    def is_bad(self, value: float) -> bool:
        """Whether a number (in `unit`) is a finding that something has to follow from."""
        low, high = self.bad_below, self.bad_above
        return (low is not None and value < low) or (high is not None and value > high)


@dataclass(frozen=True, slots=True)
class ClockSpec:
    """Seconds told aloud from the words of `start` to the words of `end`.

    They are at most `limit_s`, or at least `least_s`; 0 stands for none. `over` is said at the
    limit, `reached` when the least is reached, `under` when it ended before. The coach tells the
    time every `calls_every_s` seconds. `unless_found`: the bad finding that the step looks for ends
    it sooner, and the step is done with it.
    """

    limit_s: int
    start: HeardAs
    end: HeardAs
    over: str = ""
    least_s: int = 0
    reached: str = ""
    under: str = ""
    calls_every_s: int = 1
    unless_found: bool = False


@dataclass(frozen=True, slots=True)
class Since:
    """What runs on from a step's end: `says` is said before the time ("the cuff has been on").

    `time_aloud`: the learner has to say what the clock shows. The coach tells the time every
    `calls_every_s` seconds, and when asked; 0 only when asked. It ends with the step
    `until` ("" for never), whose end tells how long it was.
    """

    says: str
    time_aloud: bool = False
    calls_every_s: int = 0
    until: str = ""


@dataclass(frozen=True, slots=True)
class CountSpec:
    """What the learner counts while the coach times `seconds`, from the words of `start`.

    `low` and `high` (both lawful) are of the rate, a minute; `outside` is said of any other.
    """

    of: Counted
    seconds: int
    low: float
    high: float
    start: HeardAs
    outside: str = ""
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PaceSpec:
    """What the coach gives the pace for, for `seconds` from the words of `start`.

    The words of `end` end it sooner; then it is done only after `least_s` seconds (0 for any time).
    `after` is said when it is over.
    """

    pattern: Pattern
    seconds: int
    start: HeardAs
    end: HeardAs
    after: str = ""
    least_s: int = 0
    sources: tuple[str, ...] = ()


class Scored(StrEnum):
    """What a score is of; the words are those of the skill files."""

    CONSCIOUSNESS = "consciousness"
    BIRTH = "birth"


@dataclass(frozen=True, slots=True)
class ScoreSpec:
    """A score that the coach works out once the steps `parts` are done.

    Their readings are its parts, each named as `coach.trade` names it ("eye"); one that no step
    asks for could not be tested. `scale` is whose consciousness it is, `minute` when after birth.
    """

    of: Scored
    parts: tuple[str, ...]
    scale: Scale = Scale.ADULT
    minute: int = 1


@dataclass(frozen=True, slots=True)
class Repeat:
    """Steps that are done `times` times in all, or until `for_s` seconds are over (0 for never).

    `name` is what one time is called ("cycle").
    """

    id: str
    steps: tuple[str, ...]
    times: int
    name: str = "round"
    for_s: int = 0
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Partner:
    """The other person of a step for two: who that is, and what he says while doing his part."""

    who: str
    heard_as: HeardAs = HeardAs()


@dataclass(frozen=True, slots=True)
class Forbidden:
    """An act that must not happen, and why; `name` is a short phrase ("forcing the airway in").

    `say` is what the coach warns with. It counts from the end of the step `begins` ("" from the
    beginning) until the end of the step `ends` ("" always).
    """

    id: str
    name: str
    say: str
    because: str
    heard_as: HeardAs
    begins: str = ""
    ends: str = ""
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class AlsoSaid:
    """What an evaluator must hear besides the step itself, in whatever sentence.

    `what` is such as "that the scene is safe"; of the lines of `words` one is enough (a slash
    parts other words).
    """

    what: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Wrong:
    """What tells that a step is done wrongly; that it is not so confirms nothing.

    `words` are lines as in `HeardAs.keys`, but said in their order. Without a time they count where
    the act is told or due ("on the knee"). With one they tell what must not be ("he gags") from
    the end of the step `begins` ("" from the beginning) until that of `ends` ("" for ever).
    """

    words: tuple[str, ...]
    begins: str = ""
    ends: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do.

    `name` is a short noun phrase ("the seal"), `say` one short spoken sentence. `found` is what the
    coach says of the bad finding, where the step looks for one. `cue` is what the patient shows
    when the step is due, which a quiet coach says too. `unsafe_left_out` is why it is a safety
    failure to leave the step out once it is due, "" where it is none. `aloud` is what an evaluator
    must hear; such a step is not confirmed by a bare "done". `also_said` does not hold the step up,
    but costs points where it was never said. `after` lists what must come first; the rest is free.
    `chooses` names the setting the learner's words decide. `complication` is set for a step that
    exists only once that complication has come; `brings` names the one that comes when the learner
    tells the bad finding. A step with a `partner` is done by two: who does it has to be said.
    `history`: it asks the patient, so that what he did, ate and had at home or at another time
    counts for it. A `score` is told when the last of its parts is. `thermometer`: a temperature may
    be told in the skill, and is checked. The number of a `count` is the last of the `readings`,
    named COUNTED.
    """

    id: str
    name: str
    say: str
    why: str
    how: str
    heard_as: HeardAs
    aloud: str = ""
    also_said: AlsoSaid | None = None
    found: str = ""
    cue: str = ""
    unsafe_left_out: str = ""
    after: tuple[Prerequisite, ...] = ()
    readings: tuple[ReadingSpec, ...] = ()
    clock: ClockSpec | None = None
    count: CountSpec | None = None
    since: Since | None = None
    pace: PaceSpec | None = None
    score: ScoreSpec | None = None
    partner: Partner | None = None
    chooses: str = ""
    complication: str = ""
    brings: str = ""
    history: bool = False
    thermometer: bool = False
    wrong: tuple[Wrong, ...] = ()
    cautions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Option:
    """One way a setting can stand: how it is said, how it is heard, and its facts."""

    says: str
    facts: Mapping[str, str | float] = field(default_factory=dict)
    heard_as: HeardAs = HeardAs()
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Setting:
    """Something on which programs or patients differ; `because` says why the default is so.

    `asks_first` is the question, naming the options, that is asked before the first practice, whose
    answer is remembered; "" for a setting that is not asked for.
    """

    name: str
    asks: str
    default: str
    because: str
    options: Mapping[str, Option]
    asks_first: str = ""


@dataclass(frozen=True, slots=True)
class Complication:
    """Something that may happen once step `after` is done: announced, then some steps open again.

    `sets` changes settings (the mask is refused: the device becomes a cannula).
    """

    id: str
    after: str
    announce: str
    reopens: tuple[str, ...] = ()
    sets: Mapping[str, str] = field(default_factory=dict)
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Skill:
    """A whole skill with its settings chosen: texts filled in, steps that do not apply left out.

    `sources` are published names; `bibliography` maps the keys that the `sources` of steps,
    options, readings and complications hold to those names.
    """

    id: str
    title: str
    minutes: int
    table: tuple[str, ...]
    steps: tuple[Step, ...]
    settings: Mapping[str, Setting] = field(default_factory=dict)
    choices: Mapping[str, str] = field(default_factory=dict)
    complications: tuple[Complication, ...] = ()
    forbidden: tuple[Forbidden, ...] = ()
    repeats: tuple[Repeat, ...] = ()
    cautions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    bibliography: Mapping[str, str] = field(default_factory=dict)

    def step(self, step_id: str) -> Step:
        """The step of that id; KeyError if the skill has none."""
        for step in self.steps:
            if step.id == step_id:
                return step
        raise KeyError(step_id)
