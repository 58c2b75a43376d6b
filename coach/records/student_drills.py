"""A drill with a student who makes mistakes, as the records keep it: made from its journal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from coach.drill.catching import Caught, what_was_caught
from coach.drill.mistakes import Act, Mistake, Wrong
from coach.session.journal_contents import JournalContents
from coach.session.student_events import (
    StudentActed,
    StudentDrillOver,
    StudentDrillStarted,
    StudentEvent,
    WatcherSpoke,
)


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


def student_drill_of(contents: JournalContents) -> StudentDrill | None:
    """The drill in a journal; None if it holds none.

    What was told at its end counts; of one that broke off, what its acts and words come to.
    """
    header, events = contents.header, contents.drilled
    if header is None or not events or not isinstance(events[0], StudentDrillStarted):
        return None
    over = next((event for event in events if isinstance(event, StudentDrillOver)), None)
    if over is not None:
        caught, missed, without = over.caught, over.missed, over.without_cause
    else:
        found = _worked_out(events)
        caught = tuple(mistake.says for mistake in found.caught)
        missed = tuple(mistake.says for mistake in found.missed)
        without = found.without_cause
    first = events[0]
    return StudentDrill(
        contents.attempt,
        first.learner,
        first.skill,
        header.started,
        round(events[-1].at_s - first.at_s, 3),
        first.seed,
        first.mistakes,
        caught,
        missed,
        without,
        over is not None,
    )


def _worked_out(events: Sequence[StudentEvent]) -> Caught:
    acts: list[Act] = []
    said: list[tuple[str, ...]] = []
    names: dict[str, str] = {}
    for event in events:
        if isinstance(event, StudentActed):
            shown = [
                Mistake(Wrong(one.wrong), one.about, one.says, one.because) for one in event.shows
            ]
            names |= {one.about: one.name for one in event.shows}
            acts.append(Act(event.text, tuple(shown)))
            said.append(())
        elif isinstance(event, WatcherSpoke) and said:
            said[-1] = (*said[-1], event.text)
    return what_was_caught(acts, said, names)


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
