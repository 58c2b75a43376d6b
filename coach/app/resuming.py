"""A session that was broken off: found again, and offered to be gone on with."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from pathlib import Path

from coach.app.senses import POLL_S, heard_enough
from coach.core.errors import CoachError
from coach.core.meaning import YES_NO, Command, Kind
from coach.dialogue.engine import UnlawfulEventError, advance, new_state
from coach.dialogue.events import Event, SessionStarted
from coach.dialogue.moment import context_of
from coach.dialogue.state import Mode, State
from coach.edges.journal_file import JournalFile, unfinished
from coach.hearing.hypothesis import Hint
from coach.language.context import Context
from coach.language.understand import understand
from coach.procedure.skill_file import SkillFile
from coach.session.judgement import judge
from coach.session.loop import Observer
from coach.session.moment import Moment
from coach.session.ports import Ear, EarClosed, EarEvent, EarReported, KeyHit, TextHeard, Voice

PATIENCE_S = 60.0
"""How long the offer stands before a new session begins."""

ANEW = ("ready", "begin", "start", "restart", "new", "over", "again")
"""Words that ask for a new session although they would also be a "go on" within one."""

ASKS_AGAIN = frozenset({Command.REPEAT, Command.HELP, Command.WHY, Command.HOW, Command.PAUSE})
"""Commands that are answered with the offer itself."""

DECIDES_NOTHING = frozenset({Command.STOP, Command.QUIET})
"""Commands for the new session that say nothing about the old one."""

MOST_ASKED = 3
"""How often the offer is made before a new session begins."""


@dataclass(frozen=True, slots=True)
class Earlier:
    """A session that was broken off, its journal open to go on."""

    state: State
    journal: JournalFile


def earlier_session(
    folder: Path, skill_file: SkillFile, observer: Observer, first: SessionStarted
) -> Earlier | None:
    """The newest unfinished session of this skill, if something was done in it.

    One of another learner, in another way or of another scenario than `first` is not offered.

    One that was silenced by "this is real" is over. A journal that is damaged, unreadable or no
    longer fits the skill is noted and left as it is.
    """
    try:
        path = unfinished(folder, skill_file.id) if folder.is_dir() else None
        if path is None:
            return None
        journal, contents = JournalFile.resume(path)
    except CoachError as error:
        observer.noted("earlier-session-unreadable", {"message": str(error)})
        return None
    state = replayed(skill_file, contents.events)
    if state is None:
        message = f"{path} does not fit this skill any more, and is left as it is."
        observer.noted("earlier-session-unreadable", {"message": message})
    if (
        state is None
        or state.mode in {Mode.NEW, Mode.SILENCED, Mode.ENDED}
        or not (state.credits or state.readings)
        or not _same_kind(state.started, first)
    ):
        journal.close()
        return None
    if contents.torn:
        observer.noted("torn-line-dropped", {"file": str(path)})
    return Earlier(state, journal)


def _same_kind(earlier: SessionStarted | None, first: SessionStarted) -> bool:
    return earlier is not None and (earlier.learner, earlier.way, earlier.scenario) == (
        first.learner,
        first.way,
        first.scenario,
    )


def replayed(skill_file: SkillFile, events: tuple[Event, ...]) -> State | None:
    """The state that a journal's events lead to; None when the skill has changed too much."""
    state = new_state(skill_file)
    for event in events:
        try:
            state, _ = advance(state, event)
        except (UnlawfulEventError, CoachError, KeyError, StopIteration):
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
    """Ask whether to go on; what was heard instead of an answer comes back to be used.

    What is not understood is asked about again and ends nothing: only an answer, or words that
    begin another session, give the earlier one up.
    """
    done = len(earlier.state.done)
    steps = "one step" if done == 1 else f"{done} steps"
    text = f"Your last session broke off after {steps}. Say go on to continue it, or start anew."
    context = replace(context_of(earlier.state), expect=YES_NO, expect_range=None)
    _ask(text, ear, voice, observer)
    asked, waited_s = 1, 0.0
    while waited_s < PATIENCE_S:
        heard = ear.next(POLL_S)
        if heard is None:
            waited_s += 0.0 if voice.busy() else POLL_S
        elif isinstance(heard, EarReported):
            _ask(heard.message, ear, voice, observer)
        elif isinstance(heard, EarClosed):
            return Answer.NONE, heard
        elif isinstance(heard, KeyHit) or (isinstance(heard, TextHeard) and heard.hypothesis.text):
            answer, rest = _reply(heard, context)
            if answer is not None:
                return answer, rest
            if asked == MOST_ASKED:
                break
            asked += 1
            _ask(text, ear, voice, observer)
    return Answer.NONE, None


def _ask(text: str, ear: Ear, voice: Voice, observer: Observer) -> None:
    observer.said(text)
    observer.listening(None, YES_NO)
    voice.say(text)
    ear.listen(Hint(YES_NO, ("go on", "start anew", "yes", "no")))


def _reply(
    heard: KeyHit | TextHeard, context: Context
) -> tuple[Answer | None, KeyHit | TextHeard | None]:
    """What a key or words decide, None when nothing; and they themselves if they are to be used."""
    if isinstance(heard, KeyHit):
        return {"yes": Answer.GO_ON, "next": Answer.ANEW}.get(heard.key), None
    verdict = judge(understand(heard.hypothesis.text, context), heard.hypothesis, Moment(YES_NO))
    meaning = verdict.meaning
    if meaning.command in DECIDES_NOTHING:
        return Answer.NONE, heard
    # Less sure words give no session up: what was done in it would be lost.
    if not heard_enough(heard) or meaning.command in ASKS_AGAIN:
        return None, None
    words = meaning.text.split()
    anew = any(word in ANEW for word in words)
    if meaning.answer == "yes" or (meaning.command is Command.RESUME and not anew):
        return Answer.GO_ON, None
    if meaning.answer == "no" or meaning.command is Command.RESTART or "anew" in words:
        return Answer.ANEW, None
    if meaning.kind is Kind.NONE:
        return None, None
    return Answer.ANEW, heard
