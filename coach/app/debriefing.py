"""The debrief: said right after an attempt, then questions both ways."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from coach.app.aim import aim_in_force
from coach.app.debrief_turns import DebriefOverError, Turns
from coach.app.judging import result_of
from coach.app.learners import learners_id
from coach.app.senses import Senses
from coach.app.who_is_next import WhoIsNext, is_a_call
from coach.assessment.debrief import (
    ASK_ME,
    NO_PASS,
    aloud,
    debrief,
    question_about,
    spoken_why,
    unclear_steps,
)
from coach.assessment.questions import answer, understood
from coach.assessment.topics import EXAMPLES, TOPICAL, Asked
from coach.core.errors import CoachError
from coach.core.meaning import YES_NO, Command
from coach.dialogue.state import State
from coach.edges.register_file import RegisterFile
from coach.edges.settings import load_settings
from coach.edges.time_zone import local_zone
from coach.hearing.hypothesis import Hint
from coach.language.context import Context
from coach.language.understand import understand
from coach.procedure.model import Skill
from coach.records.register import Register
from coach.records.register_lines import MarkSet
from coach.report.attempt import Mark, Result, StepResult
from coach.report.attempt_text import JUDGED, attempt_text
from coach.report.by_hand import THE_LEARNER
from coach.session.loop import Observer

TIMES_ASKED = 2
"""A question back is answered, and then the step is asked about once more; so it is where no answer
was made out."""

NOT_HEARD = "Sorry, I did not get that."
NOT_KEPT = "I could not keep that: tell it to who settles it."
STAYS_UNCLEAR = "It stays unclear, for a person to settle."

UNREADABLE = "register-unreadable"
"""What is noted where the register cannot be read or written, with the reason."""

Settle = Callable[[StepResult, Mark, str], None]
"""Keeps what the learner says of an unclear step (the step, the mark, the words), which decides
nothing until somebody else sets it."""


def debriefed(journal: Path, state: State, senses: Senses, observer: Observer) -> str | None:
    """Score the attempt of that journal and talk it over; the id of who is next, if that was said.

    A session in which the coach led, or that was silenced by "this is real", has none.
    """
    if not state.quiet or state.silenced:
        return None
    result = _judged(journal, observer)
    register = RegisterFile.of(os.environ)

    def settle(step: StepResult, mark: Mark, words: str) -> None:
        register.add(
            lambda _register: (
                MarkSet(register.now(), result.attempt, step.step, mark, THE_LEARNER, words),
            )
        )

    talk = _Talk(result, state.skill, senses, observer, settle, _known(register, observer))
    try:
        return learners_id(talk.hold(_next_time(result)), os.environ)
    except DebriefOverError:
        return None


def _known(register: RegisterFile, observer: Observer) -> Register:
    """Who may be next; nobody where the register cannot be read, which takes no debrief away."""
    try:
        return register.read()
    except CoachError as error:
        observer.noted(UNREADABLE, {"message": str(error)})
        return Register()


def told_briefly(journal: Path, state: State, senses: Senses, observer: Observer) -> None:
    """Score an attempt that the call for the next student ended, and say what came of it in one
    sentence; nothing of one that never began."""
    if not state.quiet or state.silenced:
        return
    result = _judged(journal, observer)
    if result.seconds:
        senses.say(aloud(spoken_why(result)), observer)


def _judged(journal: Path, observer: Observer) -> Result:
    result = result_of(journal)
    observer.noted(JUDGED, {"result": result.as_json(), "text": attempt_text(result)})
    return result


def _next_time(result: Result) -> str:
    """When to rehearse the skill again; "" for nobody's attempt."""
    if not result.learner:
        return ""
    # The database's library takes long to load, and no session needs it before its end.
    from coach.app.rehearsing import next_time, practice_at_hand

    aim = aim_in_force(load_settings({}, os.environ))
    now = datetime.now(local_zone(os.environ))
    practice, all_counted = practice_at_hand(os.environ)
    return next_time(result, practice, now, aim, all_counted)


class _Talk:
    """A debrief under way; `register` has the learners who may be next."""

    def __init__(
        self,
        result: Result,
        skill: Skill,
        senses: Senses,
        observer: Observer,
        settle: Settle,
        register: Register,
    ) -> None:
        self._result = result
        self._skill = skill
        self._observer = observer
        self._settle = settle
        self._register = register
        self._rehearse = ""
        self._turns = Turns(senses, observer)
        self._next = WhoIsNext(self._turns, register)

    def hold(self, rehearse: str = "") -> str:
        """Say what came of it, ask about what is unclear, answer questions; who is next, by id or,
        if he is new, by name. DebriefOverError once the learner is through."""
        self._rehearse = rehearse
        for line in debrief(self._result, self._skill, rehearse):
            self._turns.say(line)
        for step in unclear_steps(self._result):
            if who := self._ask_about(step):
                return who
        return self._answer_questions()

    def _ask_about(self, step: StepResult) -> str:
        """Ask whether a step was done; who is next, if that is said instead."""
        hint = Hint(YES_NO, ("yes", "no", "yes i did", "no i did not"))
        for time in range(1, TIMES_ASKED + 1):
            self._turns.say(question_about(step), YES_NO)
            text = self._turns.heard(hint, hardly=True)
            answered = understand(text, Context(steps=(), expect=YES_NO)).answer
            if answered is not None:
                self._keep(step, Mark.DONE if answered == "yes" else Mark.MISSED, text)
                return ""
            who = self._next_or_over(text)
            if who or is_a_call(text):
                return who
            asked, about = understood(text, self._skill, self._result)
            if asked is not Asked.UNKNOWN:
                self._turns.say(answer(asked, about, self._skill, self._result, self._rehearse))
            else:
                self._turns.say(NOT_HEARD if time == 1 else STAYS_UNCLEAR)
        return ""

    def _keep(self, step: StepResult, mark: Mark, words: str) -> None:
        """Keep what the learner says of a step; where that fails it is told, and talk goes on."""
        try:
            self._settle(step, mark, words)
        except CoachError as error:
            self._observer.noted(UNREADABLE, {"message": str(error)})
            self._turns.say(NOT_KEPT)
            return
        if mark is Mark.DONE:
            self._turns.say(NO_PASS)

    def _answer_questions(self) -> str:
        self._turns.say(ASK_ME)
        said: tuple[str, ...] = (ASK_ME,)
        while True:
            text = self._turns.heard(self._hint())
            if who := self._next_or_over(text):
                return who
            if is_a_call(text):
                continue
            if understand(text, Context(steps=())).command is not Command.REPEAT:
                asked, step = understood(text, self._skill, self._result)
                said = (answer(asked, step, self._skill, self._result, self._rehearse),)
            for line in said:
                self._turns.say(line)

    def _next_or_over(self, text: str) -> str:
        """Who is next, if that was said and is clear; DebriefOverError for words that end it."""
        if is_a_call(text):
            return self._next.called(text)
        quiet = understand(text, Context(steps=())).command is Command.QUIET
        if quiet or understood(text, self._skill, self._result)[0] is Asked.END:
            raise DebriefOverError
        return ""

    def _hint(self) -> Hint:
        steps = [step.name for step in self._result.steps]
        phrases = [way for ways in EXAMPLES.values() for way in ways]
        phrases += [f"why was {name} wrong" for name in steps] + [f"why {name}" for name in steps]
        names = {learner.name.lower() for learner in self._register.learners.values()}
        firsts = {name.split()[0] for name in names}
        phrases += [f"next student {name}" for name in sorted(names | firsts)]
        phrases += ["finish", "that is all", "repeat", "read that again"]
        return Hint(None, tuple(phrases), words=tuple(sorted(TOPICAL)))
