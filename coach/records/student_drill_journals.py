"""Makes of the journal of a drill with a student who makes mistakes what the records keep."""

from __future__ import annotations

from collections.abc import Sequence

from coach.drill.catching import Caught, what_was_caught
from coach.drill.mistakes import Act, Mistake, Wrong
from coach.records.student_drills import StudentDrill
from coach.session.journal_contents import JournalContents
from coach.session.student_events import (
    StudentActed,
    StudentDrillOver,
    StudentDrillStarted,
    StudentEvent,
    WatcherSpoke,
)


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
