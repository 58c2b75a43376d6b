"""A practice put together: skill, settings, ear, voice, clock and journal."""

from __future__ import annotations

import os
import time
from collections.abc import Mapping
from contextlib import ExitStack, closing
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TextIO

from coach import __version__
from coach.app.first_questions import ask, keep
from coach.app.judging import judged_by
from coach.app.learners import learners_id
from coach.app.not_recorded import saying_so
from coach.app.request import Request, answered
from coach.app.resuming import Answer, Earlier, earlier_session, offer
from coach.app.senses import Senses
from coach.app.setup_talk import setup_ear
from coach.core.errors import InputError
from coach.dialogue.engine import new_state
from coach.dialogue.events import Event, SessionResumed
from coach.dialogue.state import Mode, State
from coach.edges.carelessness_table import read_carelessness
from coach.edges.clocks import RealClock
from coach.edges.folders import sessions_folder
from coach.edges.journal_file import JournalFile, make_folder
from coach.edges.register_file import RegisterFile
from coach.edges.typed_ear import SilentVoice, TypedEar
from coach.session.loop import Observer, Ports, Session
from coach.session.next_student import NextStudentEar
from coach.session.passing_ear import PassingEar
from coach.session.ports import Ear, EarEvent
from coach.session.wake import WakeEar


def check_records() -> None:
    """InputError if sessions cannot be recorded: told before a device or model is opened."""
    make_folder(sessions_folder(os.environ))


def practise_typed(request: Request, lines: TextIO, observer: Observer) -> State:
    """A session by keyboard, journalled, with the offer to go on where an earlier one broke off."""
    return practise(request, Senses(TypedEar(lines), SilentVoice(), skips=True), observer)


def practise(request: Request, senses: Senses, observer: Observer) -> State:
    """A journalled session through any ear and voice, which are closed at its end."""
    folder = sessions_folder(os.environ)
    if request.wake_word is not None:
        senses = _woken(request.wake_word, senses, observer)
    with (
        closing(senses.voice),
        closing(senses.ear),
        saying_so(senses, observer),
        ExitStack() as stack,
    ):
        earlier = earlier_session(folder, request.skill_file, observer, request.first)
        if earlier is not None:
            stack.enter_context(earlier.journal)
            answer, heard = offer(earlier, senses.ear, senses.voice, observer)
            senses = replace(senses, ear=_After(heard, senses.ear))
            if answer is Answer.GO_ON:
                over = _go_on(earlier, request, senses, observer)
                return _attempts_after(over, folder, request, senses, observer)
            if answer is Answer.ANEW:
                earlier.journal.finish(_wall_clock())
            stack.close()
            if heard is not None:
                request = replace(request, needs=None)  # that was for the session
        request, senses = _with_answers(request, senses, observer)
        over = _attempt(folder, request, senses, observer)
        return _attempts_after(over, folder, request, senses, observer)


def _with_answers(request: Request, senses: Senses, observer: Observer) -> tuple[Request, Senses]:
    """The request with what was asked for before it, and is remembered where it was answered."""
    if request.needs is None:
        return request, senses
    patience_s = request.settings.nudge_seconds
    asked, heard = ask(request.needs, patience_s, senses.ear, senses.voice, observer)
    told = keep(asked.remembered, observer)
    if told and heard is None:  # else the session has something to answer
        senses.say(told, observer)
    request = answered(replace(request, needs=None), {**asked.assumed, **asked.answers})
    return request, replace(senses, ear=_After(heard, senses.ear))


@dataclass(frozen=True, slots=True)
class _Over:
    """An attempt that is over; `following` is the id of who was called as the next student.

    `changed` are settings that the learner changed meanwhile; before the beginning of an attempt
    they end it, and it is begun anew with them.
    """

    state: State
    journal: Path
    following: str | None
    changed: Mapping[str, str]


def _attempts_after(
    over: _Over, folder: Path, request: Request, senses: Senses, observer: Observer
) -> State:
    """Talk attempt after attempt over while somebody is next; the state the last one ended in."""
    while True:
        request = answered(request, over.changed)
        following = over.following
        if following is None:
            following, changed = _debriefed(over, request, senses, observer)
            request = answered(request, changed)
        else:
            _told_briefly(over.journal, over.state, senses, observer)
        if following is None:
            return over.state
        request = replace(request, learner=following)
        over = _attempt(folder, request, senses, observer)


def _attempt(folder: Path, request: Request, senses: Senses, observer: Observer) -> _Over:
    """One attempt from its first event to its end; its journal is closed.

    One that was left before its beginning, because a setting was changed, leaves no journal; what
    was changed then is told with what was changed later, for it counts for the next learner too.
    """
    skill_file = request.skill_file
    judged = judged_by(skill_file, os.environ)
    changed: dict[str, str] = {}
    while True:
        journal = JournalFile.create(folder, skill_file.id, _wall_clock(), __version__, judged)
        with journal:
            over = _run(
                RealClock(),
                new_state(skill_file),
                request.first,
                request,
                senses,
                journal,
                observer,
            )
        changed |= over.changed
        if over.state.mode is not Mode.READY:
            return replace(over, changed=changed)
        over.journal.unlink()
        request = answered(request, over.changed)


def _names() -> list[str]:
    """The names of the register; none of one that cannot be read, which hinders no practice."""
    try:
        register = RegisterFile.of(os.environ).read()
    except InputError:
        return []
    return [learner.name for learner in register.learners.values()]


def _could_be(name: str) -> list[str]:
    """What all are called who could be meant by that name."""
    try:
        found = RegisterFile.of(os.environ).read().could_be(name)
    except InputError:
        return []
    return [learner.called for learner in found]


def _run(
    clock: RealClock,
    state: State,
    first: Event,
    request: Request,
    senses: Senses,
    journal: JournalFile,
    observer: Observer,
) -> _Over:
    """The session from that state on, until it ends or the next student is called."""

    def say(line: str) -> None:
        senses.say(line, observer)

    def may_ask() -> bool:
        return not session.state.silenced

    def not_begun() -> bool:
        return session.state.mode is Mode.READY

    settings = setup_ear(request, senses.ear, say, not_begun, may_ask, observer)
    ear = NextStudentEar(
        settings,
        _names(),
        _could_be,
        lambda name: learners_id(name, os.environ),
        say,
        clock.now_s,
        may_ask,
        senses.voice.busy,
    )
    ports = _ports(clock, replace(senses, ear=ear), journal, observer)
    session = Session(state, ports, senses.own_voice, read_carelessness())
    ended = session.run(first)
    journal.finish(_wall_clock())
    return _Over(ended, journal.path, ear.following, settings.changed)


def _woken(word: str, senses: Senses, observer: Observer) -> Senses:
    """The senses with an ear for what is meant for the coach; tells the learner the word."""
    senses.say(f'Begin what you say to me with "{word}".', observer)
    return replace(senses, ear=WakeEar(senses.ear, word, time.monotonic, senses.voice.busy))


def _go_on(earlier: Earlier, request: Request, senses: Senses, observer: Observer) -> _Over:
    clock = RealClock(start_s=earlier.state.at_s)
    resumed = SessionResumed(clock.now_s())
    return _run(clock, earlier.state, resumed, request, senses, earlier.journal, observer)


def _debriefed(
    over: _Over, request: Request, senses: Senses, observer: Observer
) -> tuple[str | None, Mapping[str, str]]:
    """The debrief: who is next, and which settings were changed amid it.

    Scoring and planning are loaded only now: nobody waits for them at the beginning.
    """
    from coach.app.debriefing import debriefed

    def say(line: str) -> None:
        senses.say(line, observer)

    def may_speak() -> bool:
        return not over.state.silenced

    ear = setup_ear(request, senses.ear, say, lambda: True, may_speak, observer)
    following = debriefed(over.journal, over.state, replace(senses, ear=ear), observer)
    return following, ear.changed


def _told_briefly(path: Path, state: State, senses: Senses, observer: Observer) -> None:
    """One sentence on an attempt that the call for the next student ended."""
    from coach.app.debriefing import told_briefly

    told_briefly(path, state, senses, observer)


def _ports(clock: RealClock, senses: Senses, journal: JournalFile, observer: Observer) -> Ports:
    skip = clock.skip if senses.skips else None
    return Ports(clock, senses.ear, senses.voice, journal, observer, skip)


def _wall_clock() -> datetime:
    return datetime.now().astimezone()


class _After(PassingEar):
    """An ear with an event heard before, which comes first."""

    def __init__(self, first: EarEvent | None, ear: Ear) -> None:
        super().__init__(ear)
        self._first = first

    def next(self, timeout_s: float) -> EarEvent | None:
        """What was heard before, then what the ear hears."""
        first, self._first = self._first, None
        return first if first is not None else super().next(timeout_s)
