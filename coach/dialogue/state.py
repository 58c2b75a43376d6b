"""Everything the conversation remembers, in frozen values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from coach.core.meaning import Reading, StepMention
from coach.core.units import Flow, Pressure, Quantity, Unit
from coach.dialogue.events import CONVERSATION, SessionStarted
from coach.procedure.model import Skill, Step
from coach.procedure.skill_file import SkillFile
from coach.report.attempt import Way
from coach.report.summary import Count
from coach.trade.account import OxygenAccount
from coach.trade.burned_parts import BurnedParts
from coach.trade.oxygen import Supply


class Mode(StrEnum):
    """Where the session stands."""

    NEW = "new"
    READY = "ready"
    RUNNING = "running"
    PAUSED = "paused"
    SILENCED = "silenced"
    ENDED = "ended"


@dataclass(frozen=True, slots=True)
class Credit:
    """A step done: when, and whether an earlier step of the suggested order was still open."""

    step: str
    at_s: float
    early: bool = False


@dataclass(frozen=True, slots=True)
class Standing:
    """A reading that stands: confirmed by a yes, or by silence where it was sure.

    One outside its range is `accepted` for its step only when the learner insists on it.
    `assumed`: no gauge showed it, for the cylinder is one to train with.
    """

    step: str
    name: str
    quantity: Quantity
    values: tuple[float, ...]
    unit: Unit
    at_s: float
    in_range: bool = True
    accepted: bool = True
    assumed: bool = False

    def same_as(self, reading: Reading) -> bool:
        """Whether the number now heard is this one again."""
        return (self.values, self.unit) == (reading.values, reading.unit)


@dataclass(frozen=True, slots=True)
class Proposal:
    """A number heard for a reading of a step, not standing yet.

    `assumed`: it is taken for a training cylinder without pressure. `corrects`: it takes the place
    of one that has brought something.
    """

    step: str
    name: str
    reading: Reading
    assumed: bool = False
    corrects: bool = False


@dataclass(frozen=True, slots=True)
class ReadBack:
    """Numbers were read back; they stand after a yes, or after silence if all are `sure`."""

    proposals: tuple[Proposal, ...]

    @property
    def sure(self) -> bool:
        """Whether silence is enough for them to stand; for a dose it never is."""
        return all(
            proposal.reading.doubt is None and proposal.reading.quantity is not Quantity.DOSE
            for proposal in self.proposals
        )


@dataclass(frozen=True, slots=True)
class ConfirmStop:
    """The coach asked whether to end here."""


@dataclass(frozen=True, slots=True)
class ToldEarly:
    """A step that was told in these words while `first` had to come before it."""

    mention: StepMention
    said: str
    first: str


@dataclass(frozen=True, slots=True)
class ConfirmStep:
    """The coach asked whether this step is done; `told` is how it was told of before."""

    step: str
    told: ToldEarly | None = None


@dataclass(frozen=True, slots=True)
class ChooseStep:
    """The coach asked which of these two was meant."""

    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ConfirmTraining:
    """The coach asked whether the cylinder of this reading is one to train with, which holds no
    pressure; `said` is the zero that was read of it, None where none was."""

    step: str
    name: str
    said: Reading | None = None


@dataclass(frozen=True, slots=True)
class DoubtScore:
    """The coach asked whether something that hardly occurs is meant, a score or a temperature: a
    yes credits nothing. `then` is said to any answer."""

    then: str


@dataclass(frozen=True, slots=True)
class AskedAnew:
    """The reading of a step for which the coach has just asked again, done or not."""

    step: str
    name: str


@dataclass(frozen=True, slots=True)
class WhichUnit:
    """The coach asked in which of its units this number of a step was meant."""

    step: str
    name: str
    reading: Reading


Pending = (
    ReadBack | ConfirmStop | ConfirmStep | ChooseStep | ConfirmTraining | DoubtScore | WhichUnit
)


@dataclass(frozen=True, slots=True)
class RunningClock:
    """Seconds being counted aloud for a step."""

    step: str
    started_s: float
    counted: int = 0


@dataclass(frozen=True, slots=True)
class RunningInterval:
    """Seconds in which the learner counts for a step."""

    step: str
    started_s: float


@dataclass(frozen=True, slots=True)
class RunningPace:
    """Beats that sound for a step."""

    step: str
    started_s: float


@dataclass(frozen=True, slots=True)
class Round:
    """The round that a repeat is in, from one; the first began at `begun_s`."""

    repeat: str
    number: int
    begun_s: float


@dataclass(frozen=True, slots=True)
class Breach:
    """The learner said that he did what must not happen."""

    act: str
    at_s: float


@dataclass(frozen=True, slots=True)
class Told:
    """A number that the scenario showed last for a finding.

    `within` is how far off an estimate of it may be; 0 for one that was told.
    """

    finding: str
    quantity: Quantity
    value: float
    unit: Unit
    within: float = 0.0


@dataclass(frozen=True, slots=True)
class ToldBurned:
    """The parts of the body that were last told of as burned, with how much of each, at a step.

    `at_most`: how much of them was not said, so that they bound the area from above alone.
    """

    step: str
    parts: BurnedParts
    at_most: bool = False


@dataclass(frozen=True, slots=True)
class Brought:
    """A complication that the bad number `by` has brought, and what stood before it.

    `choices` are the settings that it changed; `credits`, `readings` and `timed` are of the steps
    that it opened again. `was_to_come`: it was drawn, to come by itself.
    """

    complication: str
    by: Standing
    was_to_come: bool
    choices: Mapping[str, str]
    credits: tuple[Credit, ...]
    readings: tuple[Standing, ...]
    timed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class State:
    """The conversation at one moment.

    `started` is how it began. `credits` are in the order they were earned; `last_credited` are the
    steps that one "I didn't do that" takes back. `focus` is a done step the learner went back to.
    `brought` are complications that a number brought; `called_off` are steps of some for which
    there is no need any more.
    `told_early` are steps that were told too early, and are asked about once they may be done.
    `asked` is the step whose reading was asked for out of turn, `asked_anew` the reading that was
    asked for again and is answered next, `aloud_asked` the step to be said aloud.
    `intended` is a flow planned and not set yet. `clocks` are the counts that ended.
    `interval` is the time in which the learner counts, `timed` are steps whose time is over.
    `pace` are beats that sound now, `rounds` those that repeats are in.
    `breaches` are acts that must not happen and did; `warned` those of the last utterance.
    `misses` is how often in a row nothing was understood, `no_yes_at` the one of them in which
    something was told that no yes can answer: a number nothing had a use for, or a danger.
    `told` are numbers that a scenario showed, `happened` what came of itself in it,
    `coming_again` what of it is on its way once more.
    `cued` are steps whose cue was given. `hints` is how far the hints for each step have gone.
    `silenced`: it was no exercise any more. `told_minutes` are the minutes of oxygen last said,
    `told_assumed` whether by an assumed pressure.
    `training`: the cylinder is one to train with; `real` are steps at whose cylinder it is none.
    `speaking`: a line has begun and not ended; `cut_short`: it was cut off because somebody began
    to speak; `said_again`: it was nothing, so the line was said again, and noise cuts it no more.
    `spoken_since_s` is when the words began that are being heard, where that is known and nothing
    is counted in them. `beyond_meter` are steps whose meter was said to show no number. `unsaid`
    are steps that were taken for done although what has to be said aloud, or the time of day, was
    not. `burned` are parts told of as burned, `weight_kg` is what the patient was said to weigh.
    """

    skill_file: SkillFile
    started: SessionStarted | None = None
    mode: Mode = Mode.NEW
    at_s: float = 0.0
    choices: Mapping[str, str] = field(default_factory=dict)
    to_come: tuple[str, ...] = ()
    came: frozenset[str] = frozenset()
    brought: tuple[Brought, ...] = ()
    called_off: frozenset[str] = frozenset()
    credits: tuple[Credit, ...] = ()
    last_credited: tuple[str, ...] = ()
    skipped: tuple[str, ...] = ()
    unsaid: frozenset[str] = frozenset()
    readings: tuple[Standing, ...] = ()
    pending: Pending | None = None
    focus: str | None = None
    told_early: tuple[ToldEarly, ...] = ()
    asked: str | None = None
    asked_anew: AskedAnew | None = None
    aloud_asked: str | None = None
    clock: RunningClock | None = None
    clocks: tuple[Count, ...] = ()
    interval: RunningInterval | None = None
    timed: tuple[str, ...] = ()
    pace: RunningPace | None = None
    rounds: tuple[Round, ...] = ()
    breaches: tuple[Breach, ...] = ()
    warned: tuple[str, ...] = ()
    misses: int = 0
    no_yes_at: int = 0
    nudged: bool = False
    hints: Mapping[str, int] = field(default_factory=dict)
    cued: frozenset[str] = frozenset()
    told: tuple[Told, ...] = ()
    happened: tuple[str, ...] = ()
    coming_again: frozenset[str] = frozenset()
    help_page: int = 0
    account: OxygenAccount | None = None
    intended: Flow | None = None
    highest_psi: float = 2420.0
    nudge_seconds: float = 20.0
    told_minutes: int | None = None
    told_assumed: bool = False
    training: bool = False
    real: frozenset[str] = frozenset()
    last_said: str = ""
    speaking: bool = False
    cut_short: bool = False
    said_again: bool = False
    short: bool = False
    rate: float = 1.0
    volume: float = 1.0
    begun_s: float = 0.0
    silenced: bool = False
    spoken_since_s: float | None = None
    burned: ToldBurned | None = None
    beyond_meter: tuple[str, ...] = ()
    weight_kg: float | None = None
    before_restart: State | None = None

    @property
    def skill(self) -> Skill:
        """The skill with its settings as they stand now."""
        return self.skill_file.chosen(self.choices, self.came, self.called_off)

    @property
    def way(self) -> Way:
        """How the skill is practised."""
        return Way(self.started.way) if self.started else Way.LED

    @property
    def conversation(self) -> int:
        """How the session is talked; today's way where none has begun."""
        return self.started.conversation if self.started else CONVERSATION

    @property
    def quiet(self) -> bool:
        """Whether the coach keeps what it thinks to itself: it leads nobody and corrects nobody."""
        return self.way is not Way.LED

    @property
    def done(self) -> frozenset[str]:
        """Ids of the steps done."""
        return frozenset(credit.step for credit in self.credits)

    @property
    def timing(self) -> bool:
        """Whether seconds run for a step: nobody is led on or nudged meanwhile."""
        return self.clock is not None or self.counting_aloud

    @property
    def counting_aloud(self) -> bool:
        """Whether the learner may be counting aloud: numbers are not meant for the coach then."""
        return self.interval is not None or self.pace is not None

    def standing(self, step: str, name: str) -> Standing | None:
        """The number that stands for a reading of a step."""
        for reading in self.readings:
            if (reading.step, reading.name) == (step, name):
                return reading
        return None

    @property
    def pressure_assumed(self) -> bool:
        """Whether the pressure that counts now, the last one that stands, was assumed."""
        pressures = [r for r in self.readings if r.quantity is Quantity.PRESSURE]
        return bool(pressures) and max(pressures, key=lambda reading: reading.at_s).assumed

    def step(self, step_id: str) -> Step | None:
        """The step of that id if the skill has it with the settings as they stand."""
        return next((step for step in self.skill.steps if step.id == step_id), None)


def opening(skill_file: SkillFile, started: SessionStarted) -> State:
    """The state in which a session begins: nothing is done, the settings are as chosen."""
    supply = Supply(started.factor_litres_per_psi, Pressure(started.reserve_psi))
    return State(
        skill_file,
        started,
        Mode.READY,
        started.at_s,
        choices=dict(started.choices),
        to_come=tuple(started.complications),
        account=OxygenAccount(supply, since_s=started.at_s),
        highest_psi=started.highest_psi * (1 + started.overfill_percent / 100),
        nudge_seconds=started.nudge_seconds,
        training=started.training_cylinder,
    )
