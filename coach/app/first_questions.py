"""The questions before the first practice, asked through ear and voice, and what is remembered."""

from __future__ import annotations

import os
from collections.abc import Mapping

from coach.app.senses import LEAST_SURE, POLL_S
from coach.core.errors import CoachError
from coach.core.meaning import YES_NO, Kind, Meaning
from coach.dialogue.first_questions import (
    NOT_REMEMBERED,
    REMEMBERED,
    Interview,
    Needs,
    Outcome,
    begin,
    hardly_heard,
    heard,
    phrases,
    silent,
)
from coach.edges.settings_writer import remember
from coach.hearing.hypothesis import Hint
from coach.language.normal import plain
from coach.session.loop import Observer
from coach.session.ports import (
    Ear,
    EarClosed,
    EarEvent,
    EarReported,
    KeyHit,
    SilencePassed,
    TextHeard,
    Voice,
)
from coach.session.setup_ear import KEYS

KEPT = "settings-remembered"
UNKEPT = "settings-not-remembered"
"""What is noted of the answers."""


def ask(
    needs: Needs, patience_s: float, ear: Ear, voice: Voice, observer: Observer
) -> tuple[Interview, EarEvent | None]:
    """Ask for all that is needed: what came of it, and what was heard that is for the session.

    Nobody is waited for longer than twice `patience_s` seconds of silence, unless told to wait.
    """
    interview, line = begin(needs)
    if not line:
        return interview, None
    talk = _Talk(ear, voice, observer)
    talk.say(line, interview)
    waited_s, waiting = 0.0, False
    while True:
        event = ear.next(POLL_S)
        if event is None or isinstance(event, SilencePassed):
            if not voice.busy():
                waited_s += event.seconds if event else POLL_S
            if waiting or waited_s < patience_s:
                continue
            interview, line, outcome = silent(interview)
        elif isinstance(event, EarClosed):
            return interview, event
        elif isinstance(event, EarReported):
            line, outcome = event.message, Outcome.ASK
        else:
            text, sureness = _text_of(event), _sureness(event)
            if not text:
                continue
            observer.heard(Meaning(plain(text), Kind.ANSWER, confidence=sureness))
            if sureness >= LEAST_SURE:
                interview, line, outcome = heard(interview, text, sureness, _is_typed(event))
            else:
                interview, line, outcome = hardly_heard(interview)
                if not line:
                    continue
        waited_s, waiting = 0.0, outcome is Outcome.WAIT
        if outcome is Outcome.HAND_ON:
            return interview, event
        talk.say(line, interview)
        if outcome is Outcome.OVER:
            return interview, None


class _Talk:
    """Says a line and listens for what may be answered."""

    def __init__(self, ear: Ear, voice: Voice, observer: Observer) -> None:
        self._ear = ear
        self._voice = voice
        self._observer = observer

    def say(self, line: str, interview: Interview) -> None:
        """Say it in place of what was being said, then listen."""
        confirming = interview.doubtful is not None
        if line:
            self._voice.cut_off()
            self._observer.said(line)
            self._voice.say(line)
        self._observer.listening(None, YES_NO if confirming else None)
        self._ear.listen(Hint(YES_NO if confirming else None, phrases(interview)))


def _text_of(event: EarEvent) -> str:
    """The words of an utterance or a key; empty for none."""
    if isinstance(event, KeyHit):
        return KEYS.get(event.key, "")
    return event.hypothesis.text.strip() if isinstance(event, TextHeard) else ""


def _sureness(event: EarEvent) -> float:
    return event.hypothesis.confidence if isinstance(event, TextHeard) else 1.0


def _is_typed(event: EarEvent) -> bool:
    return isinstance(event, KeyHit) or (isinstance(event, TextHeard) and event.typed)


def keep(answers: Mapping[str, str], observer: Observer) -> str:
    """Remember answers in the settings file, and give the line that says so.

    Where that fails they hold for this practice alone.
    """
    if not answers:
        return ""
    try:
        path = remember(answers, os.environ)
    except CoachError as error:
        observer.noted(UNKEPT, {"message": str(error)})
        return NOT_REMEMBERED
    observer.noted(KEPT, {"settings": dict(answers), "file": str(path)})
    return REMEMBERED
