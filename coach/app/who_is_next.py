"""Who is next, as the learner calls it in a debrief."""

from __future__ import annotations

from coach.app.debrief_turns import Turns
from coach.core.errors import InputError
from coach.core.meaning import YES_NO
from coach.hearing.hypothesis import Hint
from coach.language.context import Context
from coach.language.next_learner import called_next, name_meant, next_learner
from coach.language.understand import understand
from coach.records.names import tidy_name
from coach.records.register import Register
from coach.session.costs import LIMITS
from coach.session.next_student import WHO


def is_a_call(text: str) -> bool:
    """Whether words call the next student, by name or not."""
    return called_next(text) is not None or bool(next_learner(text))


class WhoIsNext:
    """Hears of the next student, and asks where it is not clear who is meant."""

    def __init__(self, turns: Turns, register: Register) -> None:
        self._turns = turns
        self._register = register

    def called(self, text: str) -> str:
        """The id of who was called, or the name of somebody new; "" if nobody was, or it is not
        clear who."""
        if called_next(text) == "":
            self._turns.say(WHO)
        elif said := next_learner(text):
            return self._meant(said)
        return ""

    def _meant(self, said: str) -> str:
        """Who is meant by a call; spoken, a name that is new or was not heard surely needs a yes:
        somebody else's attempt would be theirs."""
        known = bool(self._register.could_be(said))
        if self._turns.typed or (known and self._turns.sure >= LIMITS.yes):
            return self._named(said)
        names = [learner.name for learner in self._register.learners.values()]
        name = said if known else name_meant(said, names)[0]
        new = "" if self._register.could_be(name) else f"I don't know {name} yet. "
        self._turns.say(f"{new}Next student, {name}? Say yes, or no.", YES_NO)
        answer = understand(
            self._turns.heard(Hint(YES_NO)), Context(steps=(), expect=YES_NO)
        ).answer
        if answer == "yes":
            return self._named(name)
        self._turns.say(WHO)
        return ""

    def _named(self, name: str) -> str:
        """The id of the learner who is meant, or the name of somebody new; "" if it is not clear
        who. Whose attempt comes next is said, so that a name heard wrongly is noticed."""
        try:
            found = self._register.meant(name)
            new = tidy_name(name.title() if name == name.lower() else name)
        except InputError as error:
            self._turns.say(str(error))
            return ""
        if found is None:
            self._turns.say(f"Next: {new}, who is new here.")
            return new
        self._turns.say(f"Next: {found.called}.")
        return found.id
