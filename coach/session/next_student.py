"""An ear that knows when the next student is called: "next student, Ana".

The attempt then ends. What was not heard surely is read back first, and a name that nobody in the
register has is asked about once; meanwhile the attempt goes on.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from coach.core.errors import InputError
from coach.core.meaning import YES_NO
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.language.context import Context
from coach.language.next_learner import called_next, name_meant
from coach.language.understand import understand
from coach.session.costs import LIMITS
from coach.session.ports import Ear, EarEvent, KeyHit, NextCalled, TextHeard

ANSWER_S = 12.0
"""How long after the question an answer counts (common practice, no source)."""

MOST_NAMES = 60
"""Names that the recogniser is told of; with more, each turn would take longer to hear."""

WHO = 'Who is next? Say "next student" and the name.'
STAYS = "This attempt goes on."

NOTHING = TextHeard(Hypothesis("", 0.0))
"""What the session hears of words that were not for it."""


class NextStudentEar:
    """Another ear, through which all passes but the call for the next student.

    `names` are those of the register, `resolve` gives the id of a name (InputError where several
    people have it), `say` speaks a line, `may_ask` tells whether anything may be said now.
    """

    def __init__(
        self,
        ear: Ear,
        names: Sequence[str],
        resolve: Callable[[str], str],
        say: Callable[[str], None],
        now_s: Callable[[], float],
        may_ask: Callable[[], bool],
    ) -> None:
        self.following: str | None = None
        self._ear = ear
        self._names = names
        self._resolve = resolve
        self._say = say
        self._now_s = now_s
        self._may_ask = may_ask
        self._hint = Hint()
        self._asked: str | None = None
        self._asked_s = 0.0

    def listen(self, hint: Hint) -> None:
        """Pass the hint on, with the calls that may come."""
        few = self._names if len(self._names) <= MOST_NAMES else ()
        calls = tuple(f"next student {name.lower()}" for name in few)
        self._hint = replace(hint, phrases=(*hint.phrases, *calls, "next student"))
        self._ear.listen(self._hint)

    def next(self, timeout_s: float) -> EarEvent | None:
        """The next thing heard; NextCalled once it is clear who is next."""
        event = self._ear.next(timeout_s)
        if self._asked is not None and self._now_s() - self._asked_s > ANSWER_S:
            self._answered()
        if isinstance(event, TextHeard) and event.hypothesis.text and self._may_ask():
            return self._taken(event)
        if isinstance(event, KeyHit) and event.key == "yes" and self._asked is not None:
            return self._called(self._answered())
        return event

    def close(self) -> None:
        """Close the ear."""
        self._ear.close()

    def _taken(self, heard: TextHeard) -> EarEvent:
        text, sure = heard.hypothesis.text, heard.hypothesis.confidence
        surely = heard.typed or sure >= LIMITS.yes
        said = called_next(text)
        if said is not None:
            return self._named(said, surely)
        if self._asked is None:
            return heard
        answer = understand(text, Context(steps=(), expect=YES_NO)).answer
        if answer == "yes" and surely:
            return self._called(self._answered())
        if answer == "yes":
            return NOTHING
        self._answered()
        if answer == "no":
            self._say(STAYS)
            return NOTHING
        return heard

    def _named(self, said: str, surely: bool) -> EarEvent:
        if not said:
            self._say(WHO)
            return NOTHING
        name, known = name_meant(said, self._names)
        if (known or name == self._asked) and surely:
            self._answered()
            return self._called(name)
        if self._asked is not None:
            # it was asked about once: another doubtful name is no answer
            self._answered()
            self._say(STAYS)
            return NOTHING
        self._asked, self._asked_s = name, self._now_s()
        new = "" if name in self._names else f"I don't know {name} yet. "
        self._say(f"{new}Next student, {name}? Say yes to end this attempt.")
        self._ear.listen(replace(self._hint, expect=YES_NO, plausible=None))
        return NOTHING

    def _answered(self) -> str:
        asked, self._asked = self._asked or "", None
        self._ear.listen(self._hint)
        return asked

    def _called(self, name: str) -> EarEvent:
        try:
            self.following = self._resolve(name)
        except InputError as error:
            self._say(str(error))
            return NOTHING
        return NextCalled()
