"""One turn in the making: the state as it changes, and what is to be said and done.

Only `coach.dialogue` sees it; `advance` gives frozen values back.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from coach.core.meaning import YES_NO, Expectation
from coach.core.plain import Plain
from coach.dialogue.effects import CancelTimer, CutOff, Effect, Listen, Noted, Say, StartTimer
from coach.dialogue.progress import awaits_a_number, suggested
from coach.dialogue.state import (
    ConfirmStep,
    ConfirmStop,
    ConfirmTraining,
    Mode,
    ReadBack,
    State,
)
from coach.report.attempt import Way

NUDGE = "nudge"
STAND = "stand"
COUNT = "count"
INTERVAL = "interval"
PACE = "pace"
LIMIT = "limit"
MINUTE = "minute"

STAND_SECONDS = 2.0
"""Silence after which a sure number stands."""

MOST_SENTENCES = 2
"""A line is never longer; the last sentences are the ones that lead on."""


class About(StrEnum):
    """What a sentence is about, where a later one may replace or outlive it.

    FRAME: how the session itself goes. FINDING: what the patient shows. HINT: help with a step.
    """

    STEPS = "steps"
    NUMBERS = "numbers"
    OXYGEN = "oxygen"
    COUNT = "count"
    WARNING = "warning"
    FRAME = "frame"
    FINDING = "finding"
    HINT = "hint"


SAID_QUIETLY = frozenset({About.FRAME, About.FINDING, About.HINT})
"""All that a quiet coach says."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence of the line in the making."""

    text: str
    about: About = About.STEPS


class Turn:
    """Collects what one event leads to; handlers change it, nothing else does.

    `led` is set once the learner has been told what to do next.
    """

    def __init__(self, state: State) -> None:
        self.state = state
        self.effects: list[Effect] = []
        self.sentences: list[Sentence] = []
        self.urgent = False
        self.led = False

    def say(self, text: str, about: About = About.STEPS) -> None:
        """Add a sentence to the line of this turn; empty ones are left out."""
        if text:
            self.sentences.append(Sentence(text, about))

    def go_on(self, text: str) -> None:
        """Say a sentence within the one that told of something timed, or else as its own.

        Three sentences would lose the first: "Hands off; round two of two. Feel for a pulse."
        """
        if self.sentences and self.sentences[-1].about is About.COUNT:
            last = self.sentences.pop()
            joined = f"{last.text.rstrip('.')}; {text[:1].lower()}{text[1:]}"
            self.sentences.append(Sentence(joined, About.COUNT))
        else:
            self.say(text)

    def say_first(self, text: str) -> None:
        """Put a sentence in front of the others; an empty one is left out."""
        if text:
            self.sentences.insert(0, Sentence(text))

    def drop(self, *abouts: About) -> None:
        """Take back what was to be said about these things."""
        self.sentences = [s for s in self.sentences if s.about not in abouts]

    def says(self, about: About) -> bool:
        """Whether something is to be said about it."""
        return any(sentence.about is about for sentence in self.sentences)

    def warnings(self) -> list[Sentence]:
        """The sentences that warn: they are said whatever else is."""
        return [sentence for sentence in self.sentences if sentence.about is About.WARNING]

    def note(self, name: str, **data: Plain) -> None:
        """Keep a fact for the record."""
        self.effects.append(Noted(name, data))

    def do(self, effect: Effect) -> None:
        """Add any other effect."""
        self.effects.append(effect)

    def finish_line(self) -> None:
        """Turn the collected sentences into one line to say."""
        if self.state.quiet:
            self.sentences = [s for s in self.sentences if s.about in SAID_QUIETLY]
        if not self.sentences:
            return
        warnings = self.warnings()[:MOST_SENTENCES]
        others = [s for s in self.sentences if s.about is not About.WARNING]
        kept = [*warnings, *others[max(0, len(others) - MOST_SENTENCES + len(warnings)) :]]
        text = " ".join(sentence.text for sentence in kept)
        if self.urgent:
            self.effects.append(CutOff())
        self.effects.append(Say(text, self.urgent))
        self.state = replace(self.state, last_said=text, speaking=True)
        self.sentences = []

    def keep_saying(self, last_said: str) -> None:
        """Say what was collected; "say that again" still means what was said before."""
        self.finish_line()
        self.state = replace(self.state, last_said=last_said)

    def listen(self) -> None:
        """Say what was collected, then listen, with the timers that silence needs."""
        spoke = bool(self.sentences)
        self.finish_line()
        state = self.state
        step = suggested(state)
        self.effects.append(Listen(step.id if step else None, expectation(state)))
        if isinstance(state.pending, ReadBack) and state.pending.sure:
            self.effects.append(StartTimer(STAND, STAND_SECONDS))
        else:
            self.effects.append(CancelTimer(STAND))
        if state.mode is not Mode.RUNNING or state.way is Way.ASSESSED:
            return
        if state.way is Way.RECALL and state.started is not None:
            self.effects.append(StartTimer(NUDGE, state.started.hint_seconds))
        elif spoke and not state.nudged:
            self.effects.append(StartTimer(NUDGE, state.nudge_seconds))


def expectation(state: State) -> Expectation | None:
    """What the coach has just asked for."""
    if isinstance(state.pending, ReadBack | ConfirmStop | ConfirmStep):
        return YES_NO
    if isinstance(state.pending, ConfirmTraining) and not state.quiet:
        return YES_NO  # a quiet coach goes on listening for numbers: nobody need answer it
    if state.mode in {Mode.PAUSED, Mode.READY}:
        return None
    awaited = awaits_a_number(state)
    return awaited[1].quantity if awaited else None
