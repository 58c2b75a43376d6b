"""An ear that knows when the next student is called: "next student, Ana".

The attempt then ends. What was not heard surely is read back first, a name that nobody in the
register has is asked about once, and of several who could be meant it is asked which; meanwhile the
attempt goes on.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from coach.core.errors import InputError
from coach.core.meaning import YES_NO, Command
from coach.hearing.hypothesis import Hint
from coach.language.context import Context
from coach.language.next_learner import called_next, name_meant
from coach.language.normal import plain
from coach.language.understand import understand
from coach.session.costs import LIMITS
from coach.session.passing_ear import NOTHING, PassingEar
from coach.session.ports import Ear, EarEvent, KeyHit, NextCalled, TextHeard

ANSWER_S = 12.0
"""How long after the question was said an answer counts (common practice, no source)."""

MOST_NAMES = 60
"""Names that the recogniser is told of; with more, each turn would take longer to hear."""

MOST_TOLD = 4
"""People that a question names: more are not remembered (our own choice)."""

WHO = 'Who is next? Say "next student" and the name.'
STAYS = "This attempt goes on."


class NextStudentEar(PassingEar):
    """Another ear, through which all passes but the call for the next student.

    `names` are those of the register, `could_be` tells what all are called who could be meant by a
    name, `resolve` gives the id of one of these, or of a new name, `say` speaks a line, `may_ask`
    tells whether anything may be said now, `speaking` whether a line is still being said.
    """

    def __init__(
        self,
        ear: Ear,
        names: Sequence[str],
        could_be: Callable[[str], Sequence[str]],
        resolve: Callable[[str], str],
        say: Callable[[str], None],
        now_s: Callable[[], float],
        may_ask: Callable[[], bool],
        speaking: Callable[[], bool] = lambda: False,
    ) -> None:
        super().__init__(ear)
        self.following: str | None = None
        self._names = names
        self._could_be = could_be
        self._resolve = resolve
        self._say = say
        self._now_s = now_s
        self._may_ask = may_ask
        self._speaking = speaking
        self._hint = Hint()
        self._asked: str | None = None
        self._which: Sequence[str] = ()
        self._asked_s = 0.0
        self._pressed = False

    def listen(self, hint: Hint) -> None:
        """Pass the hint on, with the calls that may come."""
        few = self._names if len(self._names) <= MOST_NAMES else ()
        calls = tuple(f"next student {name.lower()}" for name in few)
        self._hint = replace(hint, phrases=(*hint.phrases, *calls))
        self._ear.listen(self._hint)

    def next(self, timeout_s: float) -> EarEvent | None:
        """The next thing heard; NextCalled once it is clear who is next."""
        event = self._ear.next(timeout_s)
        waits = self._asked is not None or self._which
        if waits and self._speaking():
            self._asked_s = self._now_s()
        if waits and self._now_s() - self._asked_s > ANSWER_S:
            self._answered()
        if isinstance(event, TextHeard) and event.hypothesis.text and self._may_ask():
            return self._taken(event)
        if isinstance(event, KeyHit) and event.key == "yes" and self._asked is not None:
            return self._called(self._answered())
        return event

    def _taken(self, heard: TextHeard) -> EarEvent:
        text, sure = heard.hypothesis.text, heard.hypothesis.confidence
        surely = heard.typed or sure >= LIMITS.yes
        said = called_next(text)
        if said is not None:
            return self._named(said, surely)
        if self._which:
            return self._told_which(heard, surely)
        if self._asked is None:
            return heard
        meaning = understand(text, Context(steps=(), expect=YES_NO))
        if meaning.answer == "yes" and surely:
            return self._called(self._answered())
        if meaning.answer == "yes":
            return NOTHING
        name = self._answered()
        if meaning.answer == "no":
            self._say(STAYS)
            return NOTHING
        if meaning.command is Command.RESUME and not self._pressed:
            # "I'm ready", says the next student: what follows would count for the one before
            self._pressed = True
            return self._ask(name, known=bool(self._could_be(name)))
        return heard

    def _named(self, said: str, surely: bool) -> EarEvent:
        self._pressed = False
        if not said:
            self._say(WHO)
            return NOTHING
        found = self._could_be(said)
        name, known = name_meant(said, self._names)
        if len(found) > 1 or (not found and len(found := self._could_be(name)) > 1):
            return self._ask_which(found)
        if len(found) == 1 and not known:
            name, known = found[0], found[0] in self._which
        if (known or name == self._asked) and surely:
            self._answered()
            return self._called(name)
        if self._asked is not None:
            # it was asked about once: another doubtful name is no answer
            self._answered()
            self._say(STAYS)
            return NOTHING
        return self._ask(name, known=bool(found))

    def _ask(self, name: str, known: bool) -> EarEvent:
        self._asked, self._which, self._asked_s = name, (), self._now_s()
        new = "" if known else f"I don't know {name} yet. "
        self._say(f"{new}Next student, {name}? Say yes to end this attempt.")
        self._ear.listen(replace(self._hint, expect=YES_NO, plausible=None))
        return NOTHING

    def _ask_which(self, people: Sequence[str]) -> EarEvent:
        self._asked, self._which, self._asked_s = None, people, self._now_s()
        *others, last = people[:MOST_TOLD]
        self._say(f"Which one: {', '.join(others)} or {last}? Until you say, {STAYS.lower()}")
        phrases = tuple(plain(name) for name in people)
        self._ear.listen(replace(self._hint, phrases=(*self._hint.phrases, *phrases)))
        return NOTHING

    def _told_which(self, heard: TextHeard, surely: bool) -> EarEvent:
        """Whoever the words name, if they name one and nothing else; the session has all others."""
        which, text = self._which, heard.hypothesis.text
        self._answered()
        answer = understand(text, Context(steps=(), expect=YES_NO)).answer
        if answer is not None:
            self._say(STAYS)
            return NOTHING
        found = [name for name in self._could_be(text) if name in which]
        if len(found) > 1:
            return self._ask_which(found)
        if not found:
            return heard
        return self._called(found[0]) if surely else self._ask(found[0], known=True)

    def _answered(self) -> str:
        asked, self._asked, self._which = self._asked or "", None, ()
        self._ear.listen(self._hint)
        return asked

    def _called(self, name: str) -> EarEvent:
        try:
            self.following = self._resolve(name)
        except InputError as error:
            self._say(str(error))
            return NOTHING
        return NextCalled()
