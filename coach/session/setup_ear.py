"""An ear that knows talk about the coach's settings: "what do you know about my setup", "use bar".

Before an attempt is begun and after it is over a setting can be changed by voice: it is asked for
as before the first practice, read back and kept. A running attempt keeps the settings it began
with; amid it only what is known is told.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from coach.core.meaning import YES_NO, Command
from coach.dialogue.first_questions import (
    CYLINDER,
    REGION,
    Interview,
    Needs,
    Outcome,
    begin,
    heard,
    phrases,
)
from coach.dialogue.setup_talk import (
    NOT_NOW,
    UNCHANGED,
    Known,
    answered_at_once,
    questions_for,
    told,
)
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.language.commands import command_in
from coach.language.normal import plain
from coach.language.setup_talk import EXAMPLES, About, SetupTalk, setup_talk
from coach.session.costs import LIMITS
from coach.session.passing_ear import NOTHING, PassingEar
from coach.session.ports import Ear, EarEvent, KeyHit, SetupChanged, TextHeard

KEYS = {"yes": "yes", "next": "skip it", "repeat": "say that again"}
"""What a key or pedal answers to a question."""


class SetupEar(PassingEar):
    """Another ear, through which all passes but talk about the settings.

    `needs` is all that may be asked for, `keep` remembers answers and gives the line that says so,
    `say` speaks a line, `may_change` tells whether no attempt is running, `may_speak` whether
    anything may be said.
    """

    def __init__(
        self,
        ear: Ear,
        needs: Needs,
        known: Known,
        keep: Callable[[Mapping[str, str]], str],
        say: Callable[[str], None],
        may_change: Callable[[], bool],
        may_speak: Callable[[], bool],
    ) -> None:
        super().__init__(ear)
        self.changed: Mapping[str, str] = {}
        self._needs = needs
        self._known = known
        self._keep = keep
        self._say = say
        self._may_change = may_change
        self._may_speak = may_speak
        self._interview: Interview | None = None
        self._hint = Hint()
        self._names = tuple(n.partition(".")[2].replace("-", " ") for n in needs.settings)

    def listen(self, hint: Hint) -> None:
        """Pass the hint on, with the talk that may come."""
        self._hint = replace(hint, phrases=(*hint.phrases, *EXAMPLES))
        self._listen()

    def next(self, timeout_s: float) -> EarEvent | None:
        """The next thing heard; SetupChanged once a setting was changed."""
        event = self._ear.next(timeout_s)
        if self._interview is not None and isinstance(event, KeyHit) and event.key in KEYS:
            event = TextHeard(Hypothesis(KEYS[event.key], 1.0), typed=True)
        if not isinstance(event, TextHeard) or not event.hypothesis.text or not self._may_speak():
            return event
        if self._interview is not None:
            return self._answered(self._interview, event)
        talk = setup_talk(event.hypothesis.text, self._names)
        surely = event.typed or event.hypothesis.confidence >= LIMITS.yes
        return event if talk is None or not surely else self._taken(talk, event)

    def _taken(self, talk: SetupTalk, event: TextHeard) -> EarEvent:
        if talk.about is About.TOLD:
            self._say(told(self._known, self._needs))
            return NOTHING
        needs = questions_for(talk, self._needs)
        if needs is None:
            return event
        if talk.about is About.ANEW:
            if not self._may_change():
                self._say(NOT_NOW)
                return NOTHING
            interview, line = begin(needs)
            return self._on(interview, line, Outcome.ASK)
        sureness, typed = event.hypothesis.confidence, event.typed
        answer = answered_at_once(needs, talk, sureness, typed)
        if answer is None:
            return event
        if self._may_change():
            return self._on(*answer)
        if not talk.ordered:
            return event
        self._say(NOT_NOW)
        return NOTHING

    def _answered(self, interview: Interview, event: TextHeard) -> EarEvent:
        """What an answer to a question leads to. Who begins instead, or wants to stop, has done
        with the questions; what was answered until then counts."""
        text, sureness = event.hypothesis.text, event.hypothesis.confidence
        command = command_in(plain(text))
        if command and command[0] in {Command.RESUME, Command.STOP, Command.QUIET}:
            if command[0] is not Command.QUIET:
                return self._over(interview, "")
            self._interview = None
            self._listen()
            return event
        return self._on(*heard(interview, text, sureness, event.typed))

    def _on(self, interview: Interview, line: str, outcome: Outcome) -> EarEvent:
        if outcome is Outcome.OVER:
            return self._over(interview, line)
        self._interview = interview
        self._say(line)
        self._listen()
        return NOTHING

    def _over(self, interview: Interview, line: str) -> EarEvent:
        self._interview = None
        self._listen()
        answers = dict(interview.remembered)
        moved = answers.get(REGION, self._known.values[REGION]) != self._known.values[REGION]
        if moved and CYLINDER not in answers:
            del answers[REGION]  # the letter that stands may be none of the other region's
        if not answers:
            self._say(UNCHANGED)
            return NOTHING
        self._say(" ".join(filter(None, (line, self._keep(answers)))))
        self._known = self._known.with_answers(answers)
        self.changed = {**self.changed, **answers}
        return SetupChanged()

    def _listen(self) -> None:
        interview = self._interview
        if interview is None:
            self._ear.listen(self._hint)
            return
        confirming = interview.doubtful is not None
        self._ear.listen(Hint(YES_NO if confirming else None, phrases(interview)))
