"""A drill with a student who makes mistakes, as the records keep it, and in words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class StudentDrill:
    """One drill: `started` (ISO 8601), how long, what was caught and missed, in words.

    `whole`: it was played to its end or ended by who watched, not broken off.
    """

    id: str
    learner: str
    skill: str
    started: str
    seconds: float
    seed: int
    mistakes: int
    caught: tuple[str, ...]
    missed: tuple[str, ...]
    without_cause: int
    whole: bool

    @property
    def day(self) -> date:
        """The day on which it began, where it was."""
        return datetime.fromisoformat(self.started).date()


def drill_words(drill: StudentDrill) -> str:
    """One drill in a sentence, without its day and skill."""
    every = len(drill.caught) + len(drill.missed)
    told = [f"caught {len(drill.caught)} of {every} mistake{'' if every == 1 else 's'}"]
    if drill.missed:
        told.append(f"missed: {'; '.join(drill.missed)}")
    if drill.without_cause:
        times = "once" if drill.without_cause == 1 else f"{drill.without_cause} times"
        told.append(f"objected {times} where nothing was wrong")
    if not drill.whole:
        told.append("broken off")
    return f"{', '.join(told)} (seed {drill.seed})."
