"""What was done, missed and read in a session, as data and as a page of text."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from coach.core.plain import Fields, Plain, one_or_all
from coach.core.units import Quantity, Unit

CAUTION = (
    "Training aid only, never for patient care. Local protocol, medical direction and licensed "
    "practice decide."
)


ASSUMED = "assumed: a training cylinder"
"""Said of a pressure that no gauge showed."""


@dataclass(frozen=True, slots=True)
class ReadingDone:
    """A number that stands for the reading `name` of a step; `assumed` for a training cylinder."""

    step: str
    name: str
    quantity: Quantity
    values: tuple[float, ...]
    unit: Unit
    in_range: bool
    assumed: bool = False

    @property
    def value(self) -> Plain:
        """The number, or the list of both of a blood pressure."""
        return one_or_all(self.values)

    def as_json(self) -> Fields:
        """As the summary prints it."""
        return {
            "step": self.step,
            "reading": self.name,
            "quantity": str(self.quantity),
            "value": self.value,
            "unit": str(self.unit),
            "in_range": self.in_range,
            "assumed": self.assumed,
        }

    def as_text(self) -> str:
        """A line for people."""
        shown = "/".join(f"{value:g}" for value in self.values)
        outside = "" if self.in_range else " (outside the range)"
        unit = "" if self.unit is Unit.COUNTED else f" {self.unit}"
        assumed = f" ({ASSUMED})" if self.assumed else ""
        return f"{self.name.replace('-', ' ')} {shown}{unit}{outside}{assumed}"


@dataclass(frozen=True, slots=True)
class Count:
    """Seconds that were told aloud for a step, and what they were held against; 0 for nothing."""

    step: str
    seconds: float
    limit_s: int
    least_s: int = 0

    @property
    def over(self) -> bool:
        """Whether it took longer than the limit."""
        return 0 < self.limit_s < self.seconds

    @property
    def under(self) -> bool:
        """Whether it ended before it had lasted long enough."""
        return self.seconds < self.least_s

    def as_json(self) -> Fields:
        """As the summary prints it."""
        return {
            "step": self.step,
            "seconds": self.seconds,
            "limit_s": self.limit_s,
            "over": self.over,
            **({"least_s": self.least_s, "under": self.under} if self.least_s else {}),
        }

    def as_text(self) -> str:
        """A line for people."""
        over = f", over the limit of {self.limit_s} s" if self.over else ""
        under = f", less than the {self.least_s} s it has to last" if self.under else ""
        return f"{self.seconds:g} s{over}{under}"


@dataclass(frozen=True, slots=True)
class RoundsDone:
    """How often steps that are repeated were done, of the times they are done at most."""

    repeat: str
    name: str
    done: int
    times: int

    def as_json(self) -> Fields:
        """As the summary prints it."""
        return {"repeat": self.repeat, "done": self.done, "times": self.times}

    def as_text(self) -> str:
        """A line for people."""
        return f"{self.name} {self.done} of {self.times}"


@dataclass(frozen=True, slots=True)
class BreachDone:
    """An act that must not happen and did: why it must not, and when, in seconds."""

    act: str
    name: str
    because: str
    at_s: float

    def as_json(self) -> Fields:
        """As the summary prints it."""
        return {"act": self.act, "because": self.because, "at_s": round(self.at_s, 1)}

    def as_text(self) -> str:
        """A line for people."""
        minutes, seconds = divmod(int(self.at_s), 60)
        return f"{self.name}, at {minutes}:{seconds:02d}, because {self.because.rstrip('.')}"


@dataclass(frozen=True, slots=True)
class Summary:
    """One session; step ids in the order done, then those missed in the suggested order.

    `oxygen_minutes` are the minutes of oxygen last told, None when none were, `oxygen_assumed`
    whether they rest on an assumed pressure. `names` are the steps' names for people, `unsaid` the
    steps that were done without what has to be said aloud. `program` are the local rules in force,
    with date and who approved them; `weaker` says what of them is less safe than published, and
    why.
    """

    skill: str
    title: str
    done: tuple[str, ...]
    missed: tuple[str, ...]
    out_of_order: tuple[str, ...]
    readings: tuple[ReadingDone, ...]
    oxygen_minutes: int | None
    seconds: float
    names: Mapping[str, str] = field(default_factory=dict)
    clocks: tuple[Count, ...] = ()
    cautions: tuple[str, ...] = ()
    forbidden: tuple[BreachDone, ...] = ()
    rounds: tuple[RoundsDone, ...] = ()
    program: str = ""
    weaker: tuple[str, ...] = ()
    oxygen_assumed: bool = False
    unsaid: tuple[str, ...] = ()

    def as_json(self) -> Fields:
        """The last line of `practice --json`."""
        return {
            "type": "summary",
            "skill": self.skill,
            "done": list(self.done),
            "missed": list(self.missed),
            "out_of_order": list(self.out_of_order),
            "unsaid": list(self.unsaid),
            "readings": [reading.as_json() for reading in self.readings],
            "oxygen_minutes": self.oxygen_minutes,
            "oxygen_assumed": self.oxygen_assumed,
            "seconds": round(self.seconds, 1),
            "clocks": [clock.as_json() for clock in self.clocks],
            "forbidden": [breach.as_json() for breach in self.forbidden],
            "rounds": [rounds.as_json() for rounds in self.rounds],
            "program": self.program or None,
            "weaker": list(self.weaker),
            "caution": CAUTION,
        }

    def as_text(self) -> str:
        """A short page: what was missed first, for that is what the next rehearsal is about."""
        lines = [
            f"{self.title}: {len(self.done)} of {len(self.done) + len(self.missed)} steps done"
        ]
        lines.append(f"Missed: {self._named(self.missed) or 'nothing'}")
        if self.unsaid:
            lines.append(f"Done, but not said aloud: {self._named(self.unsaid)}")
        lines += [f"Must not happen: {breach.as_text()}" for breach in self.forbidden]
        if self.out_of_order:
            lines.append(f"Out of the suggested order: {self._named(self.out_of_order)}")
        lines += [f"Read: {reading.as_text()}" for reading in self.readings]
        lines += [f"Counted: {clock.as_text()}" for clock in self.clocks]
        lines += [f"Repeated: {rounds.as_text()}" for rounds in self.rounds]
        if self.oxygen_minutes is not None:
            by = ", by an assumed pressure" if self.oxygen_assumed else ""
            lines.append(f"Oxygen: {self.oxygen_minutes} minutes, as last told{by}")
        if self.missed:
            lines.append(f"Next rehearsal: begin with {self._named(self.missed[:1])}.")
        if self.program:
            lines.append(f"By the rules of {self.program}")
        lines += self.weaker
        lines += [f"Keep in mind: {caution}" for caution in self.cautions]
        lines.append(CAUTION)
        return "\n".join(lines)

    def _named(self, steps: tuple[str, ...]) -> str:
        return ", ".join(self.names.get(step, step) for step in steps)
