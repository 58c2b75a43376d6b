"""A journal's events played again: what each led to, moment by moment."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from coach.core.plain import Fields
from coach.dialogue.effects import Noted, Say
from coach.dialogue.engine import UnlawfulEventError, advance, new_state
from coach.dialogue.events import Event
from coach.dialogue.state import State
from coach.procedure.skill_file import SkillFile


@dataclass(frozen=True, slots=True)
class Moment:
    """One event: the state before and after it, and what it led to."""

    event: Event
    before: State
    after: State
    notes: tuple[Noted, ...]
    said: tuple[str, ...]

    def noted(self, *names: str) -> Iterator[Fields]:
        """The data of the notes of these names, in their order."""
        return (note.data for note in self.notes if note.name in names)


def played_again(skill_file: SkillFile, events: Iterable[Event]) -> tuple[Moment, ...]:
    """The moments of a session; an event that could not happen then is left out, as it was then."""
    state = new_state(skill_file)
    moments: list[Moment] = []
    for event in events:
        try:
            after, effects = advance(state, event)
        except UnlawfulEventError:
            continue
        notes = tuple(effect for effect in effects if isinstance(effect, Noted))
        said = tuple(effect.text for effect in effects if isinstance(effect, Say))
        moments.append(Moment(event, state, after, notes, said))
        state = after
    return since_the_last_start(moments)


def since_the_last_start(moments: Iterable[Moment]) -> tuple[Moment, ...]:
    """The moments without what was dropped by starting over; undone, it counts again."""
    kept: list[Moment] = []
    dropped: list[list[Moment]] = []
    for moment in moments:
        if any(True for _ in moment.noted("restarted")):
            dropped.append(kept)
            kept = [*kept[:1], moment]
        elif dropped and any(True for _ in moment.noted("restart-undone")):
            kept = [*dropped.pop(), moment]
        else:
            kept.append(moment)
    return tuple(kept)
