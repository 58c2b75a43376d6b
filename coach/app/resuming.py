"""A session that was broken off: found again, and offered to be gone on with."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from coach.core.errors import CoachError
from coach.core.meaning import YES_NO, Command
from coach.dialogue.engine import UnlawfulEventError, advance, new_state
from coach.dialogue.state import Mode, State
from coach.edges.journal_file import JournalFile, unfinished
from coach.hearing.hypothesis import Hint
from coach.language.context import Context
from coach.language.understand import understand
from coach.procedure.skill_file import SkillFile
from coach.session.loop import Observer
from coach.session.ports import Ear, EarClosed, EarEvent, KeyHit, TextHeard, Voice

PATIENCE_S = 60.0
"""How long the offer stands before a new session begins."""

ANEW = ("ready", "begin", "start", "restart", "new", "over", "again")
"""Words that ask for a new session although they would also be a "go on" within one."""


@dataclass(frozen=True, slots=True)
class Earlier:
    """A session that was broken off, its journal open to go on."""

    state: State
    journal: JournalFile


def earlier_session(folder: Path, skill_file: SkillFile, observer: Observer) -> Earlier | None:
    """The newest unfinished session of this skill in which something was done.

    A journal that is damaged or in use is noted and left as it is.
    """
    path = unfinished(folder, skill_file.id) if folder.is_dir() else None
    if path is None:
        return None
    try:
        journal, contents = JournalFile.resume(path)
    except CoachError as error:
        observer.noted("earlier-session-unreadable", {"message": str(error)})
        return None
    state = replayed(skill_file, contents.events)
    if (
        state is None
        or state.mode in {Mode.NEW, Mode.ENDED}
        or not (state.credits or state.readings)
    ):
        journal.close()
        return None
    if contents.torn:
        observer.noted("torn-line-dropped", {"file": str(path)})
    return Earlier(state, journal)


def replayed(skill_file: SkillFile, events: tuple[object, ...]) -> State | None:
    """The state that a journal's events lead to; None when the skill has changed too much."""
    state = new_state(skill_file)
    for event in events:
        try:
            state, _ = advance(state, event)  # type: ignore[arg-type]  # the decoder made events
        except UnlawfulEventError:
            continue
        except (CoachError, KeyError, StopIteration):
            return None
    return state


class Answer(StrEnum):
    """What came of the offer."""

    GO_ON = "go-on"
    ANEW = "anew"
    NONE = "none"


def offer(
    earlier: Earlier, ear: Ear, voice: Voice, observer: Observer
) -> tuple[Answer, EarEvent | None]:
    """Ask whether to go on; what was heard instead of an answer comes back to be used."""
    done = len(earlier.state.done)
    steps = "one step" if done == 1 else f"{done} steps"
    text = f"Your last session broke off after {steps}. Say go on to continue it, or start anew."
    observer.said(text)
    observer.listening(None, YES_NO)
    voice.say(text)
    ear.listen(Hint(YES_NO, ("go on", "start anew", "yes", "no")))
    waited_s = 0.0
    while waited_s < PATIENCE_S:
        heard = ear.next(0.25)
        if heard is None:
            waited_s += 0.0 if voice.busy() else 0.25
        elif isinstance(heard, KeyHit):
            return (Answer.GO_ON if heard.key == "yes" else Answer.ANEW), None
        elif isinstance(heard, EarClosed):
            return Answer.NONE, heard
        elif isinstance(heard, TextHeard) and heard.hypothesis.text:
            return _answer(heard)
    return Answer.NONE, None


def _answer(heard: TextHeard) -> tuple[Answer, EarEvent | None]:
    meaning = understand(heard.hypothesis.text, Context(expect=YES_NO))
    anew = any(word in ANEW for word in meaning.text.split())
    if meaning.answer == "yes" or (meaning.command is Command.RESUME and not anew):
        return Answer.GO_ON, None
    refused = meaning.answer == "no" or meaning.command is Command.RESTART or "anew" in meaning.text
    return Answer.ANEW, None if refused else heard
