"""Speaking and hearing after an attempt: a line said, the next words that were heard."""

from __future__ import annotations

from coach.app.senses import POLL_S, Senses, heard_enough
from coach.core.meaning import Expectation, Kind, Meaning
from coach.hearing.hypothesis import Hint
from coach.language.next_learner import called_next
from coach.language.normal import plain
from coach.session.loop import Observer
from coach.session.ports import EarClosed, KeyHit, SilencePassed, TextHeard

PATIENCE_S = 25.0
"""Silence after which the debrief is over (common practice, no source)."""


class DebriefOverError(Exception):
    """Nobody is there any more, or nobody wants to hear more."""


class Turns:
    """The turns of a debrief; `typed` and `sure` tell how the last words were heard."""

    def __init__(self, senses: Senses, observer: Observer) -> None:
        self._senses = senses
        self._observer = observer
        self.typed, self.sure = False, 1.0

    def say(self, line: str, expect: Expectation | None = None) -> None:
        """Say a line, and tell the observer what is expected then."""
        self._senses.say(line, self._observer)
        self._observer.listening(None, expect)

    def heard(self, hint: Hint, hardly: bool = False) -> str:
        """The next words that were heard well enough; the coach then stops speaking.

        DebriefOverError once nothing more can come, or nothing was heard for a while.

        With `hardly`, words that were not give "", so that a question can be asked again.
        """
        ear, voice = self._senses.ear, self._senses.voice
        ear.listen(hint)
        waited_s = 0.0
        while waited_s < PATIENCE_S:
            heard = ear.next(POLL_S)
            if heard is None:
                waited_s += 0.0 if voice.busy() else POLL_S
            elif isinstance(heard, EarClosed):
                break
            elif isinstance(heard, SilencePassed):
                waited_s += heard.seconds
            elif isinstance(heard, KeyHit):
                return {"yes": "yes", "next": "no", "repeat": "repeat"}.get(heard.key, "")
            elif isinstance(heard, TextHeard) and _counts(heard):
                voice.cut_off()
                self._note(heard)
                self.typed, self.sure = heard.typed, heard.hypothesis.confidence
                return heard.hypothesis.text
            elif hardly and isinstance(heard, TextHeard) and heard.hypothesis.text.strip():
                self._note(heard)
                return ""
        raise DebriefOverError

    def _note(self, heard: TextHeard) -> None:
        """Show what was heard, as in the attempt before."""
        text, sure = plain(heard.hypothesis.text), round(heard.hypothesis.confidence, 3)
        self._observer.heard(Meaning(text, Kind.ANSWER, confidence=sure))


def _counts(heard: TextHeard) -> bool:
    """Whether words were heard well enough to be a question, an answer, or a call for who is next,
    whose name may be one that nobody has told the recogniser."""
    text = heard.hypothesis.text.strip()
    return heard_enough(heard) or (bool(text) and called_next(text) is not None)
